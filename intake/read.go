package intake

import (
	"strings"

	"solander/fault"
)

// Read reads the rows of a table, as far as each of them says by itself what was sold. What is wrong with rows stands in the
// report; Faults are of the input as a whole: Invalid when the mapping is not sound or does not fit the table.
func readTable(in Input) (*Rows, error) {
	r := &Rows{in: in, mapping: in.Answers.over(in.Mapping)}
	if r.in.Book == nil {
		r.in.Book = NoBook{}
	}
	if err := r.mapping.Validate(); err != nil {
		return nil, err
	}
	r.begin()
	plans, told, err := plansOf(r.in.Table, r.mapping)
	if err != nil {
		return nil, err
	}
	r.report.Findings = append(r.report.Findings, told...)
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
	in      Input
	mapping Mapping // with the answers
	figures figures
	meanings
	*Namer
	inquiry
	// Rows of the file have colours, or words, that say how a sale stands: see lookAround.
	coloured, worded bool

	sales  []*sale
	hashes map[string][]Place // where the same cells were met
	titles titles
	sheets int // that are read
	done   int
	total  int
}

func (r *Rows) begin() {
	m := r.mapping
	r.figures = figures{currency: m.Currency, decimal: m.Decimal, unit: m.Unit, days: m.Days}
	r.meanings, r.Namer = meaningsOf(m), NewNamer(r.in.Book.Papers(), m.Unit)
	r.inquiry = inquiry{answers: r.in.Answers, asked: map[string]int{}, told: map[string]int{}}
	r.hashes = map[string][]Place{}
	r.report = Report{
		File: r.in.Table.Hash, Name: r.in.Table.Name, Mapping: m.Name,
		Proposals: []Proposal{}, Buyers: []NewBuyer{}, Editions: []NewEdition{}, Outlets: []NewOutlet{}, SetAside: []SetAside{},
		Problems: []Problem{}, Questions: []Question{}, Findings: append([]Finding{}, r.in.Table.Findings...),
	}
}

// readRows reads the sales of all sheets and sets the other rows aside.
func (r *Rows) readRows(plans []plan) {
	for _, p := range plans {
		r.total += len(p.sheet.Rows)
	}
	for i := range plans {
		p, hidden := &plans[i], 0
		for j := range p.sheet.Rows {
			row := &p.sheet.Rows[j]
			if r.done++; r.done%512 == 0 {
				r.tell()
			}
			if row.N < p.first || row.N == p.header || row.Blank() {
				continue
			}
			r.report.Counts.Rows++
			hidden += One(row.Hidden)
			r.readRow(p, row)
		}
		if hidden > 0 {
			r.report.Findings = append(r.report.Findings, Finding{
				Rule: "rows.hidden", Sheet: p.sheet.Name, Count: hidden, Doubt: true,
				What: "rows that the spreadsheet hides are read, too", Mend: "take them out if they are no sales",
			})
		}
	}
	r.tell()
}

func (r *Rows) tell() {
	if r.in.Progress != nil {
		r.in.Progress(r.done, r.total)
	}
}

func (r *Rows) readRow(p *plan, row *Row) {
	rule, why := p.aside(row)
	means, fill, two, unknown := r.rowMeaning(p, row)
	state, column := p.cell(row, State)
	word, known := r.stateWord(state.Text)
	lack := r.absentOf(p, fill, unknown, state, column)
	switch {
	case rule != "":
	case means == Ignore:
		rule, why = "colour", "its colour "+fill.String()+" means that it is no sale"
	case known && word == Ignore:
		rule, why = "word", "the word "+fault.Clip(state.Text)+" means that it is no sale"
	}
	if rule == "" && known {
		rule, why = lack.aside(means, word)
	}
	if rule != "" {
		r.report.SetAside = append(r.report.SetAside, SetAside{Sheet: p.sheet.Name, Row: row.N, Rule: rule, Why: why, Cells: texts(row)})
		return
	}
	s := &sale{plan: p, row: row, origin: r.originOf(p, row, fill), wording: &wording{state: means}}
	if means != Nothing {
		s.stateFrom = "colour " + fill.Word() + " (" + fill.String() + ")"
	}
	r.sales = append(r.sales, s)
	if two {
		r.problem(s, -1, trouble{"colour.two", "the row has two colours that mean different things", "give the row one colour", true, ""})
	}
	if unknown != 0 {
		r.askFill(s, unknown)
	}
	if hash, _, again := strings.Cut(s.origin.Hash, "-"); again {
		r.problem(s, -1, trouble{"row.twice", "the same row stands in the file before", "take one of them out, unless both were sold", false, ""}, r.hashes[hash][0])
	}
	r.tellFresh(s)
	r.readState(s, state, word, known, column)
	waits := s.waits
	r.readFields(s)
	if !waits {
		r.readAbsent(s, lack, column)
	}
}

// readState joins the word of the state column with the colour.
func (r *Rows) readState(s *sale, c Cell, word Meaning, known bool, column int) {
	switch {
	case !known && r.sentWord(s, c, column):
	case !known:
		r.askWord(s, c, column)
	case word == Nothing || word == Waiting && s.state == PaidFull:
	case s.state != Nothing && s.state != word && rankOf(s.state) != rankOf(word):
		r.problem(s, column, trouble{"state.two", "the colour says " + string(s.state) + ", the word says " + string(word), "let both say the same, or give one of them no meaning", true, ""})
	default:
		s.state, s.stateFrom = word, "column "+s.plan.name(column)
	}
}

// sentWord takes a day, or a yes or no, in a column whose heading says that it is about sending.
func (r *Rows) sentWord(s *sale, c Cell, column int) bool {
	if !sentHeadings[Fold(s.plan.heading(column))] {
		return false
	}
	d, day, t := dayOf(c, r.figures.days)
	switch {
	case yesWords[wordKey(c.Text)]:
		s.state, s.stateFrom = Sent, "column "+s.plan.name(column)
	case noWords[wordKey(c.Text)]:
		s.state, s.stateFrom = Waiting, "column "+s.plan.name(column)
	case day:
		s.state, s.stateFrom = Sent, "column "+s.plan.name(column)
		s.days[sentOn] = saleDay{read: d, open: d.year == 0, column: column}
		if d.year != 0 {
			s.days[sentOn].day = d.in(0)
		}
	case t.ask != "":
		r.problem(s, column, t)
	default:
		return false
	}
	return true
}

// rankOf joins meanings that may stand beside each other: paid and waiting.
func rankOf(m Meaning) Meaning {
	if m == PaidFull {
		return Waiting
	}
	return m
}
