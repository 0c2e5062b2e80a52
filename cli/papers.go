package cli

import (
	"strconv"

	"solander/fault"
	"solander/studio"
)

type papersCmd struct {
	Bench    benchPaperCmd    `cmd:"" help:"The bench of a day."`
	Signing  signPaperCmd     `cmd:"" help:"What is to be signed, number by number."`
	Slip     slipPaperCmd     `cmd:"" help:"The packing slip of an order."`
	Address  addressPaperCmd  `cmd:"" help:"The address label of a parcel, 4 × 6 in. It is no postage."`
	Wrap     wrapPaperCmd     `cmd:"" help:"How an order is wrapped, drawn to scale."`
	HandOver handOverPaperCmd `cmd:"" name:"hand-over" help:"The list of a hand-over."`
}

type benchPaperCmd struct {
	sheetOut
	Day string `placeholder:"DAY" help:"The day; today when left out."`
}

func (benchPaperCmd) Help() string { return "Example:\n\n  solander papers bench -o bench.pdf" }

func (c *benchPaperCmd) Run(d *open) error {
	on, err := day(c.Day, "day")
	if err != nil {
		return err
	}
	paper, err := d.st.BenchPaper(d.ctx, on)
	return draw(d.desk, c.sheetOut, paper, err)
}

type signPaperCmd struct {
	sheetOut
	Day string `placeholder:"DAY" help:"The day; today when left out."`
}

func (signPaperCmd) Help() string { return "Example:\n\n  solander papers signing -o signing.pdf" }

func (c *signPaperCmd) Run(d *open) error {
	on, err := day(c.Day, "day")
	if err != nil {
		return err
	}
	paper, err := d.st.SignPaper(d.ctx, on)
	return draw(d.desk, c.sheetOut, paper, err)
}

type slipPaperCmd struct {
	Order string `arg:"" help:"Mark of the order."`
	sheetOut
}

func (slipPaperCmd) Help() string { return "Example:\n\n  solander papers slip S-1042 -o slip.pdf" }

func (c *slipPaperCmd) Run(d *open) error {
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	paper, err := d.st.SlipPaper(d.ctx, o.ID)
	return draw(d.desk, c.sheetOut, paper, err)
}

type addressPaperCmd struct {
	Parcel string `arg:"" help:"Number of the parcel, or mark of an order with one parcel to label."`
	sheetOut
}

func (addressPaperCmd) Help() string {
	return "Example:\n\n  solander papers address S-1042 -o label.pdf"
}

func (c *addressPaperCmd) Run(d *open) error {
	id, err := strconv.ParseInt(c.Parcel, 10, 64)
	if err != nil {
		p, err := d.parcelNamed(c.Parcel, studio.Packed, studio.Labelled)
		if err != nil {
			return err
		}
		id = p.ID
	}
	paper, err := d.st.LabelPaper(d.ctx, id)
	return draw(d.desk, c.sheetOut, paper, err)
}

type wrapPaperCmd struct {
	Order  string `arg:"" help:"Mark of the order, packed or as planned now."`
	Parcel int    `placeholder:"N" help:"Which of its parcels, from 1, when it has several."`
	sheetOut
}

func (wrapPaperCmd) Help() string {
	return "Mind the blade: it says so where a carton is cut down.\n\nExample:\n\n  solander papers wrap S-1042 -o wrap.pdf"
}

func (c *wrapPaperCmd) Run(d *open) error {
	o, err := d.orderNamed(c.Order)
	if err != nil {
		return err
	}
	sheets, err := d.st.WrapPapers(d.ctx, o.ID)
	if err != nil {
		return err
	}
	at := max(c.Parcel, 1)
	if at > len(sheets) || c.Parcel < 0 || c.Parcel == 0 && len(sheets) > 1 {
		return fault.Invalidf("parcel", "%s has parcels 1 to %d", o.Mark, len(sheets)).ToMend("name one of them: --parcel 1")
	}
	return draw(d.desk, c.sheetOut, sheets[at-1], nil)
}

type handOverPaperCmd struct {
	HandOver int64 `arg:"" help:"Number of the hand-over (solander hand-over --list)."`
	sheetOut
}

func (handOverPaperCmd) Help() string {
	return "Example:\n\n  solander papers hand-over 31 -o list.pdf"
}

func (c *handOverPaperCmd) Run(d *open) error {
	paper, err := d.st.HandOverPaper(d.ctx, c.HandOver)
	return draw(d.desk, c.sheetOut, paper, err)
}
