package suppose_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/measure"
	"solander/packing"
	"solander/stockroom"
	"solander/studio"
	"solander/suppose"
	"solander/tariff"
)

func TestWhatWouldANewTariffDo(t *testing.T) {
	b := bed.New(t)
	first, second := b.SentOff(b.Heron.ID), b.SentOff(b.Heron.ID)
	got, err := suppose.AskWhatIf(b.Ctx, b.Studio, bed.Past(func(in *suppose.WhatIfIn) { in.Cards = []tariff.Card{bed.Dearer()} }), nil)
	b.Must(err)
	if len(got.Rows) != 2 || got.Compared != 2 || got.Left != 0 || got.Stopped {
		t.Fatalf("%+v", got)
	}
	for i, o := range []studio.OrderView{first, second} {
		r := got.Rows[i]
		if r.Order != o.Mark || r.Saves != bed.USD(-2_00) || r.Without.Minor != o.Parcels[0].Plan.Cost || r.With.Minor != r.Without.Minor+2_00 {
			t.Errorf("%+v; it was sent for %d", r, o.Parcels[0].Plan.Cost)
		}
	}
	if got.Saves != bed.USD(-4_00) || got.With.Minor-got.Without.Minor != 4_00 {
		t.Errorf("in all %s", got.Saves)
	}
	if d := cmp.Diff([]suppose.MonthSum{{Month: "2026-03", Saves: bed.USD(-4_00), Rows: 2}}, got.Months); d != "" {
		t.Error(d)
	}
	if len(got.Assumptions) < 3 {
		t.Errorf("assumptions: %q", got.Assumptions)
	}
}

// The reeds are fine: the house rule sends them by priority at 9.00. Without it ground is 4.00 cheaper in
// the same packaging. (The carton that an operator issues free for its better class is no longer used.)
func TestWhatIfTheFineGradeWentByTheCheaperClass(t *testing.T) {
	b := bed.New(t)
	b.Must(stockroom.CountSheets(b.Ctx, b.Studio, b.Reeds.ID, 3, "came in"))
	issued := b.Shelf()["carton-issued-16x13x3"]
	issued.Retired = true
	_, err := stockroom.SaveShelfItem(b.Ctx, b.Studio, issued)
	b.Must(err)
	b.SentOff(b.Reeds.ID)
	got, err := suppose.AskWhatIf(b.Ctx, b.Studio, bed.Past(func(in *suppose.WhatIfIn) { in.Drop = []string{"fine-better"} }), nil)
	b.Must(err)
	if len(got.Rows) != 1 || got.Saves != bed.USD(4_00) {
		t.Fatalf("%+v", got)
	}
	if d := cmp.Diff([]string{"without the house rule “the fine grade always goes by the better class”"}, got.Changes); d != "" {
		t.Error(d)
	}
	only := packing.Rule{ID: "fine-better", Text: "the fine grade goes as it likes, but tracked", When: packing.When{Grades: []string{"fine"}}, Then: packing.Then{Tracking: true}}
	changed, err := suppose.AskWhatIf(b.Ctx, b.Studio, bed.Past(func(in *suppose.WhatIfIn) { in.Rules = []packing.Rule{only} }), nil)
	b.Must(err)
	if changed.Saves != bed.USD(4_00) {
		t.Errorf("with the rule changed %s, want 4.00: both services are tracked", changed.Saves)
	}
}

// The outer envelope of a heron costs 0.62 or more; one like it at 0.10 saves the difference on each.
func TestWhatIfIBoughtThisEnvelope(t *testing.T) {
	b := bed.New(t)
	v := b.SentOff(b.Heron.ID)
	b.Ready(b.Heron.ID)
	outer := v.Parcels[0].Plan.Layers[len(v.Parcels[0].Plan.Layers)-1].Item
	spec := b.Shelf()[outer].Spec
	was := spec.Cost
	spec.ID, spec.Name, spec.Cost = "bought", "mailer of the fair", 10
	ask := bed.Past(func(in *suppose.WhatIfIn) { in.Item, in.Like = &spec, outer })
	got, err := suppose.AskWhatIf(b.Ctx, b.Studio, ask, nil)
	b.Must(err)
	if len(got.Rows) != 1 || got.Saves != bed.USD(was-10) {
		t.Errorf("saves %s in %d rows, want %s: %+v", got.Saves, len(got.Rows), bed.USD(was-10), got.Rows)
	}
	ask.Open = true
	got, err = suppose.AskWhatIf(b.Ctx, b.Studio, ask, nil)
	b.Must(err)
	if len(got.Rows) != 2 || got.Saves != bed.USD(2*(was-10)) {
		t.Errorf("with the open order: saves %s in %d rows", got.Saves, len(got.Rows))
	}
	if items, err := stockroom.Shelf(b.Ctx, b.Studio); err != nil || len(items) != len(house.Defaults(measure.Imperial).Shelf) {
		t.Errorf("the shelf was changed: %d items, %v", len(items), err)
	}
}

