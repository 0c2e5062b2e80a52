package proposal

import (
	"fmt"
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/sale"
	"solander/measure"
)

// spec is what rows say of an edition; what they do not say is zero. Sides are ordered, since people write them both ways.
// Of is part of it only where neither size nor grade is said.
type spec struct {
	title        string
	short, long  measure.Length
	grade, paper string
	of           int
}

func specOf(s *sale.Sale) spec {
	p := spec{title: intake.Fold(s.Title), short: min(s.Size.Width, s.Size.Height), long: max(s.Size.Width, s.Size.Height), grade: intake.Fold(s.Grade), paper: intake.Fold(s.Paper)}
	if p.short == 0 && p.grade == "" {
		p.of = s.Of()
	}
	return p
}

// fits reports whether an edition described by p may be q, of which more is known.
func (p spec) fits(q spec, ofP, ofQ int) bool {
	return p.title == q.title && (p.short == 0 || p.short == q.short && p.long == q.long) && (p.grade == "" || p.grade == q.grade) &&
		(p.paper == "" || p.paper == q.paper) && (ofP == 0 || ofQ == 0 || ofP == ofQ)
}

// said counts what a spec says beside the title.
func (p spec) said() int {
	n := 0
	for _, is := range []bool{p.short > 0, p.grade != "", p.paper != "", p.of > 0} {
		if is {
			n++
		}
	}
	return n
}

// catalogue is the specs of a file in the order in which they were met.
type catalogue struct {
	list    []spec
	sales   map[spec][]*sale.Sale
	of      map[spec]int
	byTitle map[string][]spec
}

func (r *assembly) catalogue() catalogue {
	c := catalogue{sales: map[spec][]*sale.Sale{}, of: map[spec]int{}, byTitle: map[string][]spec{}}
	for _, s := range r.Pieces() {
		s.Edition = -1
		if intake.Fold(s.Title) == "" {
			continue
		}
		p := specOf(s)
		if len(c.sales[p]) == 0 {
			c.list = append(c.list, p)
			c.byTitle[p.title] = append(c.byTitle[p.title], p)
		}
		c.sales[p] = append(c.sales[p], s)
		if c.of[p] == 0 {
			c.of[p] = s.Of()
		}
	}
	return c
}

// mostSpecs bounds the editions of one title that are compared with each other.
const mostSpecs = 100

// better returns the specs of the same title that say more and agree, without those that are themselves such a poorer one.
func (c catalogue) better(p spec) []spec {
	var all []spec
	same := c.byTitle[p.title]
	if len(same) > mostSpecs {
		return nil
	}
	for _, q := range same {
		if q != p && q.said() > p.said() && p.fits(q, c.of[p], c.of[q]) {
			all = append(all, q)
		}
	}
	var top []spec
	for _, q := range all {
		poorer := false
		for _, o := range all {
			poorer = poorer || o != q && o.said() > q.said() && q.fits(o, c.of[q], c.of[o])
		}
		if !poorer {
			top = append(top, q)
		}
	}
	return top
}

// settleEditions says for each row which edition it sells: a row that says little is of the one edition of the file or of the
// book that agrees with it; when there are several, she is asked.
func (r *assembly) settleEditions() {
	c := r.catalogue()
	index := map[spec]int{}
	for _, p := range c.list {
		if len(c.better(p)) == 0 {
			index[p] = r.addEdition(c, p)
		}
	}
	for _, p := range c.list {
		top := c.better(p)
		if len(top) == 0 {
			continue
		}
		if len(top) == 1 {
			r.giveAs(c, p, top[0], index[top[0]])
			continue
		}
		r.askEdition(c, p, top, index)
	}
	sales := make([][]*sale.Sale, len(r.Report.Editions))
	for _, s := range r.Pieces() {
		if s.Edition >= 0 {
			sales[s.Edition] = append(sales[s.Edition], s)
		}
	}
	for i := range r.Report.Editions {
		r.askLimit(i, sales[i])
	}
	for _, s := range r.Pieces() {
		r.checkEdition(s)
	}
}

func (r *assembly) give(sales []*sale.Sale, at int) {
	for _, s := range sales {
		s.Edition = at
		r.met(at, s)
	}
}

// giveAs gives the rows of a spec the edition of another that says more; while it is asked which one that is, they wait
// for the same answer.
func (r *assembly) giveAs(c catalogue, p, top spec, at int) {
	if at >= 0 {
		r.give(c.sales[p], at)
		return
	}
	for _, s := range c.sales[p] {
		r.Problem(s, sale.TitleColumn(s), cell.Trouble{Rule: "edition.which", What: "several editions in the book agree with " + fault.Clip(s.Title), Mend: "say which one it is, or write size and grade", Bars: true, Ask: "edition:" + r.specWords(c, top)})
	}
}

