package api

import (
	"context"
	"strconv"

	"solander/calendar"
	"solander/fault"
	"solander/feeds"
	"solander/papers"
	"solander/papers/pdf"
	"solander/paperwork"
)

const pdfType = "application/pdf"

// papersAsked is which papers of a day are wanted.
type papersAsked struct {
	Kind    string `path:"kind" doc:"wraps, slips, labels, everything (which is in packing order), or stickers: the labels on a sheet of die-cut stickers."`
	Day     string `query:"day" doc:"Such as 2026-04-15; today when it is left out."`
	Size    string `query:"size" doc:"Of stickers: a common sheet by the size of its stickers, such as 4x2in or 99x68mm. Without it, the sheet is stated by the rest."`
	First   string `query:"first" doc:"The first free place of the first sheet, row by row from the top left; 1 when it is left out."`
	Paper   string `query:"paper" doc:"letter or a4."`
	Columns string `query:"columns" doc:"Stickers across the sheet."`
	Rows    string `query:"rows" doc:"Stickers down the sheet."`
	Width   string `query:"width" doc:"Width of a sticker, such as 4 in."`
	Height  string `query:"height" doc:"Height of a sticker."`
	Left    string `query:"left" doc:"Left margin; none when it is left out."`
	Top     string `query:"top" doc:"Top margin; none when it is left out."`
	Across  string `query:"across" doc:"From the left edge of a sticker to that of the next."`
	Down    string `query:"down" doc:"From the top edge of a sticker to that of the next."`
}

// printed is a paper.
type printed struct {
	Type string `header:"Content-Type"`
	Body []byte
}

func (f *face) papers(ctx context.Context, in *papersAsked) (*printed, error) {
	paper, err := f.paper(ctx, in)
	if err != nil {
		return nil, f.told(ctx, ofParameters(err))
	}
	body, err := pdf.Draw(paper)
	if err != nil {
		return nil, f.told(ctx, err)
	}
	return &printed{pdfType, body}, nil
}

// ofParameters says which parameter a fault is about, where it says no other place: a problem names fields of bodies only.
func ofParameters(err error) error {
	var l fault.List
	for _, e := range fault.All(err) {
		if e.Field != "" && e.Where == "" {
			e = e.At("%s", e.Field)
		}
		l.Add(e)
	}
	return l.Err()
}

func (f *face) paper(ctx context.Context, in *papersAsked) (papers.Paper, error) {
	if err := feeds.MayPrint(ctx, f.studio, callOf(ctx).ID); err != nil {
		return nil, err
	}
	var day calendar.Day
	var err error
	if in.Day != "" {
		if day, err = calendar.ParseDay(in.Day); err != nil {
			return nil, fault.All(err)[0].In("day")
		}
	}
	if in.Kind != "stickers" {
		return paperwork.DayPapers(ctx, f.studio, day, paperwork.Kind(in.Kind))
	}
	set, err := f.studio.Settings(ctx)
	if err != nil {
		return nil, err
	}
	asked := papers.AskedStickers{Size: in.Size, Paper: in.Paper, Width: in.Width, Height: in.Height, Left: in.Left, Top: in.Top, Across: in.Across, Down: in.Down}
	first := 1
	for _, n := range []struct {
		field, text string
		to          *int
	}{{"columns", in.Columns, &asked.Columns}, {"rows", in.Rows, &asked.Rows}, {"first", in.First, &first}} {
		if n.text == "" {
			continue
		}
		if *n.to, err = strconv.Atoi(n.text); err != nil {
			return nil, fault.Invalidf(n.field, "%.20q is no whole number", n.text).ToMend("send digits")
		}
	}
	sheet, err := asked.Sheet(set.Units)
	if err != nil {
		return nil, err
	}
	return paperwork.DayStickers(ctx, f.studio, day, sheet, first)
}
