package choosing

import (
	"context"
	"errors"
	"slices"

	"solander/dayplan"
	"solander/dayplan/trial"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/packing/front"
	"solander/studio"
)

// TakeIn chooses a way for an order.
type TakeIn struct {
	Order  int64
	Demand front.Demand // of the way
	Total  *int64       // what the way cost when she saw it, in minor units; Refused when it is another sum now
	Reason string       // why; "" = what the way is
}

// Validate looks at the choice alone. Faults: Invalid.
func (in TakeIn) Validate() error {
	var l fault.List
	l.Check(in.Demand.Known(), "way", "the protection asked for is not known", "packaging is stiff or boxed, care is tracked, covered or signed")
	l.Check(in.Demand != front.Demand{}, "way", "nothing is asked for: that is the cheapest way", "take the choice back instead")
	l.Add(studio.Sane("way", in.Demand.ArriveBy))
	l.Add(order.Text("reason", in.Reason, 500, false))
	return l.Err()
}

// mostPlanned is how often a way is planned anew because its day changed meanwhile.
const mostPlanned = 8

var errMoved = errors.New("the day changed after it was planned")

// Take remembers a way as the choice for an order, and for those that it may share parcels with: the plans of their day, and packing, then
// keep it while it can be kept. Faults: Invalid; Missing; Refused when nothing is left to pack, no way keeps it, or it is not what she saw.
func Take(ctx context.Context, s *studio.Studio, in TakeIn) (Way, error) {
	if err := in.Validate(); err != nil {
		return Way{}, err
	}
	for range mostPlanned {
		way, err := take(ctx, s, in)
		if !errors.Is(err, errMoved) {
			return way, err
		}
	}
	return Way{}, fault.New(fault.Refused, "others wrote whenever it was planned").ToMend("wait a moment and choose again")
}

// take plans outside of any transaction, which would hold up others, and writes while the day is still the one that was planned.
func take(ctx context.Context, s *studio.Studio, in TakeIn) (Way, error) {
	var o order.Order
	var one, all dayplan.Ask
	if err := read(ctx, s, func(t *Choosing) (err error) { o, one, all, err = t.asked(s, in.Order); return err }); err != nil {
		return Way{}, err
	}
	on, err := dayplan.On(o.ID, one, all)
	if err != nil {
		return Way{}, err
	}
	sought, err := trial.Of(ctx, s.Plans, o.ID, one, all)
	if err != nil {
		return Way{}, err
	}
	way, err := admissible(ctx, sought, o, in)
	if err != nil {
		return way, err
	}
	return way, write(ctx, s, func(t *Choosing) error {
		now, one, all, err := t.asked(s, in.Order)
		if err != nil {
			return err
		}
		if still, err := dayplan.On(now.ID, one, all); err != nil || still != on {
			return errors.Join(errMoved, err)
		}
		return t.choose(sought.Marks, in, way)
	})
}

// admissible is the way that a demand leads to now. Faults: Refused.
func admissible(ctx context.Context, t *trial.Trial, o order.Order, in TakeIn) (Way, error) {
	cheapest, err := t.With(ctx, front.Demand{})
	if err != nil {
		return Way{}, err
	}
	x, err := t.With(ctx, in.Demand)
	if err != nil {
		return Way{}, err
	}
	if !x.Goes {
		return Way{}, fault.New(fault.Refused, "no way to send it keeps this").At("%s", o.Mark).In("way").ToMend("look at the ways again")
	}
	cur := t.Day.Base.Currency
	if in.Total != nil && *in.Total != x.Money {
		return Way{}, fault.New(fault.Refused, "it costs %s now, not %s", money.Of(x.Money, cur), money.Of(*in.Total, cur)).At("%s", o.Mark).In("total").ToMend("look at the ways again")
	}
	return wayOf(cheapest.Measure, x, in.Demand, cur), nil
}

// choose writes the choice to orders, with an entry in the journal of each.
func (t *Choosing) choose(marks []string, in TakeIn, way Way) error {
	c := order.Choice{
		ArriveBy: in.Demand.ArriveBy, Packaging: string(in.Demand.Packaging), Care: string(in.Demand.Care),
		Reason: in.Reason, At: t.Now, Who: t.Who,
	}
	if c.Reason == "" {
		c.Reason = way.Says()
	}
	for _, mark := range marks {
		o, err := t.OrderByMark(mark)
		if err != nil {
			return err
		}
		own := c
		o.Choice = &own
		if err := t.SaveOrder(o); err != nil {
			return err
		}
		says := way.Says()
		if in.Reason != "" {
			says += "; because: " + in.Reason
		}
		if err := t.Note(o.ID, "%s is to go another way than the cheapest: %s", mark, says); err != nil {
			return err
		}
	}
	return nil
}

// TakeBack gives an order the cheapest way again, and those for which the same choice was made; that it was made stays in the journal.
// Faults: Missing; Refused when none was made, or it is packed by it.
func TakeBack(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Choosing) error {
		o, one, all, err := t.asked(s, id)
		if err != nil {
			return err
		}
		if o.Choice == nil {
			return fault.New(fault.Refused, "no other way was chosen for it").At("%s", o.Mark)
		}
		marks := []string{o.Mark}
		if slices.Contains(all.Ids, id) {
			one = all
		}
		for _, m := range one.With(o.Mark) {
			if m != o.Mark {
				marks = append(marks, m)
			}
		}
		for _, m := range marks {
			x, err := t.OrderByMark(m)
			if err != nil {
				return err
			}
			if x.Choice == nil || !x.Choice.At.Equal(o.Choice.At) {
				continue
			}
			x.Choice = nil
			if err := t.SaveOrder(x); err != nil {
				return err
			}
			if err := t.Note(x.ID, "%s goes the cheapest way again; it had been chosen otherwise because: %s", m, o.Choice.Reason); err != nil {
				return err
			}
		}
		return nil
	})
}