// met notes what a row says about its edition.
func (r *assembly) met(at int, s *sale.Sale) {
	e := &r.Report.Editions[at]
	if each := r.saidEach(s); each != nil {
		e.Price = *each
	}
	e.Open = e.Open || s.Open
	if e.Limit == 0 && e.ID == 0 {
		e.Limit = s.Of()
	}
	for _, n := range s.Numbers.Numbers {
		if of := s.Of(); n.Kind == edition.Numbered {
			if of == 0 || n.N <= of {
				e.Highest = max(e.Highest, n.N)
			}
			continue
		}
		if e.ID == 0 {
			p := proofs(&e.Proofs, n.Kind)
			*p = max(*p, n.N, s.Numbers.Of)
		}
	}
}

func proofs(p *edition.Proofs, k edition.Kind) *int {
	switch k {
	case edition.PP:
		return &p.PP
	case edition.HC:
		return &p.HC
	case edition.BAT:
		return &p.BAT
	}
	return &p.AP
}

// addEdition makes an edition of a spec, or finds it in the book.
func (r *assembly) addEdition(c catalogue, p spec) int {
	s := c.sales[p][0]
	e := intake.NewEdition{Title: s.Title, Width: s.Size.Width, Height: s.Size.Height, Size: s.SizeText, Grade: s.Grade, Paper: s.Paper, Row: s.Place(-1)}
	if p.of > 0 {
		e.Limit = p.of
	}
	known, several := r.inBook(c, p, &e)
	if several {
		return r.askKnown(c, p, known, e)
	}
	if len(known) == 1 {
		fromBook(&e, known[0])
	}
	r.Report.Editions = append(r.Report.Editions, e)
	at := len(r.Report.Editions) - 1
	r.give(c.sales[p], at)
	return at
}

// inBook returns the editions of the book that agree with a spec, and notes the work. A paper may be called there by fewer
// words or by more: "cotton rag" is "cotton rag, 310 gsm", unless an edition is on a paper of just the name that was written.
func (r *assembly) inBook(c catalogue, p spec, e *intake.NewEdition) (known []edition.Edition, several bool) {
	var written, alike []edition.Edition
	said := intake.Fold(c.sales[p][0].PaperSaid)
	for _, k := range r.In.Book.Editions(e.Title) {
		e.Work = k.Work
		q := spec{title: p.title, short: min(k.Width, k.Height), long: max(k.Width, k.Height), grade: intake.Fold(k.Grade), paper: intake.Fold(k.Paper)}
		if said != "" && q.paper == said {
			if q.paper = p.paper; p.fits(q, c.of[p], k.Limit) {
				written = append(written, k)
			}
			continue
		}
		if p.fits(q, c.of[p], k.Limit) {
			known = append(known, k)
			continue
		}
		if q.paper != "" && (beginsWith(p.paper, q.paper) || beginsWith(q.paper, p.paper)) {
			if q.paper = p.paper; p.fits(q, c.of[p], k.Limit) {
				alike = append(alike, k)
			}
		}
	}
	for _, better := range [][]edition.Edition{written, known, alike} {
		if len(better) > 0 {
			return better, len(better) > 1
		}
	}
	return nil, false
}

// beginsWith reports whether a folded text begins with the words of another.
func beginsWith(text, with string) bool { return strings.HasPrefix(text+" ", with+" ") }

// askKnown asks which of several editions of the book a spec is.
func (r *assembly) askKnown(c catalogue, p spec, known []edition.Edition, e intake.NewEdition) int {
	q := intake.Question{ID: "edition:" + r.specWords(c, p), What: "Which edition is " + r.specWords(c, p) + "?", Where: c.sales[p][0].Place(-1)}
	for _, k := range known {
		q.Choices = append(q.Choices, intake.Choice{Value: strconv.FormatInt(k.ID, 10), Words: k.Name(measure.SystemOf(k.Width, k.Height))})
	}
	answer := r.Answer(q.ID)
	for _, k := range known {
		if answer == strconv.FormatInt(k.ID, 10) {
			fromBook(&e, k)
			break
		}
	}
	for _, s := range c.sales[p] {
		r.Ask(q)
		if e.ID == 0 {
			r.Problem(s, sale.TitleColumn(s), cell.Trouble{Rule: "edition.which", What: "several editions in the book agree with " + fault.Clip(s.Title), Mend: "say which one it is, or write size and grade", Bars: true, Ask: q.ID})
		}
	}
	if e.ID == 0 {
		return -1
	}
	r.Report.Editions = append(r.Report.Editions, e)
	at := len(r.Report.Editions) - 1
	r.give(c.sales[p], at)
	return at
}

