package pdf

import (
	"strings"

	"solander/papers"
)

// bill draws a receipt, an invoice or a credit note.
func (p *page) bill(b papers.Bill) {
	p.begin(strings.Join(b.About, "\n"))
	p.parties(b.To, b.From)
	for _, l := range b.Lines {
		w := p.width() - 120
		main := cell{x: p.left, w: w, lines: p.lines(l.Text, roman, ink, w)}
		main.lines = append(main.lines, p.lines(l.Facts, small, soft, w)...)
		p.row(main, cell{x: p.right - 110, w: 110, right: true, lines: p.lines(l.Amount, roman, ink, 110)})
		p.y += 6
	}
	p.sums(b.Sums)
	p.words(b.Words)
}

// statement draws the statement of a buyer.
func (p *page) statement(s papers.Statement) {
	p.begin(s.Span)
	p.parties(s.To, s.From)
	p.statementRow(papers.StatementRow{Day: "Day", Text: "What", Charge: "Sale", Paid: "Paid", Balance: "Owed"}, soft)
	p.y += 2
	for _, r := range s.Rows {
		p.statementRow(r, ink)
		p.y += 2
	}
	p.sums(s.Sums)
}

func (p *page) statementRow(r papers.StatementRow, c colour) {
	const day, figure = 104, 74
	w := p.width() - day - 3*figure
	x := p.right - 3*figure
	f := small.At(9.5)
	cells := []cell{{x: p.left, w: day, lines: p.lines(r.Day, f, c, day-6)}, {x: p.left + day, w: w, lines: p.lines(r.Text, f, c, w-6)}}
	for i, text := range []string{r.Charge, r.Paid, r.Balance} {
		cells = append(cells, cell{x: x + float64(i)*figure, w: figure, right: true, lines: p.lines(text, f, c, figure)})
	}
	p.row(cells...)
}

// parties draws whom a paper is for, and from whom.
func (p *page) parties(to, from []string) {
	half := p.width()/2 - 10
	left := cell{x: p.left, w: half, lines: []styled{{"To", small, soft}}}
	for _, l := range to {
		left.lines = append(left.lines, p.lines(l, roman, ink, half)...)
	}
	right := cell{x: p.left + half + 20, w: half, lines: []styled{{"From", small, soft}}}
	for _, l := range from {
		right.lines = append(right.lines, p.lines(l, small.At(9.5), ink, half)...)
	}
	p.row(left, right)
	p.y += 4
	p.rule(p.y, hair)
	p.y += 20
}

// sums draws the sums, each over the whole right half, so that no name is broken without need.
func (p *page) sums(all []papers.BillSum) {
	p.need(float64(len(all))*leading + 16)
	p.y += 8
	p.rule(p.y-10, hair)
	p.y += 4
	for _, s := range all {
		f := small.At(9.5)
		if s.Strong {
			f = bold.At(10.5)
		}
		left := p.left + p.width()*0.4
		w := p.right - left - 110
		p.row(cell{x: left, w: w, lines: p.lines(s.Name, f, ink, w)}, cell{x: p.right - 110, w: 110, right: true, lines: p.lines(s.Amount, f, ink, 110)})
		p.y += 2
	}
}

// words draws what she says below a paper.
func (p *page) words(text string) {
	if text == "" {
		return
	}
	p.y += 20
	p.paragraph(text, italic, ink)
}
