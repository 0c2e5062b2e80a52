// Package guesses says how soon a password is guessed, by the reckoning of github.com/trustelem/zxcvbn. Its scoring, words and keyboards are
// used as they are; what finds words and patterns is made of its package matching, which reads ninety thousand words into tables whenever a
// program starts: two fifths of what a short command took. Here they are read when the first password is looked at. guesses_test.go
// holds it beside the original.
package guesses

import (
	"sync"
	"unicode/utf8"

	"github.com/trustelem/zxcvbn/frequency"
	"github.com/trustelem/zxcvbn/match"
	"github.com/trustelem/zxcvbn/scoring"
)

// Needed returns how many guesses a password needs at most, by somebody who tries what is common first and knows some words of who chose it.
// What is no UTF-8 needs none.
func Needed(password string, known []string) float64 {
	if !utf8.ValidString(password) {
		return 0
	}
	return scoring.MostGuessableMatchSequence(password, matches(password, known), false).Guesses
}

// matches finds all words and patterns in a password.
func matches(password string, known []string) (all []*match.Match) {
	dict := dictionaryMatch{append(common(), ranked(known))}
	for _, m := range []match.Matcher{
		dict,
		reverseDictionaryMatch{dict},
		l33tMatch{dict},
		spatialMatch{},
		repeatMatch{},
		sequenceMatch{},
		yearMatch{},
		dateMatch{},
	} {
		all = append(all, m.Matches(password)...)
	}
	match.Sort(all)
	return all
}

// common are the lists of common words and passwords, each by its rank.
var common = sync.OnceValue(func() []map[string]int {
	var lists []map[string]int
	for _, words := range frequency.FrequencyLists {
		lists = append(lists, ranked(words))
	}
	return lists[:len(lists):len(lists)] // whoever appends has a list of his own
})
