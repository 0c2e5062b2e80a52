package consigning

import (
	"context"
	"fmt"
	"strings"

	"solander/calendar"
	"solander/consign"
	"solander/fault"
	"solander/papers"
	"solander/studio"
)

// Paper is a statement as a paper. Faults: as Statement.
func Paper(ctx context.Context, s *studio.Studio, id int64, from, to calendar.Day) (papers.GalleryStatement, error) {
	v, err := Statement(ctx, s, id, from, to)
	if err != nil {
		return papers.GalleryStatement{}, err
	}
	set, err := s.Settings(ctx)
	if err != nil {
		return papers.GalleryStatement{}, err
	}
	out := papers.GalleryStatement{
		Head: papers.Head{Studio: set.Studio, Day: v.Made, Units: set.Units}, Gallery: v.Name, Span: v.Span(),
		Opening: v.Opening.String(), Closing: v.Closing.String(), Caution: v.Cautions, Terms: v.Terms(),
	}
	for l := range strings.Lines(v.Address) {
		out.Address = append(out.Address, strings.TrimSpace(l))
	}
	for _, e := range v.Entries {
		r := papers.GalleryRow{Day: e.Day.Long(), What: v.What(e), Amount: e.Amount.Plain(), Owed: e.Owed.Plain()}
		if e.Print != nil {
			r.Price, r.Share = e.Sold.Plain(), e.Kept.Plain()
		}
		out.Rows = append(out.Rows, r)
	}
	for _, p := range v.There {
		due := ""
		if !p.Due.IsZero() {
			due = "back by " + p.Due.Long()
		}
		out.There = append(out.There, papers.GalleryPrint{What: v.Names[p.ID], Since: "since " + p.Went.Long(), Due: due, Price: p.Price.String()})
	}
	out.Worth = fault.Count(len(v.There), "print")
	return out, nil
}

// Span is the time of a statement in words.
func (v StatementView) Span() string {
	if v.From.IsZero() {
		return "until " + v.To.Long()
	}
	return v.From.Long() + " to " + v.To.Long()
}

// What is an entry in words.
func (v StatementView) What(e consign.Entry) string {
	if e.Print == nil {
		if e.Money.Note != "" {
			return e.Money.Kind.Words() + ": " + e.Money.Note
		}
		return e.Money.Kind.Words()
	}
	what := v.Names[e.Print.ID] + ", " + e.Print.State.Words()
	if e.Print.Why != "" {
		what += ": " + e.Print.Why
	}
	return what
}

// Terms are what was agreed with a gallery, in words.
func (v StatementView) Terms() []string { return Terms(v.House) }

// Terms are what was agreed with a gallery, in words.
func Terms(h consign.House) []string {
	bears := "The artist bears the loss of a print there."
	if h.Bears == consign.Gallery {
		bears = "The gallery bears the loss of a print there: it owes the artist’s part of the price agreed."
	}
	return []string{fmt.Sprintf("The gallery keeps its share of each sale and pays the rest within %s.", fault.Count(h.PayDays, "day")), bears}
}
