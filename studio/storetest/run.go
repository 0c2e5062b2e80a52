// Package storetest holds what every studio.Store must do, whatever engine it stands on. A store's own
// tests call Run with a function that opens an empty one.
package storetest

import (
	"maps"
	"slices"
	"testing"

	"solander/studio"
	"solander/studio/storetest/book"
	"solander/studio/storetest/owed"
	"solander/studio/storetest/people"
	"solander/studio/storetest/register"
	"solander/studio/storetest/shifts"
)

// tests is the contract, one sentence a rule.
var tests = map[string]func(*testing.T, studio.Store){
	"feeds are sorted by name, and a name is taken once":        feedsKept,
	"secrets of a feed are kept and dropped":                    secretsKept,
	"a key is answered once, a message taken once":              answersOnce,
	"the time of the feeds is kept":                             feedTimeKept,
	"an answer is kept with its write or not at all":            answerWithItsWrite,
	"hook mappings are kept as typed, and not dropped in use":   hookMappingsKept,
	"a file that waits comes back whole, byte for byte":         arrivalsKept,
	"mappings are sorted by name, and replaced":                 mappingsKept,
	"a file taken back is in no list, and may come again":       intakesKept,
	"a work has one picture at most, kept byte for byte":        picturesKept,
	"what was weighed counts since the wrap changed":            weighingsKept,
	"what parcels went by counts together":                      wentTogether,
	"orders and payments are added in sets as one by one":       addedInSets,
	"phones are kept, and their codes until they are forgotten": phonesKept,
	"lines of the bank are known again, and one payment is one": bankKept,
	"a line of the bank is a payout, or money of a gallery":     bankedOtherwise,
	"payouts are kept, an order in one of them at a time":       payoutsKept,
	"galleries are kept, a number at one of them at a time":     galleriesKept,
	"claims are kept, one a parcel, and stand in the journal":   claimsKept,
	"orders agreed in another currency":                         agreedKept,
	"rates of exchange are kept, one a pair and day":            ratesKept,
	"an outlet has one table a day, which follows its payments": fairsKept,
	"numbers at galleries are counted, those sold as sold":      countsOfGalleries,
	"orders are called off in sets":                             calledOff,
	"the journal follows what is written, and taken back":       journalFollows,
	"by whatever lot it is told, it is the journal":             lotsAreTheJournal,
	"sheets cost what their run did, first in, first out":       sheetsCost,
	"nothing is entered into a closed period":                   periodsClose,
	"what was before a period was closed is entered in it":      closesWhatWas,
	"an entry by hand balances":                                 byHandBalances,
	"accounts keep the names they are given":                    accountsAreNamed,
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
	"a copy of another version is refused":                   copyOfOther,
}

// Run runs the whole contract, each rule on stores of its own that open makes empty.
func Run(t *testing.T, open func(*testing.T) studio.Store) {
	for _, part := range []map[string]func(t *testing.T, from, to studio.Store){copies, book.Copies} {
		for _, name := range slices.Sorted(maps.Keys(part)) {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				part[name](t, open(t), open(t))
			})
		}
	}
	for _, part := range []map[string]func(*testing.T, studio.Store){tests, book.Tests, register.Tests, people.Tests, shifts.Tests, owed.Tests} {
		for _, name := range slices.Sorted(maps.Keys(part)) {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				part[name](t, open(t))
			})
		}
	}
}
