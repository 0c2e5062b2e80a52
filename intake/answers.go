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

// ShortSum tells long texts apart.
func ShortSum(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "…" + hex.EncodeToString(sum[:6])
}

// CutAt returns the last place up to n where no character is cut.
func CutAt(s string, n int) int {
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return n
}

// The ids of questions about the whole file. The others are "fill:" and the colour, "word:" and the folded word, "year:" with
// sheet and year, "buyer:" and the folded name, "edition:" and "limit:" with the edition in words.
const (
	AskDays    = "days"
	AskDecimal = "decimal"
	AskUnit    = "unit"
	AskOutlet  = "outlet"
	AskNoBuyer = "nobuyer"
	AskSeveral = "several"
	AskNoFill  = "nofill"
	AskNoWord  = "noword"
)

// Over lays the answers that belong into a mapping over it. Unsound values are left to Validate.
func (a Answers) Over(m Mapping) Mapping {
	if v := a[AskDays]; v != "" && m.Days == "" {
		m.Days = DayOrder(v)
	}
	if v := a[AskDecimal]; v != "" && m.Decimal == "" {
		m.Decimal = v
	}
	if v := a[AskUnit]; v != "" && m.Unit == "" {
		m.Unit = v
	}
	if v := a[AskSeveral]; v != "" && m.Several == "" {
		m.Several = v
	}
	if v := a[AskOutlet]; v != "" && m.Outlet == "" {
		m.Outlet = v
	}
	if v := a[AskNoFill]; v != "" && m.NoFill == "" {
		m.NoFill = Meaning(v)
	}
	if v := a[AskNoWord]; v != "" && m.NoWord == "" {
		m.NoWord = Meaning(v)
	}
	known, knownWords := map[Fill]bool{}, map[string]bool{}
	for _, f := range m.Fills {
		known[f.Fill] = true
	}
	for _, w := range m.Words {
		knownWords[WordKey(w.Text)] = true
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

// WholeFile are the questions whose answer is a part of the mapping.
var WholeFile = map[string]Question{
	AskDays:    {What: "Which comes first in days such as 4/6/2025?", Choices: []Choice{{string(DayMonth), "the day: 4/6 is 4 June"}, {string(MonthDay), "the month: 4/6 is April 6"}}},
	AskDecimal: {What: "Which sign marks decimals in amounts such as 1,250?", Choices: []Choice{{".", "the point: 1,250 is one thousand two hundred and fifty"}, {",", "the comma: 1,250 is one and a quarter"}}},
	AskUnit:    {What: "Which unit are sizes in, such as 12 x 18?", Choices: []Choice{{"in", "inches"}, {"cm", "centimetres"}, {"mm", "millimetres"}}},
	AskSeveral: {What: "In a row with several prints, what is the price of?", Choices: []Choice{{OfEach, "of each print"}, {OfAll, "of all prints of the row together"}}},
	AskOutlet:  {What: "Where were the sales made that name no outlet?"},
	AskNoBuyer: {What: "Which name do buyers get of whom the rows say none?"},
}

func MeaningChoices() []Choice {
	var all []Choice
	for _, m := range Meanings() {
		all = append(all, Choice{string(m), m.Long()})
	}
	return all
}

func sorted(a Answers) []string { return slices.Sorted(maps.Keys(a)) }
