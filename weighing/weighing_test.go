package weighing_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"solander/dispatch"
	"solander/fault"
	"solander/internal/bed"
	"solander/labelling"
	"solander/measure"
	"solander/packing"
	"solander/planning"
	"solander/pricecards"
	"solander/stockroom"
	"solander/studio"
	"solander/tariff"
	"solander/weighing"
)

func TestMain(m *testing.M) { bed.Properties(m) }

const g = measure.Gram

// packed packs so many orders of a card each.
func packed(b *bed.Bed, n int) (out []studio.Parcel) {
	b.Helper()
	b.Must(stockroom.CountSheets(b.Ctx, b.Studio, b.Card.ID, 60, "more of them"))
	for range n {
		_, parcels := b.Packed(b.Card.ID)
		out = append(out, parcels...)
	}
	return out
}

// weigh weighs parcels, each so much more than planned, and returns their wrap.
func weigh(b *bed.Bed, parcels []studio.Parcel, more ...measure.Mass) (wrap string) {
	b.Helper()
	for i, m := range more {
		_, err := weighing.Weigh(b.Ctx, b.Studio, weighing.WeighIn{Parcel: parcels[i].ID, Mass: parcels[i].Bare + m})
		b.Must(err)
	}
	return parcels[0].Wrap
}

func same(n int, m measure.Mass) []measure.Mass { return slices.Repeat([]measure.Mass{m}, n) }

// of is what is said of a wrap.
func of(b *bed.Bed, wrap string) weighing.Learnt {
	b.Helper()
	all, err := weighing.All(b.Ctx, b.Studio)
	b.Must(err)
	i := slices.IndexFunc(all, func(l weighing.Learnt) bool { return l.Wrap == wrap })
	if i < 0 {
		b.Fatalf("nothing is said of %q: %+v", wrap, all)
	}
	return all[i]
}

func ownMass(b *bed.Bed, wrap string) measure.Mass {
	b.Helper()
	set, err := b.Studio.Settings(b.Ctx)
	b.Must(err)
	for _, w := range set.Wraps {
		if w.ID == wrap {
			return w.Mass
		}
	}
	b.Fatalf("there is no wrap %q", wrap)
	return 0
}

func withMargin(b *bed.Bed) {
	b.ChangeSettings(func(set *studio.Settings) {
		set.Margin, set.Units = packing.Margin{Grammage: 50, Parcel: 5 * g}, measure.Metric
	})
}

// A parcel keeps what was planned for it without the margin, and what the wrap weighed by itself; weighing notes the rest, and is undone.
func TestAParcelIsWeighed(t *testing.T) {
	b := bed.New(t)
	withMargin(b)
	b.ChangeSettings(func(set *studio.Settings) {
		for i := range set.Wraps {
			set.Wraps[i].Mass = 7 * g
		}
	})
	v, parcels := b.Packed(b.Heron.ID, b.Card.ID)
	p := parcels[0]
	// 5 % of an 11 × 14 in and of a 5 × 7 in print at 310 g/m², each rounded up to a nanogram, and a step of the scale.
	// 11 × 14 in is 30 799 938 400 ng (docs/formats/plan.md, section 8), 5 × 7 in 6 999 986 000 ng.
	if got := p.Plan.Mass - p.Bare; len(parcels) != 1 || got != 5*g+1_539_996_920+349_999_300 || p.WrapMass != 7*g || p.Wrap != p.Plan.Wrap {
		t.Fatalf("%d parcels; a margin of %d ng, wrap %q of %d ng", len(parcels), got, p.Wrap, p.WrapMass)
	}
	text, err := weighing.Weigh(b.Ctx, b.Studio, weighing.WeighIn{Parcel: p.ID, Mass: p.Bare + 3*g})
	b.Must(err)
	if got := b.Order(v.ID).Parcels[0]; got.Weighed != p.Bare+3*g || !bed.Contains(text, v.Mark+" weighed ") || bed.Contains(text, "over") {
		t.Errorf("%d ng; %q", got.Weighed, text)
	}
	first := b.Latest(studio.MarkWeighed)
	_, err = weighing.Weigh(b.Ctx, b.Studio, weighing.WeighIn{Parcel: p.ID, Mass: p.Bare + 4*g})
	b.Must(err)
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, first.ID), fault.Refused, "", "weighed again")
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkWeighed).ID))
	b.Must(dispatch.Undo(b.Ctx, b.Studio, first.ID))
	if got := b.Order(v.ID).Parcels[0].Weighed; got != 0 {
		t.Errorf("taken back it weighs %d ng", got)
	}
	b.Sound()
}

