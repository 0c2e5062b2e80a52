package dispatch

import (
	"errors"

	"solander/cli/desk"
	"solander/dispatch"
	"solander/studio"
)

type Label struct {
	Parcel   string `arg:"" predictor:"order" help:"Mark of an order with one parcel to label, or the parcel's number."`
	Service  string `placeholder:"NAME" help:"The service used; the planned one when left out."`
	Paid     string `required:"" placeholder:"AMOUNT" help:"Postage actually paid."`
	Tracking string `placeholder:"NUMBER" help:"Tracking number; its check digit is verified."`
	Day      string `placeholder:"DAY" help:"Day; today when left out."`
}

func (Label) Help() string {
	return "This notes what was bought elsewhere: it buys no postage.\n\nExample:\n\n  solander label S-1042 --paid 6.37 --tracking \"9400 1118 9922 3100 0002 08\""
}

func (c *Label) Run(d *desk.Open) error {
	parcel, noParcel := d.ParcelNamed(c.Parcel, studio.Packed)
	paid, noAmount := d.Amount(c.Paid, "paid")
	on, noDay := desk.Day(c.Day, "day")
	if err := errors.Join(noParcel, noAmount, noDay); err != nil {
		return err
	}
	in := dispatch.LabelIn{Parcel: parcel.ID, Service: c.Service, Paid: paid, Tracking: c.Tracking, Day: on}
	if err := dispatch.Label(d.Ctx, d.Studio, in); err != nil {
		return err
	}
	return d.After(parcel.Order)
}