// A wrap changed, or one more: what it costs is what a plan costs once it is saved so.
func TestWhatIfAWrapWereAnother(t *testing.T) {
	b := bed.New(t)
	first := b.SentOff(b.Heron.ID)
	set, err := b.Settings(b.Ctx)
	b.Must(err)
	at := slices.IndexFunc(set.Wraps, func(w packing.Wrap) bool { return w.ID == first.Parcels[0].Plan.Wrap })
	if at < 0 {
		t.Fatalf("it went as %q", first.Parcels[0].Plan.Wrap)
	}
	changed := set.Wraps[at]
	changed.Layers = append(slices.Clone(changed.Layers), packing.Layer{Kind: packing.Envelope})
	got, err := suppose.AskWhatIf(b.Ctx, b.Studio, bed.Past(func(in *suppose.WhatIfIn) { in.Wraps = []packing.Wrap{changed} }), nil)
	b.Must(err)
	if len(got.Rows) != 1 || len(got.Changes) != 1 || !strings.Contains(got.Changes[0], "with another way of the wrap “"+changed.Name+"”") {
		t.Fatalf("%+v", got)
	}
	if got.Saves.Minor >= 0 || got.With.Minor <= got.Without.Minor {
		t.Errorf("one more envelope round each saves %s: %s without, %s with", got.Saves, got.Without, got.With)
	}
	if after, err := b.Settings(b.Ctx); err != nil || !cmp.Equal(after.Wraps, set.Wraps) {
		t.Errorf("the wraps were changed: %v", err)
	}

	// saved, both sides are what the change said
	b.Must(house.ChangeSettings(b.Ctx, b.Studio, func(s *studio.Settings) error {
		s.Wraps = slices.Clone(s.Wraps)
		s.Wraps[at] = changed
		return nil
	}))
	again, err := suppose.AskWhatIf(b.Ctx, b.Studio, bed.Past(func(in *suppose.WhatIfIn) { in.Wraps = []packing.Wrap{set.Wraps[at]} }), nil)
	b.Must(err)
	if again.Without != got.With || again.With != got.Without {
		t.Errorf("saved it costs %s, and as it was %s; said was %s, %s", again.Without, again.With, got.With, got.Without)
	}

	own := packing.Wrap{ID: "own", Name: "in my own box", Shape: packing.Flat, Layers: []packing.Layer{{Kind: packing.Envelope, Items: []string{"no-such"}}}}
	_, err = suppose.AskWhatIf(b.Ctx, b.Studio, bed.Past(func(in *suppose.WhatIfIn) { in.Wraps = []packing.Wrap{own} }), nil)
	b.Refused(err, fault.Invalid, fmt.Sprintf("wraps[%d].layers[0].items[0]", len(set.Wraps)), "not on the shelf")
}

func TestAStoppedQuestionKeepsWhatIsDone(t *testing.T) {
	b := bed.New(t)
	b.SentOff(b.Heron.ID)
	b.SentOff(b.Heron.ID)
	ctx, stop := context.WithCancel(b.Ctx)
	got, err := suppose.AskWhatIf(ctx, b.Studio, bed.Past(func(in *suppose.WhatIfIn) { in.Cards = []tariff.Card{bed.Dearer()} }), func(done, all int) {
		if all != 2 {
			t.Errorf("%d in all, want 2", all)
		}
		if done == 1 {
			stop()
		}
	})
	if err != nil || !got.Stopped || len(got.Rows) != 1 || got.All != 2 || got.Saves != bed.USD(-2_00) {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestBadQuestionsAreNamed(t *testing.T) {
	b := bed.New(t)
	item := packing.Item{ID: "x", Kind: packing.Envelope, Cost: -1}
	for field, in := range map[string]suppose.WhatIfIn{
		"format":    {Past: true, Drop: []string{"fine-better"}},
		"past":      {Format: suppose.WhatIfFormat, Drop: []string{"fine-better"}},
		"item":      bed.Past(func(*suppose.WhatIfIn) {}),
		"to":        bed.Past(func(in *suppose.WhatIfIn) { in.Drop, in.To = []string{"fine-better"}, calendar.Date(2026, 2, 1) }),
		"drop[0]":   bed.Past(func(in *suppose.WhatIfIn) { in.Drop = []string{"no-such"} }),
		"from":      bed.Past(func(in *suppose.WhatIfIn) { in.Drop = []string{"fine-better"} }),
		"item.cost": bed.Past(func(in *suppose.WhatIfIn) { in.Item = &item }),
	} {
		_, err := suppose.AskWhatIf(b.Ctx, b.Studio, in, nil)
		if !slices.ContainsFunc(fault.All(err), func(e *fault.Error) bool { return e.Field == field }) {
			t.Errorf("%s: %v", field, err)
		}
	}
}