// What cannot be the mass of a parcel is refused, and nothing is noted: nothing, 40 kg, a slip of unit or point.
func TestMassesThatAreRefused(t *testing.T) {
	b := bed.New(t)
	v, parcels := b.Packed(b.Heron.ID)
	p := parcels[0]
	for name, c := range map[string]struct {
		in   weighing.WeighIn
		code fault.Code
		says string
	}{
		"nothing":         {weighing.WeighIn{Parcel: p.ID}, fault.Invalid, "more than nothing"},
		"less":            {weighing.WeighIn{Parcel: p.ID, Mass: -g}, fault.Invalid, "more than nothing"},
		"40 kg":           {weighing.WeighIn{Parcel: p.ID, Mass: 40 * measure.Kilogram}, fault.Invalid, "more than any service takes"},
		"ten times":       {weighing.WeighIn{Parcel: p.ID, Mass: 10 * p.Bare}, fault.Invalid, "3 times as heavy"},
		"a tenth":         {weighing.WeighIn{Parcel: p.ID, Mass: p.Bare / 10}, fault.Invalid, "3 times as light"},
		"no such parcel":  {weighing.WeighIn{Parcel: 99, Mass: p.Bare}, fault.Missing, "99"},
		"a nanogram over": {weighing.WeighIn{Parcel: p.ID, Mass: 3*p.Bare + 1}, fault.Invalid, "look at the unit"},
	} {
		_, err := weighing.Weigh(b.Ctx, b.Studio, c.in)
		b.Refused(err, c.code, "", c.says)
		if name == "no such parcel" {
			continue
		}
		b.Refused(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(5_00), Weighed: &c.in.Mass}), c.code, "weighed", c.says)
	}
	if got := b.Order(v.ID).Parcels[0]; got.Weighed != 0 || got.HasLabel() {
		t.Errorf("noted: %+v", got)
	}
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(5_00), Weighed: bed.Ptr(3 * p.Bare)}))
	b.Sound()
}

// The mass that is noted with a label is undone with it; a later label without one leaves it, and a later weighing is undone first.
func TestWeighedWithTheLabel(t *testing.T) {
	b := bed.New(t)
	v, parcels := b.Packed(b.Heron.ID)
	p := parcels[0]
	weighs := func(want measure.Mass) {
		t.Helper()
		if got := b.Order(v.ID).Parcels[0].Weighed; got != want {
			t.Fatalf("it weighs %d ng, not %d", got, want)
		}
	}
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(5_00), Weighed: bed.Ptr(p.Bare + g)}))
	weighs(p.Bare + g)
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(6_00)}))
	weighs(p.Bare + g)
	label := b.Latest(studio.MarkLabelled)
	_, err := weighing.Weigh(b.Ctx, b.Studio, weighing.WeighIn{Parcel: p.ID, Mass: p.Bare + 2*g})
	b.Must(err)
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, label.ID), fault.Refused, "", "weighed since")
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkWeighed).ID))
	b.Must(dispatch.Undo(b.Ctx, b.Studio, label.ID))
	weighs(p.Bare + g)
	b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkLabelled).ID))
	weighs(0)
	b.Sound()
}

// A parcel above the step that its postage was found for says so at once: the invented card asks 5.00 up to a pound and 15.00 above.
func TestOverItsStep(t *testing.T) {
	b := bed.New(t)
	v, parcels := b.Packed(b.Heron.ID)
	p := parcels[0]
	pound := measure.Pound
	if p.Plan.Billed > pound || 3*p.Bare < pound+measure.Ounce {
		t.Fatalf("planned for %s: no case", p.Plan.Mass)
	}
	over := func(m measure.Mass, paid int64) string {
		t.Helper()
		b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(paid), Weighed: &m}))
		says, err := weighing.Overs(b.Ctx, b.Studio, b.Order(v.ID).Parcels)
		b.Must(err)
		text := b.Latest(studio.MarkLabelled).Text
		if says[p.ID] != "" != bed.Contains(text, "the counter’s scale decides") {
			t.Errorf("the parcel says %q, the journal %q", says[p.ID], text)
		}
		return says[p.ID]
	}
	if says := over(pound, 5_00); says != "" {
		t.Errorf("a pound: %q", says)
	}
	if says := over(pound+measure.Ounce/2, 5_00); says != "0.5 oz over the step of 1 lb: by the card it costs 10.00 USD more; the counter’s scale decides" {
		t.Errorf("half an ounce over: %q", says)
	}
	if says := over(pound+measure.Ounce/2, 15_00); says != "" {
		t.Errorf("she paid for that step: %q", says)
	}
	b.Must(labelling.Label(b.Ctx, b.Studio, labelling.LabelIn{Parcel: p.ID, Paid: bed.USD(9_00), Service: "bicycle", Weighed: bed.Ptr(pound + g)}))
	if says, err := weighing.Overs(b.Ctx, b.Studio, b.Order(v.ID).Parcels); err != nil || len(says) > 0 {
		t.Errorf("of a service that no card knows: %v, %v", says, err)
	}
	b.Sound()
}

