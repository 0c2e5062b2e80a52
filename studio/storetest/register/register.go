// Package register holds what every store must do with editions, their numbers and the register: the part of the contract
// that storetest runs of them.
package register

import (
	"testing"

	"solander/studio"
)

// Tests are the rules, one sentence each.
var Tests = map[string]func(*testing.T, studio.Store){
	"works and editions are sorted by title, size and grade": catalogueSorted,
	"an edition comes back whole":                            editionKept,
	"reprice changes prices alone":                           repriceAlone,
	"a closed edition stays closed":                          closedStays,
	"what was said of an edition is kept in order":           sayingsKept,
	"an edition is closed once, and cancelled once":          closingsKept,
	"certificates are kept, and ended once":                  certificatesKept,
	"what owners told is kept, who told it may be forgotten": transfersKept,
	"a declared edition has all its numbers, free":           declaredFree,
	"a number walks through its life":                        lifeOfNumber,
	"a number is promised once":                              promisedOnce,
	"an old standing is refused":                             oldStanding,
	"a standing that the rules do not make is refused":       madeUpStanding,
	"a line holds one number":                                lineHoldsOne,
	"a line holds a number of its own edition only":          lineOfOtherEdition,
	"a correction takes the latest step back":                correction,
	"lowest passes over what is held, spoilt or returned":    lowestPasses,
	"lowest common is free in every edition":                 lowestCommon,
	"counts and sold follow the register":                    countsFollow,
	"an open edition is sold by its lines":                   openSold,
	"numbers show who holds them, and who had them last":     numbersShow,
	"the lots of an edition add up to its limit":             lotsAddUp,
	"numbers are read by state, lot and range":               numbersAsked,
	"what was sold is told by day and price":                 soldDays,
	"entries are read in order, a part at a time":            entriesInOrder,
	"steps of many numbers are those of each":                stepsInSets,
	"what was foreseen of a line is not believed for long":   lineForeseen,
	"sixty-four takers of fifty numbers take each once":      takers,
}
