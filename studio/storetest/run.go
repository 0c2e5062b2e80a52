// Package storetest holds what every studio.Store must do, whatever engine it stands on. A store's own
// tests call Run with a function that opens an empty one.
package storetest

import (
	"maps"
	"slices"
	"testing"

	"solander/studio"
)

// tests is the contract, one sentence a rule.
var tests = map[string]func(*testing.T, studio.Store){
	"settings come back whole, and are zero before set-up":      settingsKept,
	"outlets are sorted by name, and a name is taken once":      outletsKept,
	"price cards are replaced and dropped":                      cardsKept,
	"works and editions are sorted by title, size and grade":    catalogueSorted,
	"an edition comes back whole":                               editionKept,
	"reprice changes prices alone":                              repriceAlone,
	"a closed edition stays closed":                             closedStays,
	"a declared edition has all its numbers, free":              declaredFree,
	"a number walks through its life":                           lifeOfNumber,
	"a number is promised once":                                 promisedOnce,
	"an old standing is refused":                                oldStanding,
	"a standing that the rules do not make is refused":          madeUpStanding,
	"a line holds one number":                                   lineHoldsOne,
	"a line holds a number of its own edition only":             lineOfOtherEdition,
	"a correction takes the latest step back":                   correction,
	"lowest passes over what is held, spoilt or returned":       lowestPasses,
	"lowest common is free in every edition":                    lowestCommon,
	"counts and sold follow the register":                       countsFollow,
	"an open edition is sold by its lines":                      openSold,
	"numbers show who holds them, and who had them last":        numbersShow,
	"entries are read in order, a part at a time":               entriesInOrder,
	"an order comes back whole":                                 orderKept,
	"order marks rise from 1001 under the studio's prefix":      marksRise,
	"a reference is taken once in an outlet":                    referenceOnce,
	"a line says what the register says of its number":          lineFollowsRegister,
	"open orders come by promise":                               openByPromise,
	"orders are restricted and paged, newest first":             ordersPaged,
	"payments are added and reversed once":                      paymentsKept,
	"search finds by every word, with or without accents":       searchWords,
	"search follows what changes":                               searchFollows,
	"buyers are found and sorted by name":                       buyersFound,
	"a search of signs alone finds nothing, and harms nothing":  searchSigns,
	"runs carry their receipts, newest first":                   runsKept,
	"stock is the sum of its moves, and never below nothing":    stockSums,
	"the shelf is sorted by kind and name":                      shelfKept,
	"parcels tell their lines where they are":                   parcelsKept,
	"a parcel may hold lines of several orders":                 parcelShared,
	"a hand-over counts its parcels, and is dropped when empty": handOversKept,
	"marks are newest first, and undone once":                   marksKept,
	"feeds are sorted by name, and a name is taken once":        feedsKept,
	"secrets of a feed are kept and dropped":                    secretsKept,
	"a form is kept once, and the latest alone":                 sentFormsKept,
	"a key is answered once, a message taken once":              answersOnce,
	"the time of the feeds is kept":                             feedTimeKept,
	"an answer is kept with its write or not at all":            answerWithItsWrite,
	"hook mappings are kept as typed, and not dropped in use":   hookMappingsKept,
	"a file that waits comes back whole, byte for byte":         arrivalsKept,
	"mappings are sorted by name, and replaced":                 mappingsKept,
	"a file taken back is in no list, and may come again":       intakesKept,
	"buyers are known by name or e-mail, however written":       peopleAlike,
	"who was taken as another has no orders, and is found":      peopleMoved,
	"who was told apart is told apart as whom she was taken":    peopleApart,
	"buyers are paged by name, and those who share one listed":  peoplePaged,
	"whatever is done to buyers is undone, row for row":         deedsUndone,
	"a deed about buyers waits for what stands on it":           deedsOutOfTurn,
	"what does not exist is missing":                            missingIsMissing,
	"instants are kept to the microsecond, in UTC":              precision,
	"days and nothings come back as they were":                  nothings,
	"text comes back as it was, and what is no text is refused": textKept,
	"a failed write leaves nothing":                             failedLeavesNothing,
	"a swallowed failure of the database leaves nothing":        swallowedFailure,
	"a panic leaves nothing, and the store works on":            panicLeavesNothing,
	"a read cannot write":                                       readOnly,
	"a read sees one state":                                     readSeesOneState,
	"two writers at once lose nothing":                          twoWriters,
	"a write that ends with its context leaves nothing":         contextEnds,
	"sixty-four takers of fifty numbers take each once":         takers,
	"a sound store has no finding":                              soundAfterAll,
	"a closed store says so":                                    closedSaysSo,
}

// copies is what a copy must do, from the first store to the second.
var copies = map[string]func(t *testing.T, from, to studio.Store){
	"a copy fills an empty store with the same":              Carries,
	"an export comes back":                                   exportComesBack,
	"a changed export is refused":                            changedExports,
	"a copy is taken of one state while the store is in use": copyInUse,
	"a copy fills no store that holds something":             copyNeedsEmpty,
	"a damaged copy is refused and leaves nothing":           copyDamaged,
	"a copy carries a parcel of two orders":                  sharedCopied,
	"a copy carries who is the same person":                  peopleCopied,
	"a copy of another version is refused":                   copyOfOther,
}

// Run runs the whole contract, each rule on stores of its own that open makes empty.
func Run(t *testing.T, open func(*testing.T) studio.Store) {
	for _, name := range slices.Sorted(maps.Keys(copies)) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			copies[name](t, open(t), open(t))
		})
	}
	for _, name := range slices.Sorted(maps.Keys(tests)) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			tests[name](t, open(t))
		})
	}
}
