package sale

import (
	"fmt"

	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
)

// inquiry is the report as far as it is written, with what was asked and told in it.
type inquiry struct {
	Report  intake.Report
	answers intake.Answers
	asked   map[string]int // questions by id
	told    map[string]int // the problem that told first of a question
}

// Ask adds a question, or counts one more row that hangs on it, and returns its id.
func (r *inquiry) Ask(q intake.Question) string {
	if at, ok := r.asked[q.ID]; ok {
		r.Report.Questions[at].Rows++
		return q.ID
	}
	q.Rows, q.Answer = 1, r.Answer(q.ID)
	if q.Choices == nil {
		q.Choices = []intake.Choice{}
	}
	r.asked[q.ID] = len(r.Report.Questions)
	r.Report.Questions = append(r.Report.Questions, q)
	return q.ID
}

// Problem adds a problem of a row; column -1 is the whole row. A trouble that a question settles is told at the first row that
// hangs on it, and again at each when the answer did not settle it.
func (r *inquiry) Problem(s *Sale, column int, t cell.Trouble, others ...intake.Place) {
	if s.head != nil {
		s = s.head // a further print is of its row
	}
	p := intake.Problem{Rule: t.Rule, Bars: t.Bars, Sheet: s.Origin.Sheet, Row: s.Origin.Row, What: t.What, Mend: t.Mend, Others: others, Ask: t.Ask}
	if column >= 0 {
		p.Column, p.Heading, p.Text = intake.Letters(column), s.Grid.Heading(column), fault.Clip(s.Row.At(column).Text)
	}
	if q, ok := intake.WholeFile[t.Ask]; ok {
		q.ID, q.Where = t.Ask, intake.Place{Sheet: s.Origin.Sheet, Row: s.Origin.Row, Column: p.Column}
		r.Ask(q)
	}
	if t.Ask != "" && r.Answer(t.Ask) == "" {
		s.Waits = s.Waits || t.Bars
		if at, told := r.told[t.Ask]; told {
			s.Problems = append(s.Problems, at)
			return
		}
		r.told[t.Ask] = len(r.Report.Problems)
	}
	s.Problems = append(s.Problems, len(r.Report.Problems))
	r.Report.Problems = append(r.Report.Problems, p)
}

// Once tells a trouble that all rows of a sheet share at the first of them.
func (r *inquiry) Once(s *Sale, t cell.Trouble) {
	key := s.Origin.Sheet + "\x00" + t.Rule
	if at, told := r.told[key]; told {
		s.Problems = append(s.Problems, at)
		return
	}
	r.told[key] = len(r.Report.Problems)
	r.Problem(s, -1, t)
}

func (r *Rows) askFill(s *Sale, f intake.Fill) {
	id := r.Ask(intake.Question{ID: "fill:" + f.String(), What: fmt.Sprintf("What do rows in %s (%s) mean?", f.Word(), f), Where: s.Place(-1), Choices: intake.MeaningChoices()})
	r.Problem(s, -1, cell.Trouble{Rule: "colour.unknown", What: "what " + f.Word() + " (" + f.String() + ") means is not said", Mend: "say what it means", Bars: true, Ask: id})
}

func (r *Rows) askWord(s *Sale, c intake.Cell, column int) {
	id := r.Ask(intake.Question{ID: "word:" + intake.WordKey(c.Text), What: "What does “" + fault.Clip(intake.Clean(c.Text)) + "” mean?", Where: s.Place(column), Choices: intake.MeaningChoices()})
	r.Problem(s, column, cell.Trouble{Rule: "state.unknown", What: "what the word means is not said: " + fault.Clip(intake.Clean(c.Text)), Mend: "say what it means", Bars: true, Ask: id})
}

// Answer returns what she said to a question.
func (r *inquiry) Answer(id string) string { return r.answers.Of(id) }
