package labelling

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"solander/address"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/planning"
	"solander/postage"
	"solander/studio"
)

// Scan is the parcel that a scanned mark means, as the card at the bench shows it.
type Scan struct {
	Key     string        `json:"key"` // "S-1042", or "S-1042/2" when the order has several parcels
	Order   int64         `json:"order"`
	Mark    string        `json:"mark"`
	Buyer   string        `json:"buyer"`
	To      order.Address `json:"to"`
	Prints  []string      `json:"prints"`
	Parcel  studio.Parcel `json:"parcel"`
	Service string        `json:"service"` // in words
	Left    int           `json:"left"`    // parcels of the order without a tracking number, this one among them
	Doubts  []string      `json:"doubts,omitempty"`
}

// scanned tidies what a scanner types: control signs between groups of a bar code are no part of it.
func scanned(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, text))
}

// ScanMark finds the parcel that a scanned mark means: the one that it names, or of several the first that has no
// tracking number. Faults: Invalid, Missing for a mark of no order, Refused when no parcel of it waits for a
// label, which says why.
func ScanMark(ctx context.Context, s *studio.Studio, code string) (Scan, error) {
	var out Scan
	err := read(ctx, s, func(t *Labelling) error {
		mark, part, err := markAndPart(scanned(code))
		if err != nil {
			return err
		}
		o, err := t.OrderByMark(mark)
		if fault.Is(err, fault.Missing) {
			return t.unknownMark(mark)
		}
		if err != nil {
			return err
		}
		all, err := t.Parcels(o.ID)
		if err != nil {
			return err
		}
		p, err := t.waiting(o, all, part)
		if err != nil {
			return err
		}
		out, err = scanOf(s, t, o, p, all)
		return err
	})
	return out, err
}

func markAndPart(text string) (mark string, part int, err error) {
	mark, behind, parted := strings.Cut(text, "/")
	mark = strings.ToUpper(strings.TrimSpace(mark))
	if parted {
		part, err = strconv.Atoi(strings.TrimSpace(behind))
	}
	if mark == "" || err != nil || parted && part < 1 {
		return "", 0, fault.Invalidf("code", "%.60q is no mark of an order", text).ToMend("scan the bar code on the slip, the wrap sheet or the label")
	}
	return mark, part, nil
}

// unknownMark says what the text is instead, when it is known.
func (t *Labelling) unknownMark(mark string) error {
	if number, _, err := order.ReadTracking(mark); err == nil {
		parcels, err := t.ParcelsTracked(number.Number)
		if err != nil {
			return err
		}
		if len(parcels) > 0 {
			o, err := t.Order(parcels[0].Order)
			if err != nil {
				return err
			}
			return fault.New(fault.Taken, "%s is the tracking number of a parcel of %s already", number.Number, o.Mark).In("code").ToMend("scan the mark of the next order")
		}
	}
	return fault.New(fault.Missing, "no order has the mark %.60q", mark).In("code").ToMend("scan the bar code on the slip, the wrap sheet or the label again")
}

// waiting chooses the parcel to label. Faults: Refused, with where the order stands.
func (t *Labelling) waiting(o order.Order, all []studio.Parcel, part int) (studio.Parcel, error) {
	refused := func(format string, args ...any) (studio.Parcel, error) {
		return studio.Parcel{}, fault.New(fault.Refused, format, args...).In("code").ToMend("look at the order's page, or scan the next one")
	}
	if part > len(all) && len(all) > 0 {
		return refused("%s has no parcel %d", o.Mark, part)
	}
	if len(all) == 0 {
		if o.InPerson {
			return refused("%s is handed over in person, without a parcel", o.Mark)
		}
		if what := o.NoAddress(); what != "" && o.State == order.Open {
			return refused("%s has no packed parcel: %s", o.Mark, what)
		}
		return refused("%s has no packed parcel", o.Mark)
	}
	if part > 0 {
		all = all[part-1 : part]
	}
	for _, p := range all {
		if p.State != studio.HandedOver && p.Tracking == "" {
			return p, nil
		}
	}
	last := all[len(all)-1]
	if last.State == studio.HandedOver {
		return refused("%s was handed over on %s", o.Mark, last.HandedOver.Long())
	}
	return refused("%s has its tracking number already: %s", o.Mark, last.Tracking)
}

