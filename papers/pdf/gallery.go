package pdf

import "solander/papers"

// gallery draws the statement of a gallery.
func (p *page) gallery(s papers.GalleryStatement) {
	p.begin(s.Gallery + ", " + s.Span)
	for _, l := range s.Address {
		p.paragraph(l, roman.At(9.5), ink)
	}
	p.y += 8
	p.galleryRow(papers.GalleryRow{Day: "Day", What: "What", Price: "Sold for", Share: "Gallery keeps", Amount: "Artist’s", Owed: "Owed"}, small.At(8), soft)
	p.rule(p.y, hair)
	p.y += 4
	p.galleryRow(papers.GalleryRow{What: "Owed before", Owed: s.Opening}, roman.At(9.5), ink)
	for _, r := range s.Rows {
		p.galleryRow(r, roman.At(9.5), ink)
	}
	p.rule(p.y, hair)
	p.y += 4
	p.galleryRow(papers.GalleryRow{What: "Owed to the artist", Owed: s.Closing}, bold.At(10), ink)
	for _, t := range s.Terms {
		p.paragraph(t, small.At(8.5), soft)
	}
	if len(s.There) > 0 {
		p.heading("Prints at the gallery", s.Worth)
		for _, x := range s.There {
			p.galleryPrint(x)
		}
	}
	p.y += 10
	for _, c := range s.Caution {
		p.paragraph(c, small.At(8), soft)
	}
}

func (p *page) galleryRow(r papers.GalleryRow, f font, c colour) {
	const day, sum = 70, 74
	what := p.width() - day - 4*sum - 12
	at := p.left + day + what + 8
	cells := []cell{{x: p.left, w: day, lines: p.lines(r.Day, f, c, day)}, {x: p.left + day, w: what, lines: p.lines(r.What, f, c, what)}}
	for i, text := range []string{r.Price, r.Share, r.Amount, r.Owed} {
		cells = append(cells, cell{x: at + float64(i)*sum, w: sum, right: true, lines: p.lines(text, f, c, sum-4)})
	}
	p.row(cells...)
	p.y += 4
}

func (p *page) galleryPrint(x papers.GalleryPrint) {
	const side = 100
	what := p.width() - 3*side - 12
	p.row(
		cell{x: p.left, w: what, lines: p.lines(x.What, roman.At(9.5), ink, what)},
		cell{x: p.left + what + 4, w: side, lines: p.lines(x.Since, small, soft, side)},
		cell{x: p.left + what + side + 4, w: side, lines: p.lines(x.Due, small, soft, side)},
		cell{x: p.right - side, w: side, right: true, lines: p.lines(x.Price, roman.At(9.5), ink, side)},
	)
	p.y += 4
}
