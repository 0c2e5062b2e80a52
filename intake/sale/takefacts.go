package sale

import (
	"strings"

	"solander/edition"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/notes"
)

// readNotes finds the facts in the notes of each row, and takes those with her yes, where the row's own columns say nothing.
func (r *Rows) readNotes() {
	for _, s := range r.Sales {
		for _, column := range s.Grid.Fields[intake.Note] {
			c := s.Row.At(column)
			if c.Kind != intake.Words || c.Merged {
				continue
			}
			if len(c.Text) > notes.MostNote {
				r.Problem(s, column, cell.Trouble{Rule: "note.long", What: "the note is too long to be read for facts", Mend: "read it yourself; it is kept with the order"})
			}
			for _, f := range r.Figures.FactsIn(c.Text, s.Days[Placed].Day) {
				f.Column, f.ID = column, factID(s.Origin, c.Text, f)
				f.Says = f.InWords()
				f.Taken, f.Refused = r.In.Answers[f.ID] == intake.Yes, r.In.Answers[f.ID] == intake.No
				s.Facts = append(s.Facts, f)
			}
		}
		notes.Contradict(s.Facts, s.Due(r.Figures.Currency, r.Mapping.Several))
		for i := range s.Facts {
			if r.againstRow(s, s.Facts[i]) {
				s.Facts[i].Against = append(s.Facts[i].Against, "row")
			}
		}
		r.tellContradictions(s)
		for _, f := range s.Facts {
			if f.Taken {
				r.take(s, f)
			}
		}
	}
}

// tellContradictions tells facts that cannot all be true, unless she took one of them, and refused the others.
func (r *Rows) tellContradictions(s *Sale) {
	for i, f := range s.Facts {
		if len(f.Against) == 0 || f.Refused {
			continue
		}
		for _, g := range s.Facts[i+1:] {
			if containsID(f.Against, g.ID) && !g.Refused {
				r.Problem(s, f.Column, cell.Trouble{Rule: "note.contradiction", What: "the note says both that " + f.Says + " and that " + g.Says, Mend: "take the one that is true, refuse the other", Bars: f.Taken && g.Taken})
			}
		}
		if containsID(f.Against, "row") {
			r.Problem(s, f.Column, cell.Trouble{Rule: "note.row", What: "the note says that " + f.Says + ", the row's own columns say otherwise", Mend: "refuse the fact, or correct the row", Bars: f.Taken})
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
func (r *Rows) againstRow(s *Sale, f intake.Fact) bool {
	switch f.Kind {
	case intake.OfSize:
		return f.Width != 0 && len(s.Also) == 0 && s.Size.Width != 0 && (cell.SizeRead{Width: f.Width, Height: f.Height} != s.Size)
	case intake.OfGrade:
		return s.Grade != "" && len(s.Also) == 0 && intake.Fold(s.Grade) != intake.Fold(f.Text)
	case intake.OfNumber:
		n, ok, _ := cell.NumbersText(f.Text)
		return ok && len(s.Also) == 0 && len(s.Numbers.Numbers) > 0 && !contains(s.Numbers.Numbers, n.Numbers)
	case intake.HowMany:
		n := counted(f.Text)
		return n > 0 && s.quantity > 0 && n != s.Prints()
	case intake.PaidAll:
		return s.Owed != nil && s.Owed.Sign() > 0
	case intake.StillOwed:
		return f.Percent == 0 && s.Owed != nil && f.Amount != *s.Owed && !f.Amount.IsZero()
	case intake.PaidPart:
		return f.Percent == 0 && s.Paid != nil && f.Amount != *s.Paid && !f.Amount.IsZero()
	case intake.NotPaid:
		return s.PaidWhole || s.Paid != nil && s.Paid.Sign() > 0
	case intake.SentOnDay:
		return !f.Day.IsZero() && !s.Days[SentOn].Day.IsZero() && f.Day != s.Days[SentOn].Day
	case intake.SoldOnDay:
		return !f.Day.IsZero() && !s.Days[Placed].Day.IsZero() && f.Day != s.Days[Placed].Day
	case intake.NeededBy:
		return !f.Day.IsZero() && !s.Days[ArriveBy].Day.IsZero() && f.Day != s.Days[ArriveBy].Day
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
	n, ok := cell.WholeNumber(intake.Cell{Kind: intake.Words, Text: text})
	if !ok || n > cell.MostNumbers {
		return 0
	}
	return n
}

// take puts a fact where the row says nothing itself. Facts about money are taken when the order is known whole: see payments.
// Facts about the lab, a later hand-over and gifts have no place in an order: they stay with it as facts.
func (r *Rows) take(s *Sale, f intake.Fact) {
	if len(s.Also) > 0 && (f.Kind == intake.OfSize || f.Kind == intake.OfGrade || f.Kind == intake.OfNumber || f.Kind == intake.HowMany) {
		return // of which of the row's prints, the note does not say
	}
	switch f.Kind {
	case intake.OfSize:
		if s.Size == (cell.SizeRead{}) {
			s.Size, s.SizeText = cell.SizeRead{Width: f.Width, Height: f.Height}, f.Text
		}
	case intake.OfGrade:
		if s.Grade == "" {
			s.Grade = strings.ToLower(f.Text)
		}
	case intake.OfNumber:
		if n, ok, t := cell.NumbersText(f.Text); ok && t.None() && len(s.Numbers.Numbers) == 0 {
			s.Numbers = n
		}
	case intake.HowMany:
		if n := counted(f.Text); s.quantity == 0 && len(s.Numbers.Numbers) <= 1 {
			s.quantity = n
		}
	case intake.SentOnDay:
		r.takeDay(s, SentOn, f)
		if s.State == intake.Nothing && !f.Day.IsZero() {
			s.State, s.StateFrom = intake.Sent, "note"
		}
	case intake.SoldOnDay:
		r.takeDay(s, Placed, f)
	case intake.NeededBy:
		r.takeDay(s, ArriveBy, f)
	}
}

func (r *Rows) takeDay(s *Sale, i int, f intake.Fact) {
	if s.Days[i].Day.IsZero() {
		s.Days[i] = saleDay{Day: f.Day, Column: f.Column}
	}
}

// Pieces are the kinds of prints of all rows.
func (r *Rows) Pieces() []*Sale {
	all := make([]*Sale, 0, len(r.Sales))
	for _, s := range r.Sales {
		all = append(append(all, s), s.Also...)
	}
	return all
}
