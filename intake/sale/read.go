// Package sale reads the rows of a table, each by itself: what was sold, to whom, when, for how much, and what its note says. What is
// wrong with a row is a problem of the report, what only she can say a question; both name their place in the file.
package sale

import (
	"strings"

	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/grid"
	"solander/intake/guess"
	"solander/intake/naming"
	"solander/intake/notes"
)

// Read reads the rows of a table, as far as each of them says by itself what was sold. What is wrong with rows stands in the
// report; Faults are of the input as a whole: Invalid when the mapping is not sound or does not fit the table.
func Read(in intake.Input) (*Rows, error) {
	r := &Rows{In: in, Mapping: in.Answers.Over(in.Mapping)}
	if r.In.Book == nil {
		r.In.Book = intake.NoBook{}
	}
	if err := r.Mapping.Validate(); err != nil {
		return nil, err
	}
	r.begin()
	plans, told, err := grid.Of(r.In.Table, r.Mapping)
	if err != nil {
		return nil, err
	}
	r.Report.Findings = append(r.Report.Findings, told...)
	for i := range plans {
		r.ownOf(&plans[i])
	}
	r.sheets = len(plans)
	r.lookAround(plans)
	r.readRows(plans)
	r.settlePrints()
	r.settleYears()
	r.readNotes()
	return r, nil
}

// Rows are the rows of a table while they are read, each as the sales that it tells of.
type Rows struct {
	In      intake.Input
	Mapping intake.Mapping // with the answers
	Figures notes.Figures
	grid.Meanings
	*naming.Namer
	inquiry
	// Rows of the file have colours, or words, that say how a sale stands: see lookAround.
	coloured, worded bool

	Sales  []*Sale
	hashes map[string][]intake.Place // where the same cells were met
	sizes  map[string]sizeTold
	titles titles
	sheets int // that are read
	done   int
	total  int
}

func (r *Rows) begin() {
	m := r.Mapping
	r.Figures = notes.Figures{Currency: m.Currency, Decimal: m.Decimal, Unit: m.Unit, Days: m.Days}
	r.Meanings, r.Namer = grid.NewMeanings(m), naming.NewNamer(r.In.Book.Papers(), m.Unit)
	r.inquiry = inquiry{answers: r.In.Answers, asked: map[string]int{}, told: map[string]int{}}
	r.hashes, r.sizes = map[string][]intake.Place{}, map[string]sizeTold{}
	r.Report = intake.Report{
		File: r.In.Table.Hash, Name: r.In.Table.Name, Mapping: m.Name,
		Proposals: []intake.Proposal{}, Buyers: []intake.NewBuyer{}, Editions: []intake.NewEdition{}, Outlets: []intake.NewOutlet{}, SetAside: []intake.SetAside{},
		Problems: []intake.Problem{}, Questions: []intake.Question{}, Findings: append([]intake.Finding{}, r.In.Table.Findings...),
	}
}

// readRows reads the sales of all sheets and sets the other rows aside.
func (r *Rows) readRows(plans []grid.Grid) {
	for _, p := range plans {
		r.total += len(p.Sheet.Rows)
	}
	for i := range plans {
		p, hidden := &plans[i], 0
		for j := range p.Sheet.Rows {
			row := &p.Sheet.Rows[j]
			if r.done++; r.done%512 == 0 {
				r.tell()
			}
			if row.N < p.First || row.N == p.Header || row.Blank() {
				continue
			}
			r.Report.Counts.Rows++
			hidden += intake.One(row.Hidden)
			r.readRow(p, row)
		}
		if hidden > 0 {
			r.Report.Findings = append(r.Report.Findings, intake.Finding{
				Rule: "rows.hidden", Sheet: p.Sheet.Name, Count: hidden, Doubt: true,
				What: "rows that the spreadsheet hides are read, too", Mend: "take them out if they are no sales",
			})
		}
	}
	r.tell()
}

func (r *Rows) tell() {
	if r.In.Progress != nil {
		r.In.Progress(r.done, r.total)
	}
}

