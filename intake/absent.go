package intake

import (
	"fmt"
	"slices"
)

// What a row says by having no colour, or no word in its column of states. It is the weaker word: a colour or a word that
// means something has the last say.

// absent is what a row says by what it lacks.
type absent struct {
	fill, word bool    // it has no colour; its cell of the state is empty
	means      Meaning // Nothing: nothing
	from       string
	two        bool // having no colour and having no word mean different things
}

func (r *Rows) absentOf(p *plan, fill, unknown Fill, state Cell, column int) absent {
	a := absent{fill: r.unpainted(fill, unknown), word: column >= 0 && wordKey(state.Text) == "", means: Nothing}
	byFill, byWord := Nothing, Nothing
	if a.fill && r.mapping.NoFill != "" {
		byFill = r.mapping.NoFill
	}
	if a.word && r.mapping.NoWord != "" {
		byWord = r.mapping.NoWord
	}
	switch {
	case byWord == Nothing && byFill == Nothing:
	case byWord == Nothing || byFill == PaidFull && byWord == Waiting:
		a.means, a.from = byFill, "no colour"
	default:
		a.means, a.from = byWord, "empty "+p.name(column)
		a.two = byFill != Nothing && rankOf(byFill) != rankOf(byWord)
	}
	return a
}

// aside says why a row is no sale by what it lacks; rule is "" when it may be one.
func (a absent) aside(colour, word Meaning) (rule, why string) {
	switch {
	case a.means != Ignore || a.two || colour != Nothing || word != Nothing:
		return "", ""
	case a.from == "no colour":
		return "colour", "it has no colour, which means that it is no sale"
	}
	return "word", "its state is empty, which means that it is no sale"
}

// readAbsent gives a row that says nothing else what its lacks mean. While that is not said, and other rows do say how they
// stand in that way, it is asked: nobody is chased for money because a row says nothing. A row that waits for the meaning of its
// colour or word is asked about that first.
func (r *Rows) readAbsent(s *sale, a absent, column int) {
	if s.state != Nothing || !s.days[sentOn].day.IsZero() || s.days[sentOn].open {
		return
	}
	switch {
	case a.two:
		r.problem(s, -1, trouble{"state.two", fmt.Sprintf("having no colour means %s, an empty state means %s", r.mapping.NoFill, r.mapping.NoWord), "let both mean the same, or give one of them no meaning", true, ""})
	case a.means != Nothing:
		s.state, s.stateFrom = a.means, a.from
	case a.fill && r.mapping.NoFill == "" && r.coloured:
		id := r.ask(Question{ID: askNoFill, What: "What do rows without a colour mean?", Where: s.place(-1), Choices: meaningChoices()})
		r.problem(s, -1, trouble{"colour.none", "other rows have colours, and what none means is not said", "say what it means", true, id})
	case a.word && r.mapping.NoWord == "" && r.worded && !sentHeadings[Fold(s.plan.heading(column))]:
		id := r.ask(Question{ID: askNoWord, What: "What does an empty cell under " + s.plan.name(column) + " mean?", Where: s.place(column), Choices: meaningChoices()})
		r.problem(s, column, trouble{"state.none", "other rows have a word for their state, and what none means is not said", "say what it means", true, id})
	}
}

// lookAround notes whether rows of the file have colours, or words, that say how a sale stands, or that still wait for their
// meaning.
func (r *Rows) lookAround(plans []plan) {
	for i := range plans {
		p := &plans[i]
		for j := range p.sheet.Rows {
			row := &p.sheet.Rows[j]
			if row.N < p.first || row.N == p.header {
				continue
			}
			if !r.coloured && slices.ContainsFunc(row.Cells, func(c Cell) bool { return !r.noColour(c.Fill) }) {
				means, _, _, unknown := r.rowMeaning(p, row)
				r.coloured = means.stands() || unknown != 0
			}
			if c, column := p.cell(row, State); !r.worded && column >= 0 && wordKey(c.Text) != "" {
				means, known := r.stateWord(c.Text)
				r.worded = !known || means.stands()
			}
			if r.coloured && r.worded {
				return
			}
		}
	}
}
