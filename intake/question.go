package intake

import (
	"fmt"
	"strings"

	"solander/fault"
)

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

// ask adds a question, or counts one more row that hangs on it, and returns its id.
func (r *reader) ask(q Question) string {
	if at, ok := r.asked[q.ID]; ok {
		r.report.Questions[at].Rows++
		return q.ID
	}
	q.Rows, q.Answer = 1, r.answer(q.ID)
	if q.Choices == nil {
		q.Choices = []Choice{}
	}
	r.asked[q.ID] = len(r.report.Questions)
	r.report.Questions = append(r.report.Questions, q)
	return q.ID
}

// problem adds a problem of a row; column -1 is the whole row. A trouble that a question settles is told at the first row that
// hangs on it, and again at each when the answer did not settle it.
func (r *reader) problem(s *sale, column int, t trouble, others ...Place) {
	if s.head != nil {
		s = s.head // a further print is of its row
	}
	p := Problem{Rule: t.rule, Bars: t.bars, Sheet: s.origin.Sheet, Row: s.origin.Row, What: t.what, Mend: t.mend, Others: others, Ask: t.ask}
	if column >= 0 {
		p.Column, p.Heading, p.Text = Letters(column), s.plan.heading(column), fault.Clip(s.row.At(column).Text)
	}
	if q, ok := wholeFile[t.ask]; ok {
		q.ID, q.Where = t.ask, Place{s.origin.Sheet, s.origin.Row, p.Column}
		r.ask(q)
	}
	if t.ask != "" && r.answer(t.ask) == "" {
		s.waits = s.waits || t.bars
		if at, told := r.told[t.ask]; told {
			s.problems = append(s.problems, at)
			return
		}
		r.told[t.ask] = len(r.report.Problems)
	}
	s.problems = append(s.problems, len(r.report.Problems))
	r.report.Problems = append(r.report.Problems, p)
}

// once tells a trouble that all rows of a sheet share at the first of them.
func (r *reader) once(s *sale, t trouble) {
	key := s.origin.Sheet + "\x00" + t.rule
	if at, told := r.told[key]; told {
		s.problems = append(s.problems, at)
		return
	}
	r.told[key] = len(r.report.Problems)
	r.problem(s, -1, t)
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

func (r *reader) askFill(s *sale, f Fill) {
	id := r.ask(Question{ID: "fill:" + f.String(), What: fmt.Sprintf("What do rows in %s (%s) mean?", f.Word(), f), Where: s.place(-1), Choices: meaningChoices()})
	r.problem(s, -1, trouble{"colour.unknown", "what " + f.Word() + " (" + f.String() + ") means is not said", "say what it means", true, id})
}

func (r *reader) askWord(s *sale, c Cell, column int) {
	id := r.ask(Question{ID: "word:" + wordKey(c.Text), What: "What does " + fault.Clip(clean(c.Text)) + " mean?", Where: s.place(column), Choices: meaningChoices()})
	r.problem(s, column, trouble{"state.unknown", "what the word means is not said: " + fault.Clip(clean(c.Text)), "say what it means", true, id})
}