func (r *Rows) readRow(p *grid.Grid, row *intake.Row) {
	rule, why := p.Aside(row)
	means, fill, two, unknown := r.RowMeaning(p, row)
	state, column := p.Cell(row, intake.State)
	word, known := r.StateWord(state.Text)
	lack := r.absentOf(p, fill, unknown, state, column)
	switch {
	case rule != "":
	case means == intake.Ignore:
		rule, why = "colour", "its colour "+fill.String()+" means that it is no sale"
	case known && word == intake.Ignore:
		rule, why = "word", "the word "+fault.Clip(state.Text)+" means that it is no sale"
	}
	if rule == "" && known {
		rule, why = lack.aside(means, word)
	}
	if rule != "" {
		r.Report.SetAside = append(r.Report.SetAside, intake.SetAside{Sheet: p.Sheet.Name, Row: row.N, Rule: rule, Why: why, Cells: intake.Texts(row)})
		return
	}
	s := &Sale{Grid: p, Row: row, Origin: r.originOf(p, row, fill), Wording: &Wording{State: means}}
	if means != intake.Nothing {
		s.StateFrom = "colour " + fill.Word() + " (" + fill.String() + ")"
	}
	r.Sales = append(r.Sales, s)
	if two {
		r.Problem(s, -1, cell.Trouble{Rule: "colour.two", What: "the row has two colours that mean different things", Mend: "give the row one colour", Bars: true})
	}
	if unknown != 0 {
		r.askFill(s, unknown)
	}
	if hash, _, again := strings.Cut(s.Origin.Hash, "-"); again {
		r.Problem(s, -1, cell.Trouble{Rule: "row.twice", What: "the same row stands in the file before", Mend: "take one of them out, unless both were sold"}, r.hashes[hash][0])
	}
	r.tellFresh(s)
	r.readState(s, state, word, known, column)
	waits := s.Waits
	r.readFields(s)
	if !waits {
		r.readAbsent(s, lack, column)
	}
}

// readState joins the word of the state column with the colour.
func (r *Rows) readState(s *Sale, c intake.Cell, word intake.Meaning, known bool, column int) {
	switch {
	case !known && r.sentWord(s, c, column):
	case !known:
		r.askWord(s, c, column)
	case word == intake.Nothing || word == intake.Waiting && s.State == intake.PaidFull:
	case s.State != intake.Nothing && s.State != word && rankOf(s.State) != rankOf(word):
		r.Problem(s, column, cell.Trouble{Rule: "state.two", What: "the colour says " + string(s.State) + ", the word says " + string(word), Mend: "let both say the same, or give one of them no meaning", Bars: true})
	default:
		s.State, s.StateFrom = word, "column "+s.Grid.Name(column)
	}
}

// sentWord takes a day, or a yes or no, in a column whose heading says that it is about sending.
func (r *Rows) sentWord(s *Sale, c intake.Cell, column int) bool {
	if !guess.SentHeadings[intake.Fold(s.Grid.Heading(column))] {
		return false
	}
	d, day, t := cell.DayOf(c, r.Figures.Days)
	switch {
	case cell.YesWords[intake.WordKey(c.Text)]:
		s.State, s.StateFrom = intake.Sent, "column "+s.Grid.Name(column)
	case cell.NoWords[intake.WordKey(c.Text)]:
		s.State, s.StateFrom = intake.Waiting, "column "+s.Grid.Name(column)
	case day:
		s.State, s.StateFrom = intake.Sent, "column "+s.Grid.Name(column)
		s.Days[SentOn] = saleDay{read: d, Open: d.Year == 0, Column: column}
		if d.Year != 0 {
			s.Days[SentOn].Day = d.In(0)
		}
	case t.Ask != "":
		r.Problem(s, column, t)
	default:
		return false
	}
	return true
}

// rankOf joins meanings that may stand beside each other: paid and waiting.
func rankOf(m intake.Meaning) intake.Meaning {
	if m == intake.PaidFull {
		return intake.Waiting
	}
	return m
}
