// Package pdf draws the papers of package papers as PDF files.
//
// The same paper gives the same bytes: the file is dated by the paper's day, and nothing else is asked.
// Sheets are US letter for a studio that works in inches and A4 otherwise; an address label is exactly
// 4 × 6 in. Text is real text in embedded fonts, so that it can be searched and copied; bar codes are
// drawn as rectangles with their quiet zones. Nothing is cut off: what is too long is broken into lines,
// and onto further pages.
//
// The type holds Latin, Greek, Cyrillic and Hebrew (package letters). A character that it lacks is never printed as
// an empty box or a mark in its place: an address label or a packing slip, which others read, is refused; a list
// of the house leaves a gap to write into, and names the characters at its end.
package pdf

import (
	"bytes"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"solander/fault"
	"solander/letters"
	"solander/measure"
	"solander/papers"
	"solander/papers/wrap"
)

// Draw returns a paper as a PDF file.
// Faults: Refused for an address label or a packing slip with characters that the type lacks, or an address too
// long for a label; Invalid for a mark that Code 128 cannot write.
func Draw(paper papers.Paper) ([]byte, error) {
	if err := readable(paper); err != nil {
		return nil, err
	}
	once := func(total int) (*page, error) {
		p := newPage(paper, total)
		if err := p.draw(paper); err != nil {
			return nil, err
		}
		return p, p.f.Error()
	}
	p, err := once(0) // to count the pages, which every foot names
	if err != nil {
		return nil, err
	}
	if p, err = once(p.f.PageCount()); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := p.f.Output(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func (p *page) draw(paper papers.Paper) error {
	switch x := paper.(type) {
	case papers.AddressLabel:
		return p.label(x)
	case papers.BenchSheet:
		p.bench(x)
	case papers.SignList:
		p.signList(x)
	case papers.PackingSlip:
		if err := p.slip(x); err != nil {
			return err
		}
	case wrap.Sheet:
		p.wrapSheet(x)
	case papers.HandOverList:
		p.handOver(x)
	case papers.CuttingList:
		p.cuttingList(x)
	default:
		return fault.New(fault.Internal, "no drawing for a paper of type %T", paper)
	}
	p.notice()
	return nil
}

// newPage begins a file for a paper.
func newPage(paper papers.Paper, total int) *page {
	head := paper.Top()
	size := fpdf.SizeType{Wd: 612, Ht: 792} // US letter, 8 1/2 × 11 in (ANSI/ASME Y14.1 size A)
	switch _, label := paper.(papers.AddressLabel); {
	case label:
		size = fpdf.SizeType{Wd: 288, Ht: 432}
	case head.Units == measure.Metric:
		size = fpdf.SizeType{Wd: 210 / 25.4 * 72, Ht: 297 / 25.4 * 72} // ISO 216 A4
	}
	f := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "pt", Size: size})
	when := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	if !head.Day.IsZero() {
		y, m, d := head.Day.Civil()
		when = time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	f.SetCreationDate(when)
	f.SetModificationDate(when)
	f.SetCatalogSort(true)
	f.SetAutoPageBreak(false, 0)
	f.SetTitle(paper.Title(), true)
	author, _ := letters.Clean(head.Studio)
	f.SetAuthor(author, true)
	f.SetCreator("Solander", true)
	f.SetLang("en")
	const margin = 54
	p := &page{f: f, head: head, title: paper.Title(), total: total, missing: map[rune]bool{}}
	p.left, p.right, p.top, p.bottom = margin, size.Wd-margin, margin, size.Ht-margin-14
	return p
}
