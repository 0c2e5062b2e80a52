package intake

import (
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
)

// ForAll ends the id of an answer that holds for every question of its kind that has none of its own: "year:*", "prints:*".
const ForAll = "*"

// Of returns the answer to a question: its own, or the one for all of its kind.
func (a Answers) Of(id string) string {
	if v := a[id]; v != "" {
		return v
	}
	kind, rest, many := strings.Cut(id, ":")
	if !many || rest == "" {
		return ""
	}
	return a[kind+":"+ForAll]
}

// shortSum tells long texts apart.
func shortSum(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "…" + hex.EncodeToString(sum[:6])
}

// cutAt returns the last place up to n where no character is cut.
func cutAt(s string, n int) int {
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return n
}

// The ids of questions about the whole file. The others are "fill:" and the colour, "word:" and the folded word, "year:" with
// sheet and year, "buyer:" and the folded name, "edition:" and "limit:" with the edition in words.
const (
	askDays    = "days"
	askDecimal = "decimal"
	askUnit    = "unit"
	askOutlet  = "outlet"
	askNoBuyer = "nobuyer"
	askSeveral = "several"
	askNoFill  = "nofill"
	askNoWord  = "noword"
)

// over lays the answers that belong into a mapping over it. Unsound values are left to Validate.
func (a Answers) over(m Mapping) Mapping {
	if v := a[askDays]; v != "" && m.Days == "" {
		m.Days = DayOrder(v)
	}
	if v := a[askDecimal]; v != "" && m.Decimal == "" {
		m.Decimal = v
	}
	if v := a[askUnit]; v != "" && m.Unit == "" {
		m.Unit = v
	}
	if v := a[askSeveral]; v != "" && m.Several == "" {
		m.Several = v
	}
	if v := a[askOutlet]; v != "" && m.Outlet == "" {
		m.Outlet = v
	}
	if v := a[askNoFill]; v != "" && m.NoFill == "" {
		m.NoFill = Meaning(v)
	}
	if v := a[askNoWord]; v != "" && m.NoWord == "" {
		m.NoWord = Meaning(v)
	}
	known, knownWords := map[Fill]bool{}, map[string]bool{}
	for _, f := range m.Fills {
		known[f.Fill] = true
	}
	for _, w := range m.Words {
		knownWords[wordKey(w.Text)] = true
	}
	m.Fills, m.Words = append([]FillMap(nil), m.Fills...), append([]WordMap(nil), m.Words...)
	for _, id := range sorted(a) {
		what, rest, _ := strings.Cut(id, ":")
		switch means := Meaning(a[id]); what {
		case "fill":
			if f, err := ParseFill(rest); err == nil && !f.IsZero() && !known[f] {
				m.Fills = append(m.Fills, FillMap{f, means})
			}
		case "word":
			if !knownWords[rest] {
				m.Words = append(m.Words, WordMap{rest, means})
			}
		}
	}
	return m
}

// wholeFile are the questions whose answer is a part of the mapping.
var wholeFile = map[string]Question{
	askDays:    {What: "Which comes first in days such as 4/6/2025?", Choices: []Choice{{string(DayMonth), "the day: 4/6 is 4 June"}, {string(MonthDay), "the month: 4/6 is April 6"}}},
	askDecimal: {What: "Which sign marks decimals in amounts such as 1,250?", Choices: []Choice{{".", "the point: 1,250 is one thousand two hundred and fifty"}, {",", "the comma: 1,250 is one and a quarter"}}},
	askUnit:    {What: "Which unit are sizes in, such as 12 x 18?", Choices: []Choice{{"in", "inches"}, {"cm", "centimetres"}, {"mm", "millimetres"}}},
	askSeveral: {What: "In a row with several prints, what is the price of?", Choices: []Choice{{ofEach, "of each print"}, {ofAll, "of all prints of the row together"}}},
	askOutlet:  {What: "Where were the sales made that name no outlet?"},
	askNoBuyer: {What: "Which name do buyers get of whom the rows say none?"},
}

func meaningChoices() []Choice {
	var all []Choice
	for _, m := range Meanings() {
		all = append(all, Choice{string(m), m.Long()})
	}
	return all
}

func sorted(a Answers) []string { return slices.Sorted(maps.Keys(a)) }
