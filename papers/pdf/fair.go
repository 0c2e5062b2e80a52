package pdf

import "solander/papers"

// fair draws a day at the table.
func (p *page) fair(d papers.FairDay) {
	p.begin(d.Name + ", " + d.Head.Day.Long())
	p.paragraph(d.Outlet, roman.At(9.5), ink)
	p.fairRows("Sold", d.Prints, d.Sold)
	p.fairRows("Taken", "", d.Taken)
	p.fairRows("What the day cost", "", d.Costs)
	p.fairRows("The cash box", "", d.Box)
	p.fairRows("What it earned", "by the journal", d.Earned)
}

// fairRows are the rows of a part; a part without rows is left out. An amount that is not there has a line to write it on.
func (p *page) fairRows(head, note string, rows []papers.FairRow) {
	if len(rows) == 0 {
		return
	}
	p.heading(head, note)
	const side, sum = 150, 90
	what := p.width() - side - sum - 12
	for _, r := range rows {
		amount := r.Amount
		if amount == "" {
			amount = "______________"
		}
		p.row(
			cell{x: p.left, w: what, lines: p.lines(r.What, roman.At(9.5), ink, what)},
			cell{x: p.left + what + 4, w: side, lines: p.lines(r.Note, small, soft, side)},
			cell{x: p.right - sum, w: sum, right: true, lines: p.lines(amount, roman.At(9.5), ink, sum)},
		)
		p.y += 4
	}
}
