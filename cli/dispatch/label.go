package dispatch

import (
	"errors"

	"solander/cli/desk"
	"solander/labelling"
	"solander/measure"
	"solander/studio"
	"solander/weighing"
)

type Label struct {
	Parcel   string `arg:"" predictor:"order" help:"Mark of an order with one parcel to label, or the parcel's number."`
	Service  string `placeholder:"NAME" help:"The service used; the planned one when left out."`
	Paid     string `required:"" placeholder:"AMOUNT" help:"Postage actually paid."`
	Tracking string `placeholder:"NUMBER" help:"Tracking number; its check digit is verified."`
	Weighed  string `placeholder:"MASS" help:"What your scale says of the parcel: 14.2oz, 410g."`
	Day      string `placeholder:"DAY" help:"Day; today when left out."`
}

func (Label) Help() string {
	return "This notes what was bought elsewhere: it buys no postage.\n\nExample:\n\n  solander label S-1042 --paid 6.37 --tracking \"9400 1118 9922 3100 0002 08\""
}

func (c *Label) Run(d *desk.Open) error {
	parcel, noParcel := d.ParcelNamed(c.Parcel, studio.Packed)
	paid, noAmount := d.Amount(c.Paid, "paid")
	on, noDay := desk.Day(c.Day, "day")
	var weighed *measure.Mass
	var noMass error
	if c.Weighed != "" {
		m, err := measure.ParseMass(c.Weighed, d.Units())
		weighed, noMass = &m, desk.In(err, "weighed")
	}
	if err := errors.Join(noParcel, noAmount, noMass, noDay); err != nil {
		return err
	}
	in := labelling.LabelIn{Parcel: parcel.ID, Service: c.Service, Paid: paid, Tracking: c.Tracking, Day: on, Weighed: weighed}
	if err := labelling.Label(d.Ctx, d.Studio, in); err != nil {
		return err
	}
	if weighed != nil {
		if err := over(d, parcel.ID); err != nil {
			return err
		}
	}
	return d.After(parcel.Order)
}

// over says at once that a parcel is above the step its postage was found for.
func over(d *desk.Open, parcel int64) error {
	says, err := weighing.OverOf(d.Ctx, d.Studio, parcel)
	if says != "" {
		desk.TellLine(d.Err, "caution: weighed %s", says)
	}
	return err
}