// The wrap learns: from eight parcels on and beyond the scale's step; one write takes it over, those parcels do not count again, and it is
// undone as it was.
func TestAWrapLearns(t *testing.T) {
	b := bed.New(t)
	withMargin(b)
	parcels := packed(b, 8)
	wrap := weigh(b, parcels, 14*g, 14*g, 13*g, 15*g, 14*g, 90*g, 12*g)
	if l := of(b, wrap); l.Told() || l.Bias.Parcels != 7 {
		t.Fatalf("told of seven: %+v", l)
	}
	_, err := weighing.Heed(b.Ctx, b.Studio, weighing.HeedIn{Wrap: wrap})
	b.Refused(err, fault.Refused, "wrap", "nothing sure: 7 parcels")
	weigh(b, parcels[7:], 14*g+300*measure.Milligram)
	l := of(b, wrap)
	if !l.Told() || l.Bias.Off != 14*g || l.Own != 0 || l.Then != 14*g || !bed.Contains(l.Text(), "weigh 14 g more than planned, from 8 parcels") ||
		l.Spread() != "half of them from 13 g more to 14 g more" {
		t.Fatalf("%+v: %q, %q", l, l.Text(), l.Spread())
	}
	_, err = weighing.Heed(b.Ctx, b.Studio, weighing.HeedIn{Wrap: wrap, Then: bed.Ptr(13 * g)})
	b.Refused(err, fault.Refused, "then", "14 g now, not 13 g")
	_, err = weighing.Heed(b.Ctx, b.Studio, weighing.HeedIn{Wrap: wrap, Then: bed.Ptr(14 * g)})
	b.Must(err)
	if l = of(b, wrap); l.Own != 14*g || l.Bias.Parcels != 0 || l.Told() {
		t.Fatalf("taken over: %+v", l)
	}
	heeded := b.Latest(studio.MarkWrapMass)
	if !bed.Contains(heeded.Text, "weighs 14 g besides its layers from now on, not 0 g") {
		t.Errorf("the journal says %q", heeded.Text)
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, heeded.ID))
	if l = of(b, wrap); l.Own != 0 || l.Bias.Parcels != 8 || !l.Told() {
		t.Fatalf("undone: %+v", l)
	}
	_, err = weighing.Heed(b.Ctx, b.Studio, weighing.HeedIn{Wrap: wrap})
	b.Must(err)
	weigh(b, packed(b, 2), 0, 3*g)
	if l = of(b, wrap); l.Bias.Parcels != 2 || l.Bias.Off != 1500*measure.Milligram {
		t.Fatalf("parcels weighed before count again: %+v", l)
	}
	// A mass written by hand begins anew, though it is one that the wrap had before.
	b.ChangeSettings(func(set *studio.Settings) {
		for i := range set.Wraps {
			set.Wraps[i].Mass = 0
		}
	})
	if l = of(b, wrap); l.Bias.Parcels != 0 {
		t.Fatalf("parcels from before two changes count: %+v", l)
	}
	b.Refused(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkWrapMass).ID), fault.Refused, "", "weighs 0 g besides its layers now")
	_, err = weighing.Heed(b.Ctx, b.Studio, weighing.HeedIn{Wrap: "none"})
	b.Refused(err, fault.Missing, "wrap", "none")
	b.Sound()
}

// She says no: it is not said again until it is another by more than a step of the scale; and that is undone, too.
func TestAWrapIsLeft(t *testing.T) {
	b := bed.New(t)
	withMargin(b)
	parcels := packed(b, 8)
	wrap := weigh(b, parcels, same(8, 14*g)...)
	_, err := weighing.Heed(b.Ctx, b.Studio, weighing.HeedIn{Wrap: wrap, Leave: true})
	b.Must(err)
	left := b.Latest(studio.MarkWrapMass)
	if l := of(b, wrap); l.Told() || !l.Sure || !l.Kept || l.Own != 0 || !bed.Contains(left.Text, "weighs 0 g besides its layers still, not 14 g") {
		t.Fatalf("left: %+v; %q", l, left.Text)
	}
	b.Must(dispatch.Undo(b.Ctx, b.Studio, left.ID))
	if l := of(b, wrap); !l.Told() {
		t.Fatalf("undone: %+v", l)
	}
	_, err = weighing.Heed(b.Ctx, b.Studio, weighing.HeedIn{Wrap: wrap, Leave: true})
	b.Must(err)
	weigh(b, parcels, same(8, 19*g)...)
	if l := of(b, wrap); l.Told() || l.Bias.Off != 19*g {
		t.Fatalf("a step of the scale more: %+v", l)
	}
	weigh(b, parcels, same(8, 20*g)...)
	if l := of(b, wrap); !l.Told() || l.Bias.Off != 20*g {
		t.Fatalf("more than a step: %+v", l)
	}
	_, err = weighing.Heed(b.Ctx, b.Studio, weighing.HeedIn{Wrap: wrap})
	b.Must(err)
	if set, err := b.Studio.Settings(b.Ctx); err != nil || len(set.Unheeded) > 0 || ownMass(b, wrap) != 20*g {
		t.Errorf("taken over: %+v, %v", set.Unheeded, err)
	}
	b.Sound()
}

