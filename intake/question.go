package intake

import (
	"fmt"

	"solander/fault"
)

// inquiry is the report as far as it is written, with what was asked and told in it.
type inquiry struct {
	report  Report
	answers Answers
	asked   map[string]int // questions by id
	told    map[string]int // the problem that told first of a question
}

// ask adds a question, or counts one more row that hangs on it, and returns its id.
func (r *inquiry) ask(q Question) string {
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
func (r *inquiry) problem(s *sale, column int, t trouble, others ...Place) {
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
func (r *inquiry) once(s *sale, t trouble) {
	key := s.origin.Sheet + "\x00" + t.rule
	if at, told := r.told[key]; told {
		s.problems = append(s.problems, at)
		return
	}
	r.told[key] = len(r.report.Problems)
	r.problem(s, -1, t)
}

func (r *Rows) askFill(s *sale, f Fill) {
	id := r.ask(Question{ID: "fill:" + f.String(), What: fmt.Sprintf("What do rows in %s (%s) mean?", f.Word(), f), Where: s.place(-1), Choices: meaningChoices()})
	r.problem(s, -1, trouble{"colour.unknown", "what " + f.Word() + " (" + f.String() + ") means is not said", "say what it means", true, id})
}

func (r *Rows) askWord(s *sale, c Cell, column int) {
	id := r.ask(Question{ID: "word:" + wordKey(c.Text), What: "What does " + fault.Clip(clean(c.Text)) + " mean?", Where: s.place(column), Choices: meaningChoices()})
	r.problem(s, column, trouble{"state.unknown", "what the word means is not said: " + fault.Clip(clean(c.Text)), "say what it means", true, id})
}

// answer returns what she said to a question.
func (r *inquiry) answer(id string) string { return r.answers.Of(id) }
