// Package pdf draws the papers of package papers as PDF files.
//
// The same paper gives the same bytes: the file is dated by the paper's day, and nothing else is asked.
// Sheets are US letter for a studio that works in inches and A4 otherwise; an address label is exactly
// 4 × 6 in. Text is real text in embedded fonts, so that it can be searched and copied; bar codes are
// drawn as rectangles with their quiet zones. Nothing is cut off: what is too long is broken into lines,
// and onto further pages.
//
// The type is that of the screen, with faces for other scripts (package letters). A character that none of them has is
// never printed as an empty box or a mark in its place: an address label or a packing slip, which others read, is refused; a
// list of the house leaves a gap to write into, and names the characters at its end.
package pdf

import (
	"errors"
	"time"

	"solander/fault"
	"solander/letters"
	"solander/measure"
	"solander/papers"
	"solander/papers/pdf/leaf"
	"solander/papers/wrap"
)

// Draw returns a paper as a PDF file; of a bundle, all its papers one behind the other. What of a bundle or of a sheet of
// stickers cannot be printed is left out, and told on a page at the end.
// Faults: Refused for an address label or a packing slip with characters that the type lacks, or an address too
// long for a label, and for papers of money; Invalid for a mark that Code 128 cannot write. Of a bundle, when nothing can be printed, all of them.
func Draw(paper papers.Paper) ([]byte, error) {
	head := paper.Top()
	when := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	if !head.Day.IsZero() {
		y, m, d := head.Day.Civil()
		when = time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	author, _ := letters.Clean(head.Studio)
	f := leaf.New(leaf.About{Title: paper.Title(), Author: author, Creator: "Solander", When: when})
	left, err := drawAll(f, paper)
	if err != nil {
		return nil, err
	}
	if len(left) > 0 && f.Pages() == 0 {
		return nil, errors.Join(left...)
	}
	if len(left) > 0 {
		newPage(f, papersIn(paper)[0]).leftOut(left)
	}
	return f.Bytes()
}

// drawAll draws a paper, or those of a bundle, and returns why some are left out.
func drawAll(f *leaf.File, paper papers.Paper) (left []error, err error) {
	all := papersIn(paper)
	for _, one := range all {
		before := f.Pages()
		p := newPage(f, one)
		err := papers.Readable(one)
		if err == nil {
			err = p.draw(one)
		}
		left = append(left, p.unprinted...)
		switch {
		case err == nil:
			continue
		case len(all) == 1, len(fault.All(err)) == 0, fault.Is(err, fault.Internal):
			return nil, err
		}
		f.Cut(before)
		left = append(left, err)
	}
	return left, nil
}

// leftOut tells on a page of its own what was left out, and why.
func (p *page) leftOut(left []error) {
	p.title = "Left out"
	p.begin("These could not be printed; the others were.")
	for _, err := range left {
		for _, x := range fault.All(err) {
			w := p.width() - 10
			p.row(cell{x: p.left + 10, w: w, bar: true, lines: p.lines(x.Error(), small.At(9.5), ink, w)})
			p.y += 6
		}
	}
	p.notice()
	p.feet(p.title)
}

// papersIn is the papers of a bundle, or the paper itself.
func papersIn(paper papers.Paper) []papers.Paper {
	if b, ok := paper.(papers.Bundle); ok {
		return b.Of
	}
	return []papers.Paper{paper}
}

func (p *page) draw(paper papers.Paper) error {
	switch x := paper.(type) {
	case papers.AddressLabel:
		return labels{p}.label(x)
	case papers.StickerSheet:
		return labels{p}.stickers(x)
	case papers.BenchSheet:
		p.bench(x)
	case papers.SignList:
		p.signList(x)
	case papers.PackingSlip:
		if err := p.slip(x); err != nil {
			return err
		}
	case wrap.Sheet:
		drawing{p}.wrapSheet(x)
	case papers.GalleryStatement:
		p.gallery(x)
	case papers.FairDay:
		p.fair(x)
	case papers.HandOverList:
		p.handOver(x)
	case papers.CuttingList:
		drawing{p}.cuttingList(x)
	case papers.Bill:
		p.bill(x)
	case papers.Statement:
		p.statement(x)
	default:
		return fault.New(fault.Internal, "no drawing for a paper of type %T", paper)
	}
	p.notice()
	p.feet(p.footOf(paper))
	return nil
}

// newPage begins a paper in a file.
func newPage(f *leaf.File, paper papers.Paper) *page {
	head := paper.Top()
	w, h := 612.0, 792.0 // US letter, 8 1/2 × 11 in (ANSI/ASME Y14.1 size A)
	margin := 54.0
	switch x := paper.(type) {
	case papers.AddressLabel:
		w, h, margin = 288, 432, 18
	case papers.StickerSheet:
		w, h = points(x.Stickers.Paper.Width), points(x.Stickers.Paper.Height)
	default:
		if head.Units == measure.Metric {
			w, h = 210/25.4*72, 297/25.4*72 // ISO 216 A4
		}
	}
	return &page{
		f: f, first: f.Pages(), head: head, title: paper.Title(), missing: map[rune]bool{}, wide: w, tall: h,
		left: margin, right: w - margin, top: margin, bottom: h - margin - 14,
	}
}

// points is a length in points.
func points(l measure.Length) float64 { return float64(l) / float64(measure.Inch) * 72 }