// narrow is the invented card with a step every 50 g up to 2 kg.
func narrow() tariff.Card {
	c := bed.Invented()
	for i := range c.Services {
		var rows []tariff.Row
		for n := range 40 {
			rows = append(rows, tariff.Row{Mass: measure.Mass(n+1) * 50 * g, Prices: []tariff.Cell{tariff.Cell(400 + 25*n + 400*i)}})
		}
		c.Services[i].Prices.Rows = rows
	}
	return c
}

// What the trial shows is what the plans of her open orders are once it is taken over, parcel by parcel, to the nanogram and the cent.
func TestTrialIsTheDeed(t *testing.T) {
	rows, crossed := 0, 0
	check := func(rt *rapid.T) {
		b := bed.New(t)
		withMargin(b)
		b.Combine(rapid.IntRange(0, 3).Draw(rt, "together") == 0)
		b.Must(pricecards.AddCard(b.Ctx, b.Studio, narrow()))
		off := measure.Mass(rapid.Int64Range(-20, 160).Draw(rt, "off")) * g
		wrap := weigh(b, packed(b, 8), same(8, off)...)
		l := of(b, wrap)
		if !l.Told() {
			if off > 5*g {
				rt.Fatalf("%s is not told: %+v", off, l)
			}
			return
		}
		var ids []int64
		for range rapid.IntRange(1, 3).Draw(rt, "orders") {
			var eds []int64
			for range rapid.SampledFrom([]int{1, 1, 2, 3}).Draw(rt, "prints") {
				eds = append(eds, rapid.SampledFrom([]int64{b.Heron.ID, b.Card.ID}).Draw(rt, "edition"))
			}
			if slices.Contains(eds, b.Heron.ID) {
				eds = append([]int64{b.Heron.ID}, slices.DeleteFunc(eds, func(id int64) bool { return id == b.Heron.ID })...) // there are four
			}
			ids = append(ids, b.Ready(eds...).ID)
		}
		trial, err := weighing.Try(b.Ctx, b.Studio, wrap)
		b.Must(err)
		_, err = weighing.Heed(b.Ctx, b.Studio, weighing.HeedIn{Wrap: wrap, Then: &trial.Then})
		b.Must(err)
		if got := ownMass(b, wrap); got != trial.Then {
			rt.Fatalf("the wrap weighs %d, shown %d", got, trial.Then)
		}
		plans := map[string]planning.PlanView{}
		for _, id := range ids {
			v := b.Plan(id)
			plans[v.Order.Mark] = v
		}
		more := int64(0)
		for _, r := range trial.Rows {
			rows++
			v := plans[r.Order]
			if r.Held != "" || v.Plan.Total != r.After.Minor || r.After.Minor-r.Now.Minor != r.More.Minor {
				rt.Fatalf("%s: shown %+v, planned %d", r.Order, r, v.Plan.Total)
			}
			more += r.More.Minor
			for i, p := range r.Parcels {
				if p.Crossed {
					crossed++
				}
				if !r.Other && v.Plan.Parcels[i].Mass != p.After {
					rt.Fatalf("%s: parcel %d weighs %d, shown %d", r.Order, i, v.Plan.Parcels[i].Mass, p.After)
				}
			}
		}
		if more != trial.More.Minor || trial.After.Minor-trial.Now.Minor != more {
			rt.Fatalf("in all %d, shown %+v", more, trial)
		}
		b.Sound()
	}
	for range 10 { // ten draws in a row may cross nothing: it draws on
		if rapid.Check(t, check); t.Failed() || rows > 0 && crossed > 0 {
			break
		}
	}
	if rows == 0 || crossed == 0 {
		t.Errorf("%d rows, %d crossed: nothing was tested", rows, crossed)
	}
}