func scanOf(s *studio.Studio, t *Labelling, o order.Order, p studio.Parcel, all []studio.Parcel) (Scan, error) {
	b, err := t.BuyerOf(o.Buyer)
	if err != nil {
		return Scan{}, err
	}
	cards, err := s.AllCards(t.Turn)
	if err != nil {
		return Scan{}, err
	}
	out := Scan{
		Key: postage.Parcel{Mark: o.Mark, Part: planning.PartIn(all, p.ID), Parts: len(all)}.Key(), Order: o.ID, Mark: o.Mark, Buyer: b.Name, To: o.ShipTo, Parcel: p,
		Service: planning.Wording{Cards: cards}.Service(p.Plan.Card, p.Service),
	}
	for _, x := range all {
		if x.State != studio.HandedOver && x.Tracking == "" {
			out.Left++
		}
	}
	if out.Prints, err = t.printsIn(p); err != nil {
		return out, err
	}
	for _, d := range o.Doubts() {
		out.Doubts = append(out.Doubts, d.Text)
	}
	return out, nil
}

// printsIn names the prints of a parcel, whatever order they belong to.
func (t *Labelling) printsIn(p studio.Parcel) ([]string, error) {
	orders, err := planning.In(t.Turn).Sharing(p)
	if err != nil {
		return nil, err
	}
	var out []string
	for _, o := range orders {
		for _, l := range o.Lines {
			if !slices.Contains(p.Lines, l.ID) {
				continue
			}
			e, err := t.EditionOf(l.Edition)
			if err != nil {
				return nil, err
			}
			out = append(out, strings.TrimSpace(l.Number.Of(e)+" "+e.Name(t.Set.Units)))
		}
	}
	return out, nil
}

// ScanTracking notes the scanned tracking number on a parcel. Service and postage stay as they are noted; paid is
// the postage when it is given. A wrong check digit, or a routing ZIP of another place, is told by Scanned and
// not refused. Faults: as Label; Refused for the mark of an order.
func ScanTracking(ctx context.Context, s *studio.Studio, parcel int64, code string, paid *money.Amount) error {
	code = scanned(code)
	in := LabelIn{Parcel: parcel, Tracking: code, AsRead: true}
	err := read(ctx, s, func(t *Labelling) error {
		if code == "" {
			return fault.Invalidf("tracking", "the tracking number is missing").ToMend("scan it from the label")
		}
		if mark, _, err := markAndPart(code); err == nil {
			if _, err := t.OrderByMark(mark); err == nil {
				return fault.New(fault.Refused, "%s is the mark of an order, not a tracking number", mark).In("tracking").ToMend("scan the label's tracking number")
			} else if !fault.Is(err, fault.Missing) {
				return err
			}
		}
		p, err := t.Parcel(parcel)
		in.Service, in.Paid = p.Service, p.Paid
		return err
	})
	if err != nil {
		return err
	}
	if paid != nil {
		in.Paid = *paid
	}
	return Label(ctx, s, in)
}

// Scanned is what is told of a parcel whose tracking number was noted, with what is doubtful about the number.
func Scanned(ctx context.Context, s *studio.Studio, parcel int64) (Scan, error) {
	var out Scan
	err := read(ctx, s, func(t *Labelling) error {
		p, err := t.Parcel(parcel)
		if err != nil {
			return err
		}
		o, err := t.Order(p.Order)
		if err != nil {
			return err
		}
		all, err := t.Parcels(o.ID)
		if err != nil {
			return err
		}
		if out, err = scanOf(s, t, o, p, all); err != nil {
			return err
		}
		out.Doubts = trackingDoubts(p.Tracking, o.ShipTo)
		return nil
	})
	return out, err
}

// trackingDoubts looks at the check digit, and at the ZIP behind a routing prefix 420, which a label's bar code
// carries (USPS Publication 199, from memory).
func trackingDoubts(number string, to order.Address) []string {
	var out []string
	if _, doubt, err := order.ReadTracking(number); err == nil && doubt != "" {
		out = append(out, doubt)
	}
	if strings.HasPrefix(number, "420") && len(number) >= 28 && address.Home(to.Country) == "US" && len(to.Postcode) >= 5 && number[3:8] != to.Postcode[:5] {
		out = append(out, fmt.Sprintf("the label is made for ZIP %s, the order goes to %s", number[3:8], to.Postcode))
	}
	return out
}
