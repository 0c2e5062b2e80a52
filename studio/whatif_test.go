package studio_test

import (
	"context"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/fault"
	"solander/packing"
	"solander/studio"
	"solander/tariff"
)

// sentOff takes prints the whole way to hand-over.
func (b *bed) sentOff(eds ...int64) studio.OrderView {
	b.Helper()
	v, parcels := b.packed(eds...)
	for _, p := range parcels {
		b.must(b.Label(b.ctx, studio.LabelIn{Parcel: p.ID, Paid: usd(5_00)}))
	}
	_, err := b.HandOver(b.ctx, studio.HandOverIn{})
	b.must(err)
	return b.order(v.ID)
}

// past asks about what was handed over in March 2026.
func past(change func(*studio.WhatIfIn)) studio.WhatIfIn {
	in := studio.WhatIfIn{Format: studio.WhatIfFormat, Past: true, From: calendar.Date(2026, 3, 1), To: calendar.Date(2026, 3, 31)}
	change(&in)
	return in
}

// dearer is the invented card with the ground service at 7.00 instead of 5.00, from a day that is yet to
// come. By hand: a heron of 11 × 14 in goes by ground at 5.00 (see TestFromSaleToHandOver), priority costs
// 9.00, so that it goes by ground still and costs 2.00 more.
func dearer() tariff.Card {
	c := invented()
	c.ID, c.From, c.To = "invented-2", calendar.Date(2027, 1, 17), calendar.Day{}
	c.Services[0].Prices.Rows[0].Prices = []tariff.Cell{700}
	return c
}

func TestWhatWouldANewTariffDo(t *testing.T) {
	b := newBed(t)
	first, second := b.sentOff(b.heron.ID), b.sentOff(b.heron.ID)
	got, err := b.WhatIf(b.ctx, past(func(in *studio.WhatIfIn) { in.Cards = []tariff.Card{dearer()} }), nil)
	b.must(err)
	if len(got.Rows) != 2 || got.Compared != 2 || got.Left != 0 || got.Stopped {
		t.Fatalf("%+v", got)
	}
	for i, o := range []studio.OrderView{first, second} {
		r := got.Rows[i]
		if r.Order != o.Mark || r.Saves != usd(-2_00) || r.Without.Minor != o.Parcels[0].Plan.Cost || r.With.Minor != r.Without.Minor+2_00 {
			t.Errorf("%+v; it was sent for %d", r, o.Parcels[0].Plan.Cost)
		}
	}
	if got.Saves != usd(-4_00) || got.With.Minor-got.Without.Minor != 4_00 {
		t.Errorf("in all %s", got.Saves)
	}
	if d := cmp.Diff([]studio.MonthSum{{Month: "2026-03", Saves: usd(-4_00), Rows: 2}}, got.Months); d != "" {
		t.Error(d)
	}
	if len(got.Assumptions) < 3 {
		t.Errorf("assumptions: %q", got.Assumptions)
	}
}

// The reeds are fine: the house rule sends them by priority at 9.00. Without it ground is 4.00 cheaper in
// the same packaging. (The carton that an operator issues free for its better class is no longer used.)
func TestWhatIfTheFineGradeWentByTheCheaperClass(t *testing.T) {
	b := newBed(t)
	b.must(b.CountSheets(b.ctx, b.reeds.ID, 3, "came in"))
	issued := b.shelf()["carton-issued-16x13x3"]
	issued.Retired = true
	_, err := b.SaveShelfItem(b.ctx, issued)
	b.must(err)
	b.sentOff(b.reeds.ID)
	got, err := b.WhatIf(b.ctx, past(func(in *studio.WhatIfIn) { in.Drop = []string{"fine-better"} }), nil)
	b.must(err)
	if len(got.Rows) != 1 || got.Saves != usd(4_00) {
		t.Fatalf("%+v", got)
	}
	if d := cmp.Diff([]string{"without the house rule “the fine grade always goes by the better class”"}, got.Changes); d != "" {
		t.Error(d)
	}
	only := packing.Rule{ID: "fine-better", Text: "the fine grade goes as it likes, but tracked", When: packing.When{Grades: []string{"fine"}}, Then: packing.Then{Tracking: true}}
	changed, err := b.WhatIf(b.ctx, past(func(in *studio.WhatIfIn) { in.Rules = []packing.Rule{only} }), nil)
	b.must(err)
	if changed.Saves != usd(4_00) {
		t.Errorf("with the rule changed %s, want 4.00: both services are tracked", changed.Saves)
	}
}

