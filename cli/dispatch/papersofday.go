package dispatch

import (
	"strings"

	"solander/cli/desk"
	"solander/papers"
	"solander/paperwork"
	"solander/planning"
)

type dayPapersCmd struct {
	Kind string `arg:"" help:"What is printed: wraps, slips, labels or everything, which is in packing order."`
	desk.SheetOut
	Day string `placeholder:"DAY" help:"The day; today when left out."`
}

func (dayPapersCmd) Help() string {
	return "Parcels to pack come first, as they are planned, then those that are packed and have no label yet.\n\nExample:\n\n  solander papers day labels -o labels.pdf"
}

func (c *dayPapersCmd) Run(d *desk.Open) error {
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	paper, err := paperwork.DayPapers(d.Ctx, d.Studio, on, paperwork.Kind(c.Kind))
	return desk.Draw(d.Desk, c.SheetOut, paper, err)
}

type stickersCmd struct {
	desk.SheetOut
	Day   string `placeholder:"DAY" help:"The day; today when left out."`
	First int    `default:"1" help:"The first free place of the first sheet, row by row from the top left."`

	Size    string `placeholder:"SIZE" help:"A common sheet by the size of its stickers: 4x2in, 99x68mm. Without it, state the sheet."`
	Paper   string `placeholder:"PAPER" help:"letter or a4."`
	Columns int    `help:"Stickers across the sheet."`
	Rows    int    `help:"Stickers down the sheet."`
	Width   string `placeholder:"LENGTH" help:"Width of a sticker."`
	Height  string `placeholder:"LENGTH" help:"Height of a sticker."`
	Left    string `placeholder:"LENGTH" help:"Left margin; none when left out."`
	Top     string `placeholder:"LENGTH" help:"Top margin; none when left out."`
	Across  string `placeholder:"LENGTH" help:"From the left edge of a sticker to that of the next."`
	Down    string `placeholder:"LENGTH" help:"From the top edge of a sticker to that of the next."`
}

func (stickersCmd) Help() string {
	var sizes []string
	for _, s := range papers.StickerSizes() {
		sizes = append(sizes, "  "+s.Name+strings.Repeat(" ", max(1, 15-len(s.Name)))+s.Say())
	}
	return "Print at full size, without fitting to the page. Common sheets:\n\n" + strings.Join(sizes, "\n") +
		"\n\nExample:\n\n  solander papers stickers --size 4x2in --first 3 -o stickers.pdf\n" +
		"  solander papers stickers --paper a4 --columns 2 --rows 4 --width 99mm --height 68mm --left 4.5mm --top 13mm --across 101mm --down 68mm -o stickers.pdf"
}

func (c *stickersCmd) Run(d *desk.Open) error {
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	h, err := planning.HeadOf(d.Ctx, d.Studio, on)
	if err != nil {
		return err
	}
	asked := papers.AskedStickers{
		Size: c.Size, Paper: c.Paper, Columns: c.Columns, Rows: c.Rows,
		Width: c.Width, Height: c.Height, Left: c.Left, Top: c.Top, Across: c.Across, Down: c.Down,
	}
	sheet, err := asked.Sheet(h.Units)
	if err != nil {
		return err
	}
	paper, err := paperwork.DayStickers(d.Ctx, d.Studio, on, sheet, c.First)
	return desk.Draw(d.Desk, c.SheetOut, paper, err)
}
