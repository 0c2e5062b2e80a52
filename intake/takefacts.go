package intake

import (
	"strings"

	"solander/edition"
)

// readNotes finds the facts in the notes of each row, and takes those with her yes, where the row's own columns say nothing.
func (r *Rows) readNotes() {
	for _, s := range r.sales {
		for _, column := range s.plan.fields[Note] {
			c := s.row.At(column)
			if c.Kind != Words || c.Merged {
				continue
			}
			if len(c.Text) > mostNote {
				r.problem(s, column, trouble{"note.long", "the note is too long to be read for facts", "read it yourself; it is kept with the order", false, ""})
			}
			for _, f := range r.figures.factsIn(c.Text, s.days[placed].day) {
				f.Column, f.ID = column, factID(s.origin, c.Text, f)
				f.Says = f.says()
				f.Taken, f.Refused = r.in.Answers[f.ID] == Yes, r.in.Answers[f.ID] == No
				s.facts = append(s.facts, f)
			}
		}
		contradict(s.facts, s.due(r.figures.currency, r.mapping.Several))
		for i := range s.facts {
			if r.againstRow(s, s.facts[i]) {
				s.facts[i].Against = append(s.facts[i].Against, "row")
			}
		}
		r.tellContradictions(s)
		for _, f := range s.facts {
			if f.Taken {
				r.take(s, f)
			}
		}
	}
}

// tellContradictions tells facts that cannot all be true, unless she took one of them, and refused the others.
func (r *Rows) tellContradictions(s *sale) {
	for i, f := range s.facts {
		if len(f.Against) == 0 || f.Refused {
			continue
		}
		for _, g := range s.facts[i+1:] {
			if containsID(f.Against, g.ID) && !g.Refused {
				r.problem(s, f.Column, trouble{"note.contradiction", "the note says both that " + f.Says + " and that " + g.Says, "take the one that is true, refuse the other", f.Taken && g.Taken, ""})
			}
		}
		if containsID(f.Against, "row") {
			r.problem(s, f.Column, trouble{"note.row", "the note says that " + f.Says + ", the row's own columns say otherwise", "refuse the fact, or correct the row", f.Taken, ""})
		}
	}
}

func containsID(ids []string, id string) bool {
	for _, x := range ids {
		if x == id {
			return true
		}
	}
	return false
}

// againstRow reports a fact that the row's own columns contradict.
func (r *Rows) againstRow(s *sale, f Fact) bool {
	switch f.Kind {
	case OfSize:
		return f.Width != 0 && len(s.also) == 0 && s.size.width != 0 && (sizeRead{f.Width, f.Height} != s.size)
	case OfGrade:
		return s.grade != "" && len(s.also) == 0 && Fold(s.grade) != Fold(f.Text)
	case OfNumber:
		n, ok, _ := numbersText(f.Text)
		return ok && len(s.also) == 0 && len(s.numbers.numbers) > 0 && !contains(s.numbers.numbers, n.numbers)
	case HowMany:
		n := counted(f.Text)
		return n > 0 && s.quantity > 0 && n != s.prints()
	case PaidAll:
		return s.owed != nil && s.owed.Sign() > 0
	case StillOwed:
		return f.Percent == 0 && s.owed != nil && f.Amount != *s.owed && !f.Amount.IsZero()
	case PaidPart:
		return f.Percent == 0 && s.paid != nil && f.Amount != *s.paid && !f.Amount.IsZero()
	case NotPaid:
		return s.paidWhole || s.paid != nil && s.paid.Sign() > 0
	case SentOnDay:
		return !f.Day.IsZero() && !s.days[sentOn].day.IsZero() && f.Day != s.days[sentOn].day
	case SoldOnDay:
		return !f.Day.IsZero() && !s.days[placed].day.IsZero() && f.Day != s.days[placed].day
	case NeededBy:
		return !f.Day.IsZero() && !s.days[arriveBy].day.IsZero() && f.Day != s.days[arriveBy].day
	}
	return false
}

func contains(all, some []edition.Number) bool {
	for _, n := range some {
		found := false
		for _, m := range all {
			found = found || n == m
		}
		if !found {
			return false
		}
	}
	return true
}

// counted reads how many, in figures or in words; 0 for other text.
func counted(text string) int {
	if n, ok := map[string]int{"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}[strings.ToLower(text)]; ok {
		return n
	}
	n, ok := wholeNumber(Cell{Kind: Words, Text: text})
	if !ok || n > mostNumbers {
		return 0
	}
	return n
}

// take puts a fact where the row says nothing itself. Facts about money are taken when the order is known whole: see payments.
// Facts about the lab, a later hand-over and gifts have no place in an order: they stay with it as facts.
func (r *Rows) take(s *sale, f Fact) {
	if len(s.also) > 0 && (f.Kind == OfSize || f.Kind == OfGrade || f.Kind == OfNumber || f.Kind == HowMany) {
		return // of which of the row's prints, the note does not say
	}
	switch f.Kind {
	case OfSize:
		if s.size == (sizeRead{}) {
			s.size, s.sizeText = sizeRead{f.Width, f.Height}, f.Text
		}
	case OfGrade:
		if s.grade == "" {
			s.grade = strings.ToLower(f.Text)
		}
	case OfNumber:
		if n, ok, t := numbersText(f.Text); ok && t.none() && len(s.numbers.numbers) == 0 {
			s.numbers = n
		}
	case HowMany:
		if n := counted(f.Text); s.quantity == 0 && len(s.numbers.numbers) <= 1 {
			s.quantity = n
		}
	case SentOnDay:
		r.takeDay(s, sentOn, f)
		if s.state == Nothing && !f.Day.IsZero() {
			s.state, s.stateFrom = Sent, "note"
		}
	case SoldOnDay:
		r.takeDay(s, placed, f)
	case NeededBy:
		r.takeDay(s, arriveBy, f)
	}
}

func (r *Rows) takeDay(s *sale, i int, f Fact) {
	if s.days[i].day.IsZero() {
		s.days[i] = saleDay{day: f.Day, column: f.Column}
	}
}

// pieces are the kinds of prints of all rows.
func (r *Rows) pieces() []*sale {
	all := make([]*sale, 0, len(r.sales))
	for _, s := range r.sales {
		all = append(append(all, s), s.also...)
	}
	return all
}