// The outer envelope of a heron costs 0.62 or more; one like it at 0.10 saves the difference on each.
func TestWhatIfIBoughtThisEnvelope(t *testing.T) {
	b := newBed(t)
	v := b.sentOff(b.heron.ID)
	b.ready(b.heron.ID)
	outer := v.Parcels[0].Plan.Layers[len(v.Parcels[0].Plan.Layers)-1].Item
	spec := b.shelf()[outer].Spec
	was := spec.Cost
	spec.ID, spec.Name, spec.Cost = "bought", "mailer of the fair", 10
	ask := past(func(in *studio.WhatIfIn) { in.Item, in.Like = &spec, outer })
	got, err := b.WhatIf(b.ctx, ask, nil)
	b.must(err)
	if len(got.Rows) != 1 || got.Saves != usd(was-10) {
		t.Errorf("saves %s in %d rows, want %s: %+v", got.Saves, len(got.Rows), usd(was-10), got.Rows)
	}
	ask.Open = true
	got, err = b.WhatIf(b.ctx, ask, nil)
	b.must(err)
	if len(got.Rows) != 2 || got.Saves != usd(2*(was-10)) {
		t.Errorf("with the open order: saves %s in %d rows", got.Saves, len(got.Rows))
	}
	if items, err := b.Shelf(b.ctx); err != nil || len(items) != len(b.Defaults().Shelf) {
		t.Errorf("the shelf was changed: %d items, %v", len(items), err)
	}
}

func TestAStoppedQuestionKeepsWhatIsDone(t *testing.T) {
	b := newBed(t)
	b.sentOff(b.heron.ID)
	b.sentOff(b.heron.ID)
	ctx, stop := context.WithCancel(b.ctx)
	got, err := b.WhatIf(ctx, past(func(in *studio.WhatIfIn) { in.Cards = []tariff.Card{dearer()} }), func(done, all int) {
		if all != 2 {
			t.Errorf("%d in all, want 2", all)
		}
		if done == 1 {
			stop()
		}
	})
	if err != nil || !got.Stopped || len(got.Rows) != 1 || got.All != 2 || got.Saves != usd(-2_00) {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestBadQuestionsAreNamed(t *testing.T) {
	b := newBed(t)
	item := packing.Item{ID: "x", Kind: packing.Envelope, Cost: -1}
	for field, in := range map[string]studio.WhatIfIn{
		"format":    {Past: true, Drop: []string{"fine-better"}},
		"past":      {Format: studio.WhatIfFormat, Drop: []string{"fine-better"}},
		"item":      past(func(*studio.WhatIfIn) {}),
		"to":        past(func(in *studio.WhatIfIn) { in.Drop, in.To = []string{"fine-better"}, calendar.Date(2026, 2, 1) }),
		"drop[0]":   past(func(in *studio.WhatIfIn) { in.Drop = []string{"no-such"} }),
		"from":      past(func(in *studio.WhatIfIn) { in.Drop = []string{"fine-better"} }),
		"item.cost": past(func(in *studio.WhatIfIn) { in.Item = &item }),
	} {
		_, err := b.WhatIf(b.ctx, in, nil)
		if !slices.ContainsFunc(fault.All(err), func(e *fault.Error) bool { return e.Field == field }) {
			t.Errorf("%s: %v", field, err)
		}
	}
}
