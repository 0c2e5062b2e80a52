package dispatch

import (
	"strconv"

	"solander/cli/desk"
	"solander/fault"
	"solander/paperwork"
	"solander/studio"
)

type Papers struct {
	Bench    benchPaperCmd    `cmd:"" help:"The bench of a day."`
	Signing  signPaperCmd     `cmd:"" help:"What is to be signed, number by number."`
	Day      dayPapersCmd     `cmd:"" help:"The papers of all parcels of a day at once."`
	Stickers stickersCmd      `cmd:"" help:"The labels of a day on sheets of die-cut stickers."`
	Slip     slipPaperCmd     `cmd:"" help:"The packing slip of an order."`
	Address  addressPaperCmd  `cmd:"" help:"The address label of a parcel, 4 × 6 in. It is no postage."`
	Wrap     wrapPaperCmd     `cmd:"" help:"How an order is wrapped, drawn to scale."`
	HandOver handOverPaperCmd `cmd:"" name:"hand-over" help:"The list of a hand-over."`
}

type benchPaperCmd struct {
	desk.SheetOut
	Day string `placeholder:"DAY" help:"The day; today when left out."`
}

func (benchPaperCmd) Help() string { return "Example:\n\n  solander papers bench -o bench.pdf" }

func (c *benchPaperCmd) Run(d *desk.Open) error {
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	paper, err := paperwork.BenchPaper(d.Ctx, d.Studio, on)
	return desk.Draw(d.Desk, c.SheetOut, paper, err)
}

type signPaperCmd struct {
	desk.SheetOut
	Day string `placeholder:"DAY" help:"The day; today when left out."`
}

func (signPaperCmd) Help() string { return "Example:\n\n  solander papers signing -o signing.pdf" }

func (c *signPaperCmd) Run(d *desk.Open) error {
	on, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	paper, err := paperwork.SignPaper(d.Ctx, d.Studio, on)
	return desk.Draw(d.Desk, c.SheetOut, paper, err)
}

type slipPaperCmd struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order."`
	desk.SheetOut
}

func (slipPaperCmd) Help() string { return "Example:\n\n  solander papers slip S-1042 -o slip.pdf" }

func (c *slipPaperCmd) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	paper, err := paperwork.SlipPaper(d.Ctx, d.Studio, o.ID)
	return desk.Draw(d.Desk, c.SheetOut, paper, err)
}

type addressPaperCmd struct {
	Parcel string `arg:"" predictor:"order" help:"Number of the parcel, or mark of an order with one parcel to label."`
	desk.SheetOut
}

func (addressPaperCmd) Help() string {
	return "Example:\n\n  solander papers address S-1042 -o label.pdf"
}

func (c *addressPaperCmd) Run(d *desk.Open) error {
	id, err := strconv.ParseInt(c.Parcel, 10, 64)
	if err != nil {
		p, err := d.ParcelNamed(c.Parcel, studio.Packed, studio.Labelled)
		if err != nil {
			return err
		}
		id = p.ID
	}
	paper, err := paperwork.LabelPaper(d.Ctx, d.Studio, id)
	return desk.Draw(d.Desk, c.SheetOut, paper, err)
}

type wrapPaperCmd struct {
	Order  string `arg:"" predictor:"order" help:"Mark of the order, packed or as planned now."`
	Parcel int    `placeholder:"N" help:"Which of its parcels, from 1, when it has several."`
	desk.SheetOut
}

func (wrapPaperCmd) Help() string {
	return "Mind the blade: it says so where a carton is cut down.\n\nExample:\n\n  solander papers wrap S-1042 -o wrap.pdf"
}

func (c *wrapPaperCmd) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	sheets, err := paperwork.WrapPapers(d.Ctx, d.Studio, o.ID)
	if err != nil {
		return err
	}
	at := max(c.Parcel, 1)
	if at > len(sheets) || c.Parcel < 0 || c.Parcel == 0 && len(sheets) > 1 {
		return fault.Invalidf("parcel", "%s has parcels 1 to %d", o.Mark, len(sheets)).ToMend("name one of them: --parcel 1")
	}
	return desk.Draw(d.Desk, c.SheetOut, sheets[at-1], nil)
}

type handOverPaperCmd struct {
	HandOver string `arg:"" help:"The hand-over, by its day or number (solander hand-over --list)."`
	desk.SheetOut
}

func (handOverPaperCmd) Help() string {
	return "Example:\n\n  solander papers hand-over 2026-04-14 -o list.pdf"
}

func (c *handOverPaperCmd) Run(d *desk.Open) error {
	id, err := d.HandOverNamed(c.HandOver, "hand-over")
	if err != nil {
		return err
	}
	paper, err := paperwork.HandOverPaper(d.Ctx, d.Studio, id)
	return desk.Draw(d.Desk, c.SheetOut, paper, err)
}
