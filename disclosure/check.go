package disclosure

import (
	"regexp"
	"strings"
)

// Line is one item of the rules, held against what is told.
type Line struct {
	Item
	Told  Told   `json:"told"`
	Lacks bool   `json:"lacks"`         // nothing was said of it
	Found Found  `json:"found"`         // in the text, where one was given
	Why   string `json:"why,omitempty"` // of what was looked for in the text
}

// Found says whether a text says a fact.
type Found string

// A text says it, does not, or need not. A text is searched for the words and figures of the fact: who reads it has the last word.
const (
	NotAsked Found = ""
	Says     Found = "says"
	Silent   Found = "silent"
	NeedNot  Found = "need not"
)

// Check holds what is told against the rules, item by item.
func (s Set) Check(f Facts) []Line {
	var out []Line
	for _, it := range s.Facts {
		if it.When != "" && f[it.When].Said != Stated && f[it.When].Said != Missing {
			continue
		}
		t := f[it.Fact]
		if it.When != "" && f[it.When].Said == Missing && t.Said == Missing {
			continue // the fact that it hangs on lacks already
		}
		out = append(out, Line{Item: it, Told: t, Lacks: t.Said == Missing})
	}
	return out
}

// CheckText holds a text, of a certificate or a listing, against the rules, item by item.
func (s Set) CheckText(f Facts, text string) []Line {
	out := s.Check(f)
	have := plain(text)
	for i := range out {
		l := &out[i]
		switch l.Told.Said {
		case Missing:
			l.Found, l.Why = Silent, "nothing was said of it yet"
		case None:
			l.Found = NeedNot
		case Unknown:
			l.Found, l.Why = foundAll(have, []string{UnknownWords})
		case Stated:
			l.Found, l.Why = foundAll(have, marks(l.Fact, l.Told.Words))
		}
	}
	return out
}

// FixedIn says which of the words that stand as they are lack in a text.
func (s Set) FixedIn(text string, class Class) (lack []Fixed) {
	have := plain(text)
	for _, w := range s.Fixed {
		if w.Class == class && !strings.Contains(have, plain(w.Words)) {
			lack = append(lack, w)
		}
	}
	return lack
}

var wordForm = regexp.MustCompile(`[\pL\pN]+`)

// plain is a text as words alone, in small letters, each between spaces.
func plain(text string) string {
	return " " + strings.Join(wordForm.FindAllString(strings.ToLower(text), -1), " ") + " "
}

// small are words that say nothing by themselves.
var small = map[string]bool{
	"the": true, "and": true, "for": true, "with": true, "from": true, "are": true, "was": true, "were": true, "its": true, "his": true,
	"her": true, "who": true, "all": true, "besides": true, "about": true, "which": true, "this": true, "that": true, "none": true,
}

// marks are what a text must hold to say a fact: its figures, and its words of three letters and more.
func marks(f Fact, words string) []string {
	if f == Limited {
		if strings.Contains(words, "open") {
			return []string{"open edition"}
		}
		return []string{"limited edition"}
	}
	var out []string
	for _, w := range wordForm.FindAllString(strings.ToLower(words), -1) {
		if figure := w[0] >= '0' && w[0] <= '9'; figure || len([]rune(w)) > 2 && !small[w] {
			out = append(out, w)
		}
	}
	if len(out) == 0 {
		return []string{strings.TrimSpace(plain(words))}
	}
	return out
}

// foundAll looks for every mark as a whole word.
func foundAll(have string, marks []string) (Found, string) {
	var lack []string
	for _, m := range marks {
		if !strings.Contains(have, " "+strings.TrimSpace(plain(m))+" ") {
			lack = append(lack, m)
		}
	}
	if len(lack) > 0 {
		return Silent, "not found: " + strings.Join(lack, ", ")
	}
	return Says, ""
}
