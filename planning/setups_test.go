package planning_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"solander/calendar"
	"solander/dayplan"
	"solander/dayplan/setups"
	"solander/dispatch"
	"solander/internal/bed"
	"solander/packing"
	"solander/packing/front"
	"solander/planning"
	"solander/studio"
)

// dayOf is what is asked for today.
func dayOf(b *bed.Bed) dayplan.Ask {
	b.Helper()
	var a dayplan.Ask
	b.Must(b.Studio.Read(b.Ctx, func(t *studio.Turn) (err error) {
		a, err = planning.DayAsk(b.Studio, planning.In(t), calendar.Day{}, nil)
		return err
	}))
	return a
}

func wrapsOf(plans map[int64]dayplan.Plan) []string {
	var out []string
	for id, p := range plans {
		for _, pc := range p.Plan.Parcels {
			if p.Leads(id) {
				out = append(out, pc.Wrap)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// measureOf is when an order arrives and how it is protected, as it is planned.
func measureOf(p dayplan.Plan) front.Measure {
	whole := p.Ask.Whole()
	m := front.MeasureOf(&whole, p.Plan.Parcels)
	m.Money = 0
	return m
}

// Whatever a day holds and may cost more: the same orders go, as soon and as well protected, for no more than that; with as few
// different wraps as is said, and never more than plainly.
func TestFewerWrapsNeverCostMoreThanAllowed(t *testing.T) {
	b := bed.New(t)
	d := rand.New(rand.NewPCG(21, 3))
	for range 4 {
		b.Ready(b.Card.ID)
	}
	b.Ready(b.Heron.ID)
	b.Ready(b.Heron.ID)
	b.Ready(b.Heron.ID, b.Card.ID)
	var was studio.Settings
	b.ChangeSettings(func(s *studio.Settings) { was = *s })
	fewer, paid := 0, 0
	cases := 60
	if testing.Short() {
		cases = 12
	}
	for n := range cases {
		b.ChangeSettings(func(s *studio.Settings) {
			s.Wraps = slices.Clone(was.Wraps)
			for i := range s.Wraps {
				s.Wraps[i].Minutes = d.IntN(4)
			}
			d.Shuffle(len(s.Wraps), func(i, j int) { s.Wraps[i], s.Wraps[j] = s.Wraps[j], s.Wraps[i] })
			s.MinuteWage, s.SetUpMoney = int64(d.IntN(3)*25), int64(d.IntN(4)*100)
			s.Rules = []packing.Rule{{ID: "x", Text: "drawn", Then: packing.Then{NotWraps: []string{s.Wraps[0].ID}}}} // other wraps are the cheapest
		})
		a := dayOf(b)
		plain, err := b.Plans.Of(b.Ctx, a)
		b.Must(err)
		got, made, err := setups.Of(b.Ctx, b.Plans, a)
		b.Must(err)
		before, held := dayplan.SumOf(plain)
		after, still := dayplan.SumOf(got)
		if held != still || after-before > a.SetUps.Money || after-before != made.More.Minor {
			t.Fatalf("case %d: %d held, now %d; %d more, said %s, allowed %d", n, held, still, after-before, made.More, a.SetUps.Money)
		}
		if was, now := wrapsOf(plain), wrapsOf(got); len(now) > len(was) || len(was) != made.Plain || len(now) > made.Wraps || made.Least > made.Wraps {
			t.Fatalf("case %d: wraps %v instead of %v, said %+v", n, now, was, made)
		}
		for id, p := range plain {
			if p.Goes() && measureOf(p) != measureOf(got[id]) {
				t.Fatalf("case %d: an order that measured %+v measures %+v", n, measureOf(p), measureOf(got[id]))
			}
		}
		if made.Wraps < made.Plain {
			if fewer++; fewer == 1 {
				packedSo(b, plain, got)
			}
		}
		if made.More.Minor > 0 {
			paid++
		}
	}
	if fewer < cases/12 {
		t.Errorf("in %d of %d days there were fewer wraps, in %d for money: nothing was tested", fewer, cases, paid)
	}
}

// packedSo packs an order that is moved to another wrap: it is packed by the plan of the day, and unpacked again.
func packedSo(b *bed.Bed, plain, got map[int64]dayplan.Plan) {
	b.Helper()
	for id, p := range got {
		if !p.Goes() || p.Plan.Parcels[0].Wrap == plain[id].Plan.Parcels[0].Wrap {
			continue
		}
		parcels, err := dispatch.Pack(b.Ctx, b.Studio, dispatch.PackIn{Order: id, Total: &p.Plan.Total})
		b.Must(err)
		if parcels[0].Plan.Wrap != p.Plan.Parcels[0].Wrap {
			b.Errorf("planned in %s, packed in %s", p.Plan.Parcels[0].Wrap, parcels[0].Plan.Wrap)
		}
		b.Must(dispatch.Undo(b.Ctx, b.Studio, b.Latest(studio.MarkPacked).ID))
		return
	}
	b.Error("there are fewer wraps, and no order is moved")
}
