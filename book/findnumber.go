package book

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"solander/edition"
	"solander/register"
	"solander/studio"
)

// folded makes texts comparable: composed forms, case and accents do not count.
func folded(s string) string {
	plain := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(s))
	return cases.Fold().String(norm.NFC.String(plain))
}

// containsWords reports whether every word of want occurs in text.
func containsWords(text, want string) bool {
	text = folded(text)
	for _, w := range strings.Fields(folded(want)) {
		if bare := strings.Trim(w, ".,;:!?“”\""); !strings.Contains(text, w) && (bare == "" || !strings.Contains(text, bare)) {
			return false
		}
	}
	return true
}

// fillers are words that ask, and say nothing of what is asked for.
var fillers = []string{
	"who", "whose", "what", "which", "where", "has", "have", "had", "got", "holds", "hold", "bought", "buys", "owns", "is", "are", "was", "did", "does",
	"the", "a", "an", "of", "to", "for", "by", "from", "with", "my", "me", "show", "find", "please", "number", "numbers", "no", "nr",
	"order", "orders", "print", "prints", "edition", "sold", "sale", "sales", "buyer", "state",
}

// outOf is a number with the limit of its edition, in words: "17 of 250".
var outOf = regexp.MustCompile(`(?i)\b(\d{1,6})\s+(?:out\s+)?of\s+(\d{1,6})\b`)

// askedFor leaves out of a question what only asks; a text of nothing else stays as it is.
func askedFor(text string) string {
	var left []string
	for _, w := range strings.Fields(outOf.ReplaceAllString(text, "$1/$2")) {
		bare := strings.TrimRight(folded(w), ".,;:!?")
		if bare != "" && !slices.Contains(fillers, bare) {
			left = append(left, strings.TrimRight(w, "?!"))
		}
	}
	if len(left) == 0 {
		return text
	}
	return strings.Join(left, " ")
}

// Forms of a question for a number: before the title, after it, or alone with its limit.
var (
	numberForm  = `(?:(AP|PP|HC|BAT)\s*)?(?:#\s*|№\s*|n[º°]\s*|n[or]\.?\s*|number\s+)?(\d{1,6})(?:\s*/\s*(\d{1,6}))?`
	numberFirst = regexp.MustCompile(`(?i)^` + numberForm + `\s+(\S.*)$`)
	numberLast  = regexp.MustCompile(`(?i)^(.*?)\s+` + numberForm + `$`)
	numberAlone = regexp.MustCompile(`(?i)^` + numberForm + `$`)
)

// askedNumber is a number asked for with words of a title; Of is its denominator, 0 = not said.
type askedNumber struct {
	edition.Number
	of    int
	title string
}

func newAsked(kind, n, of, title string) askedNumber {
	a := askedNumber{title: title}
	a.Kind = edition.Numbered
	if kind != "" {
		a.Kind = edition.Kind(strings.ToUpper(kind))
	}
	a.N, _ = strconv.Atoi(n) // up to six digits: see numberForm
	a.of, _ = strconv.Atoi(of)
	return a
}

// questions reads a text as questions for a number; none when it asks for none.
func questions(text string) []askedNumber {
	var out []askedNumber
	if m := numberAlone.FindStringSubmatch(text); m != nil {
		return append(out, newAsked(m[1], m[2], m[3], ""))
	}
	if m := numberFirst.FindStringSubmatch(text); m != nil {
		out = append(out, newAsked(m[1], m[2], m[3], m[4]))
	}
	if m := numberLast.FindStringSubmatch(text); m != nil {
		out = append(out, newAsked(m[2], m[3], m[4], m[1]))
	}
	return out
}

func (t *Book) findNumbers(text string) ([]studio.NumberView, error) {
	asked := questions(text)
	if len(asked) == 0 {
		return t.findInState(text)
	}
	eds, err := t.Editions()
	if err != nil {
		return nil, err
	}
	var out []studio.NumberView
	for _, a := range asked {
		for _, e := range eds {
			if !a.in(e) || len(out) >= mostNumbers {
				continue
			}
			v, err := register.In(t.Turn).NumberView(e, a.Number)
			if err != nil {
				return nil, err
			}
			out = append(out, v)
		}
	}
	return out, nil
}

// in reports whether an edition has the number asked for: title or grade, limit, range.
func (a askedNumber) in(e edition.Edition) bool {
	if a.Number.In(e) != nil || a.of != 0 && a.of != e.Count(a.Kind) {
		return false
	}
	return containsWords(e.Title+" "+e.Grade, a.title)
}

// findable are the states by which numbers are asked for in a word: those that are few.
var findable = map[string]edition.State{
	"returned": edition.Returned, "spoilt": edition.Spoilt, "spoiled": edition.Spoilt, "kept": edition.Kept, "withdrawn": edition.Withdrawn,
	"consigned": edition.Consigned, "consignment": edition.Consigned,
}

// findInState finds the numbers of a state that the text names, in the editions of its other words.
func (t *Book) findInState(text string) ([]studio.NumberView, error) {
	var state edition.State
	var title []string
	for _, w := range strings.Fields(text) {
		if s := findable[folded(w)]; s != "" && state == "" {
			state = s
			continue
		}
		title = append(title, w)
	}
	if state == "" {
		return nil, nil
	}
	eds, err := t.Editions()
	if err != nil {
		return nil, err
	}
	counts, err := t.Counts()
	if err != nil {
		return nil, err
	}
	var out []studio.NumberView
	for _, e := range eds {
		if counts[e.ID][state] == 0 || !containsWords(e.Title+" "+e.Grade, strings.Join(title, " ")) {
			continue
		}
		rows, err := t.Numbers(e.ID)
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			if r.Standing.State != state || len(out) >= mostNumbers {
				continue
			}
			v, err := register.In(t.Turn).NumberView(e, r.Number)
			if err != nil {
				return nil, err
			}
			out = append(out, v)
		}
	}
	return out, nil
}
