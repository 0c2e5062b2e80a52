package suppose_test

import (
	"testing"

	"solander/internal/bed"
	"solander/measure"
	"solander/packing"
	"solander/studio"
	"solander/suppose"
)

// What the margin costs: supposed away, a parcel costs what it would cost in a studio without one.
func TestWhatIfThereWereNoMargin(t *testing.T) {
	b := bed.New(t)
	b.SentOff(b.Heron.ID)
	in := bed.Past(func(in *suppose.WhatIfIn) { in.Margin = &packing.Margin{} })
	ask := func() suppose.WhatIf {
		t.Helper()
		out, err := suppose.AskWhatIf(b.Ctx, b.Studio, in, nil)
		b.Must(err)
		return out
	}
	bare := ask()
	if !bare.Saves.IsZero() {
		t.Errorf("without a margin its absence saves %s", bare.Saves)
	}
	// By the invented card ground costs 5.00 to a pound and 15.00 above, so half a pound of margin costs something.
	b.ChangeSettings(func(set *studio.Settings) { set.Margin = packing.Margin{Parcel: measure.Pound / 2} })
	with := ask()
	if with.With != bare.Without || with.Saves.Minor <= 0 || with.Changes[0] != "without any margin" {
		t.Errorf("%+v", with)
	}
	in.Margin.Grammage = 2000
	_, err := suppose.AskWhatIf(b.Ctx, b.Studio, in, nil)
	b.Refused(err, "invalid", "margin.grammage", "possible margin")
}
