package suppose_test

import (
	"strings"
	"testing"

	"solander/calendar"
	"solander/fault"
	"solander/internal/bed"
	"solander/measure"
	"solander/planning"
	"solander/studio"
	"solander/suppose"
)

// A forced choice of an order says what it costs more, whatever the choice is named by.
func TestWhyNotSaysWhatItCostsMore(t *testing.T) {
	b := bed.New(t)
	v := b.Paid(b.Heron.ID)
	// Planned 628, by priority 982: see TestWhyNot.
	for _, service := range []string{"priority", "test priority"} {
		got, err := suppose.WhyNot(b.Ctx, b.Studio, v.ID, "", service)
		b.Must(err)
		if got.More != 354 || got.Planned != 628 || got.Service != "priority" || got.Text("USD") != "admissible, costs 3.54 USD more" {
			t.Errorf("by %q: %d more than %d: %s", service, got.More, got.Planned, got.Text("USD"))
		}
	}
	plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
	b.Must(err)
	chosen := plan.Plan.Parcels[0]
	got, err := suppose.WhyNot(b.Ctx, b.Studio, v.ID, chosen.Wrap, chosen.Class)
	b.Must(err)
	if !got.Possible || got.More != 0 || got.Text("USD") != "admissible, costs the same" || got.Each != nil {
		t.Errorf("the chosen way: %+v", got)
	}
	wraps, items, services := suppose.Choices(plan)
	if len(wraps) < 3 || len(items) < 10 || len(services) != 2 {
		t.Errorf("%d wraps, %d items, %d services may be forced", len(wraps), len(items), len(services))
	}
	for _, c := range items {
		if _, err := suppose.WhyNot(b.Ctx, b.Studio, v.ID, c.Name, ""); err != nil && !fault.Is(err, fault.Refused) {
			t.Errorf("%s: %v", c.Name, err)
		}
	}
}

// Every wrap, item and service offered is answered: with a price of at least the plan's, or with a rule
// told in words without a key.
func TestEveryChoiceIsAnswered(t *testing.T) {
	b := bed.New(t)
	v := b.Paid(b.Heron.ID, b.Card.ID)
	plan, err := planning.Plan(b.Ctx, b.Studio, v.ID, calendar.Day{})
	b.Must(err)
	wraps, items, services := suppose.Choices(plan)
	asked := 0
	for _, c := range append(append(wraps, items...), services...) {
		choice, service := c.Key, ""
		if strings.HasPrefix(c.Name, "Test ") {
			choice, service = "", c.Key
		}
		got, err := suppose.WhyNot(b.Ctx, b.Studio, v.ID, choice, service)
		b.Must(err)
		asked++
		switch {
		case got.Possible && (got.More < 0 || got.Total-got.Planned != got.More):
			t.Errorf("%s: %d more: %d instead of %d", c.Name, got.More, got.Total, got.Planned)
		case !got.Possible && (got.Reason == nil || got.Reason.Text == ""):
			t.Errorf("%s: no reason", c.Name)
		case !got.Possible && strings.Contains(got.Reason.Text, choice) && strings.Contains(choice, "-") && c.Name != choice:
			t.Errorf("%s is told by its key: %s", c.Name, got.Reason.Text)
		}
		if n := len(plan.Plan.Parcels); n > 1 && len(got.Each) != n {
			t.Errorf("%s: %d answers for %d parcels", c.Name, len(got.Each), n)
		}
	}
	if asked < 15 {
		t.Errorf("only %d choices were asked", asked)
	}
}

// What other orders of the day take is told as that, by name, not as an empty shelf.
func TestWhyNotWhatOthersTake(t *testing.T) {
	b := bed.New(t)
	first, second := b.Ready(b.Heron.ID), b.Ready(b.Heron.ID)
	b.Scarce(1, "envelope-13x17")
	told := 0
	for _, o := range []studio.OrderView{first, second} {
		got, err := suppose.WhyNot(b.Ctx, b.Studio, o.ID, "envelope-13x17", "")
		b.Must(err)
		if got.Possible {
			continue
		}
		told++
		want := "1 piece of " + b.Shelf()["envelope-13x17"].Spec.Name + " needed, there are 1 and other orders of the day take 1"
		if got.Reason.Rule != "shelf.shared" || got.Reason.Text != want || got.Reason.Got != 2 || got.Reason.Limit != 1 {
			t.Errorf("%s: %+v, want %q", o.Mark, got.Reason, want)
		}
		plan, err := planning.Plan(b.Ctx, b.Studio, o.ID, calendar.Day{})
		b.Must(err)
		if why := plan.Why(); len(why.Shared) != 1 || !strings.Contains(why.Shared[0], "others need it more") {
			t.Errorf("%s: shared %q", o.Mark, why.Shared)
		}
	}
	if told != 1 {
		t.Errorf("%d of the two orders go without the envelope, want 1", told)
	}
}

// A studio that measures in millimetres reads the numbers of a rule in them, whatever the shelf was typed in.
func TestReasonsInTheStudiosUnits(t *testing.T) {
	b := bed.New(t)
	b.ChangeSettings(func(set *studio.Settings) { set.Units = measure.Metric })
	v := b.Paid(b.Heron.ID)
	got, err := suppose.WhyNot(b.Ctx, b.Studio, v.ID, "envelope-6x8", "")
	b.Must(err)
	// Source: international yard and pound agreement, 1959: 1 in = 25.4 mm; 8 in = 203.2 mm.
	if got.Reason == nil || got.Reason.Rule != "envelope.length" || !strings.Contains(got.Reason.Text, "> 203.2 mm)") {
		t.Errorf("%+v", got.Reason)
	}
}
