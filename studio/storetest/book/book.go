// Package book holds what every store must do with orders, buyers, parcels, marks, stocks and what the studio chose: the part of the
// contract that storetest runs of them.
package book

import (
	"testing"

	"solander/studio"
)

// Tests are the rules, one sentence each.
var Tests = map[string]func(*testing.T, studio.Store){
	"settings come back whole, and are zero before set-up":      settingsKept,
	"outlets are sorted by name, and a name is taken once":      outletsKept,
	"price cards are replaced and dropped":                      cardsKept,
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
	"a form is kept once, and the latest alone":                 sentFormsKept,
	"buyers are known by name or e-mail, however written":       peopleAlike,
	"who was taken as another has no orders, and is found":      peopleMoved,
	"who was told apart is told apart as whom she was taken":    peopleApart,
	"buyers are paged by name, and those who share one listed":  peoplePaged,
	"whatever is done to buyers is undone, row for row":         deedsUndone,
	"a deed about buyers waits for what stands on it":           deedsOutOfTurn,
}

// Copies is what a copy must do, from the first store to the second.
var Copies = map[string]func(t *testing.T, from, to studio.Store){
	"a copy carries a parcel of two orders": sharedCopied,
	"a copy carries who is the same person": peopleCopied,
}
