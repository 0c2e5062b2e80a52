// Made of matching/repeat.go, sequence.go and regexp.go of github.com/trustelem/zxcvbn 1.0.1, Copyright (c) 2018 Vincent Vanackere and Trustelem, MIT License (NOTICE.md).

package guesses

import (
	"regexp"

	"github.com/dlclark/regexp2"
	"github.com/trustelem/zxcvbn/match"
	"github.com/trustelem/zxcvbn/scoring"
)

type repeatMatch struct{}

var (
	greedy       = regexp2.MustCompile(`(.+)\1+`, 0)
	lazy         = regexp2.MustCompile(`(.+?)\1+`, 0)
	lazyAnchored = regexp2.MustCompile(`^(.+?)\1+$`, 0)
)

func runeToStringIndex(index int, password string) int {
	runes := 0
	for i := range password {
		if runes == index {
			return i
		}
		runes++
	}
	// shouldn't really get here
	return len(password)
}

func (repeatMatch) Matches(password string) []*match.Match {
	var found []*match.Match

	lastIndex := 0
	for lastIndex < len(password) {
		greedyMatch, err := greedy.FindStringMatchStartingAt(password, lastIndex)
		if err != nil || greedyMatch == nil {
			break
		}
		lazyMatch, _ := lazy.FindStringMatchStartingAt(password, lastIndex)

		var rmatch *regexp2.Match
		var baseToken string
		if greedyMatch.Captures[0].Length > lazyMatch.Captures[0].Length {
			// greedy beats lazy for 'aabaab'
			//   greedy: [aabaab, aab]
			//   lazy:   [aa,     a]
			rmatch = greedyMatch
			// greedy's repeated string might itself be repeated, eg.
			// aabaab in aabaabaabaab.
			// run an anchored lazy match on greedy's repeated string
			// to find the shortest repeated string
			if m, err := lazyAnchored.FindStringMatch(rmatch.Captures[0].String()); err == nil {
				baseToken = m.GroupByNumber(1).String()
			}
		} else {
			// lazy beats greedy for 'aaaaa'
			//   greedy: [aaaa,  aa]
			//   lazy:   [aaaaa, a]
			rmatch = lazyMatch
			baseToken = rmatch.GroupByNumber(1).String()
		}
		// FindStringMatchStartingAt takes an index into the string (basically an offset
		// into a byte array). rmatch indices will be rune offsets and so need to be converted
		// to string offsets
		i := runeToStringIndex(rmatch.Index, password)
		j := runeToStringIndex(rmatch.Index+rmatch.Captures[0].Length-1, password)

		// recursively match and score the base string
		baseAnalysis := scoring.MostGuessableMatchSequence(
			baseToken,
			matches(baseToken, nil),
			false,
		)
		found = append(found, &match.Match{
			Pattern:     "repeat",
			I:           i,
			J:           j,
			Token:       rmatch.Captures[0].String(),
			BaseToken:   baseToken,
			BaseGuesses: baseAnalysis.Guesses,
			BaseMatches: baseAnalysis.Sequence,
			RepeatCount: rmatch.Captures[0].Length / len(baseToken),
		})
		lastIndex = j + 1

	}
	return found
}

type sequenceMatch struct{}

const maxDelta = 5

func abs(a int) int {
	if a < 0 {
		return -a
	}
	return a
}

var (
	reLower  = regexp.MustCompile(`^[a-z]+$`)
	reUpper  = regexp.MustCompile(`^[A-Z]+$`)
	reDigits = regexp.MustCompile(`^\d+$`)
)

func (sequenceMatch) Matches(password string) []*match.Match {
	matches := []*match.Match{}
	if len(password) == 1 {
		return matches
	}

	update := func(i, j, delta int) {
		absDelta := abs(delta)
		if j-i > 1 || absDelta == 1 {
			if absDelta > 0 && absDelta <= maxDelta {
				token := password[i : j+1]
				// conservatively stick with roman alphabet size.
				// (this could be improved)
				seqName := "unicode"
				seqSpace := 26
				if reLower.MatchString(token) {
					seqName = "lower"
				} else if reUpper.MatchString(token) {
					seqName = "upper"
				} else if reDigits.MatchString(token) {
					seqName = "digits"
					seqSpace = 10
				}
				matches = append(matches, &match.Match{
					Pattern:       "sequence",
					I:             i,
					J:             j,
					Token:         password[i : j+1],
					SequenceName:  seqName,
					SequenceSpace: seqSpace,
					Ascending:     delta > 0,
				})
			}
		}
	}

	i := 0
	lastDelta := 0 // null
	for k := 1; k <= len(password)-1; k++ {
		delta := int(password[k]) - int(password[k-1])
		if k == 1 {
			lastDelta = delta
		}
		if delta == lastDelta {
			continue
		}
		j := k - 1
		update(i, j, lastDelta)
		i = j
		lastDelta = delta
	}

	update(i, len(password)-1, lastDelta)
	return matches
}

// yearMatch finds years of late.
type yearMatch struct{}

var recentYear = regexp.MustCompile(`19\d\d|200\d|201\d`)

func (yearMatch) Matches(password string) []*match.Match {
	var matches []*match.Match
	for _, at := range recentYear.FindAllStringIndex(password, -1) {
		matches = append(matches, &match.Match{Pattern: "regex", Token: password[at[0]:at[1]], I: at[0], J: at[1] - 1, RegexName: "recent_year"})
	}
	match.Sort(matches)
	return matches
}