// askEdition asks which of several editions of the file a spec is that says less.
func (r *assembly) askEdition(c catalogue, p spec, top []spec, index map[spec]int) {
	q := intake.Question{ID: "edition:" + r.specWords(c, p), What: "Which edition is " + r.specWords(c, p) + ", of which the rows say no more?", Where: c.sales[p][0].Place(-1)}
	chosen := -1
	for _, t := range top {
		w := r.specWords(c, t)
		q.Choices = append(q.Choices, intake.Choice{Value: w, Words: w})
		if r.Answer(q.ID) == w {
			chosen = index[t]
		}
	}
	for _, s := range c.sales[p] {
		r.Ask(q)
		if chosen < 0 {
			r.Problem(s, sale.TitleColumn(s), cell.Trouble{Rule: "edition.which", What: "several editions of the file agree with " + fault.Clip(s.Title), Mend: "say which one it is, or write size and grade", Bars: true, Ask: q.ID})
		}
	}
	if chosen >= 0 {
		r.give(c.sales[p], chosen)
	}
}

// specWords names an edition as the rows say it: "heron, 12x18, fine".
func (r *assembly) specWords(c catalogue, p spec) string {
	s := c.sales[p][0]
	parts := []string{s.Title}
	for _, part := range []string{s.SizeText, s.Grade, s.Paper} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	if p.of > 0 {
		parts = append(parts, fmt.Sprintf("of %d", p.of))
	}
	return strings.Join(parts, ", ")
}

// askLimit asks for the limit of a new edition that has numbers but none. The answer is the limit.
func (r *assembly) askLimit(at int, sales []*sale.Sale) {
	e := &r.Report.Editions[at]
	if e.ID != 0 || e.Limit != 0 || e.Highest == 0 && e.Proofs == (edition.Proofs{}) {
		return
	}
	id := "limit:" + e.Words()
	answer, err := strconv.Atoi(strings.TrimSpace(r.Answer(id)))
	if err == nil && answer > 0 && answer <= edition.MaxLimit && answer >= e.Highest {
		e.Limit = answer
	}
	for _, s := range sales {
		r.Ask(intake.Question{ID: id, What: fmt.Sprintf("How many numbers does %s have? The highest in the file is %d", e.Words(), e.Highest), Where: s.Place(-1)})
		if e.Limit == 0 {
			r.Problem(s, -1, cell.Trouble{Rule: "edition.limit", What: "the limit of " + fault.Clip(e.Title) + " is not said", Mend: "say how many numbers it has", Bars: true, Ask: id})
		}
	}
}

// checkEdition holds the numbers of a row to its edition.
func (r *assembly) checkEdition(s *sale.Sale) {
	if s.Edition < 0 {
		return
	}
	e := r.Report.Editions[s.Edition]
	_, column := s.Grid.Cell(s.Row, intake.Numbers)
	if column < 0 {
		column = sale.TitleColumn(s)
	}
	if of := s.Of(); of > 0 && e.Limit > 0 && of != e.Limit {
		r.Problem(s, column, cell.Trouble{Rule: "edition.limits", What: fmt.Sprintf("the row says that there are %d of %s, elsewhere there are %d", of, fault.Clip(e.Title), e.Limit), Mend: "correct the number, or write the size and grade that tell the editions apart", Bars: true}, e.Row)
		return
	}
	whole := edition.Edition{Limit: e.Limit, Proofs: e.Proofs}
	for _, n := range s.Numbers.Numbers {
		if e.ID != 0 && whole.Open() {
			r.Problem(s, column, cell.Trouble{Rule: "edition.open", What: fault.Clip(e.Title) + " is an open edition: it has no numbers", Mend: "take the number out", Bars: true})
			return
		}
		if n.N > whole.Count(n.Kind) && e.Limit > 0 && (s.Numbers.Of == 0 || n.N <= s.Numbers.Of) { // else number.beyond has told it
			r.Problem(s, column, cell.Trouble{Rule: "number.limit", What: fmt.Sprintf("%s is beyond the %d of this edition", n, whole.Count(n.Kind)), Mend: "correct the number", Bars: true})
		}
	}
}

func fromBook(e *intake.NewEdition, k edition.Edition) {
	e.ID, e.Work, e.Title, e.Width, e.Height, e.Grade, e.Paper, e.Limit, e.Proofs = k.ID, k.Work, k.Title, k.Width, k.Height, k.Grade, k.Paper, k.Limit, k.Proofs
	e.Size = k.Size(measure.SystemOf(k.Width, k.Height))
}
