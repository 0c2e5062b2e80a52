package sale

import (
	"fmt"
	"slices"

	"solander/intake"
	"solander/intake/cell"
	"solander/intake/grid"
	"solander/intake/guess"
)

// What a row says by having no colour, or no word in its column of states. It is the weaker word: a colour or a word that
// means something has the last say.

// absent is what a row says by what it lacks.
type absent struct {
	fill, word bool           // it has no colour; its cell of the state is empty
	means      intake.Meaning // Nothing: nothing
	from       string
	two        bool // having no colour and having no word mean different things
}

func (r *Rows) absentOf(p *grid.Grid, fill, unknown intake.Fill, state intake.Cell, column int) absent {
	a := absent{fill: r.Unpainted(fill, unknown), word: column >= 0 && intake.WordKey(state.Text) == "", means: intake.Nothing}
	byFill, byWord := intake.Nothing, intake.Nothing
	if a.fill && r.Mapping.NoFill != "" {
		byFill = r.Mapping.NoFill
	}
	if a.word && r.Mapping.NoWord != "" {
		byWord = r.Mapping.NoWord
	}
	switch {
	case byWord == intake.Nothing && byFill == intake.Nothing:
	case byWord == intake.Nothing || byFill == intake.PaidFull && byWord == intake.Waiting:
		a.means, a.from = byFill, "no colour"
	default:
		a.means, a.from = byWord, "empty "+p.Name(column)
		a.two = byFill != intake.Nothing && rankOf(byFill) != rankOf(byWord)
	}
	return a
}

// aside says why a row is no sale by what it lacks; rule is "" when it may be one.
func (a absent) aside(colour, word intake.Meaning) (rule, why string) {
	switch {
	case a.means != intake.Ignore || a.two || colour != intake.Nothing || word != intake.Nothing:
		return "", ""
	case a.from == "no colour":
		return "colour", "it has no colour, which means that it is no sale"
	}
	return "word", "its state is empty, which means that it is no sale"
}

// readAbsent gives a row that says nothing else what its lacks mean. While that is not said, and other rows do say how they
// stand in that way, it is asked: nobody is chased for money because a row says nothing. A row that waits for the meaning of its
// colour or word is asked about that first.
func (r *Rows) readAbsent(s *Sale, a absent, column int) {
	if s.State != intake.Nothing || !s.Days[SentOn].Day.IsZero() || s.Days[SentOn].Open {
		return
	}
	switch {
	case a.two:
		r.Problem(s, -1, cell.Trouble{Rule: "state.two", What: fmt.Sprintf("having no colour means %s, an empty state means %s", r.Mapping.NoFill, r.Mapping.NoWord), Mend: "let both mean the same, or give one of them no meaning", Bars: true})
	case a.means != intake.Nothing:
		s.State, s.StateFrom = a.means, a.from
	case a.fill && r.Mapping.NoFill == "" && r.coloured:
		id := r.Ask(intake.Question{ID: intake.AskNoFill, What: "What do rows without a colour mean?", Where: s.Place(-1), Choices: intake.MeaningChoices()})
		r.Problem(s, -1, cell.Trouble{Rule: "colour.none", What: "other rows have colours, and what none means is not said", Mend: "say what it means", Bars: true, Ask: id})
	case a.word && r.Mapping.NoWord == "" && r.worded && !guess.SentHeadings[intake.Fold(s.Grid.Heading(column))]:
		id := r.Ask(intake.Question{ID: intake.AskNoWord, What: "What does an empty cell under " + s.Grid.Name(column) + " mean?", Where: s.Place(column), Choices: intake.MeaningChoices()})
		r.Problem(s, column, cell.Trouble{Rule: "state.none", What: "other rows have a word for their state, and what none means is not said", Mend: "say what it means", Bars: true, Ask: id})
	}
}

// lookAround notes whether rows of the file have colours, or words, that say how a sale stands, or that still wait for their
// meaning.
func (r *Rows) lookAround(plans []grid.Grid) {
	for i := range plans {
		p := &plans[i]
		for j := range p.Sheet.Rows {
			row := &p.Sheet.Rows[j]
			if row.N < p.First || row.N == p.Header {
				continue
			}
			if !r.coloured && slices.ContainsFunc(row.Cells, func(c intake.Cell) bool { return !r.NoColour(c.Fill) }) {
				means, _, _, unknown := r.RowMeaning(p, row)
				r.coloured = means.Stands() || unknown != 0
			}
			if c, column := p.Cell(row, intake.State); !r.worded && column >= 0 && intake.WordKey(c.Text) != "" {
				means, known := r.StateWord(c.Text)
				r.worded = !known || means.Stands()
			}
			if r.coloured && r.worded {
				return
			}
		}
	}
}
