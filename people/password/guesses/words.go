// Made of matching/dictionary.go and reverse_dictionnary.go of github.com/trustelem/zxcvbn 1.0.1, Copyright (c) 2018 Vincent Vanackere and Trustelem, MIT License (NOTICE.md).

package guesses

import (
	"slices"
	"strings"

	"github.com/trustelem/zxcvbn/match"
)

// dictionaryMatch finds the words of lists, each with its rank.
type dictionaryMatch struct {
	lists []map[string]int
}

func (dm dictionaryMatch) Matches(password string) []*match.Match {
	var results []*match.Match
	for _, list := range dm.lists {
		for i := range password {
			for delta := range password[i:] {
				j := i + delta
				word := strings.ToLower(password[i : j+1])
				if rank, ok := list[word]; ok {
					results = append(results, &match.Match{Pattern: "dictionary", I: i, J: j, Token: password[i : j+1], MatchedWord: word, Rank: rank})
				}
			}
		}
	}
	match.Sort(results)
	return results
}

func ranked(words []string) map[string]int {
	list := make(map[string]int, len(words))
	for i, word := range words {
		list[strings.ToLower(word)] = i + 1
	}
	return list
}

// reverseDictionaryMatch finds words that are written backwards.
type reverseDictionaryMatch struct {
	dm dictionaryMatch
}

func (rdm reverseDictionaryMatch) Matches(password string) []*match.Match {
	matches := rdm.dm.Matches(reverse(password))
	for _, m := range matches {
		m.Token = reverse(m.Token)
		m.Reversed = true
		m.I, m.J = len(password)-1-m.J, len(password)-1-m.I
	}
	match.Sort(matches)
	return matches
}

func reverse(text string) string {
	signs := []rune(text)
	slices.Reverse(signs)
	return string(signs)
}
