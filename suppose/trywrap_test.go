package suppose_test

import (
	"testing"

	"solander/fault"
	"solander/internal/bed"
	"solander/packing"
	"solander/suppose"
)

// A wrap is tried on her own prints as if the shelf were full, and nothing of it is kept.
func TestTryWrap(t *testing.T) {
	b := bed.New(t)
	set, err := b.Settings(b.Ctx)
	b.Must(err)
	wrap := set.Wraps[0]
	wrap.ID, wrap.Layers = "other", wrap.Layers[:2]
	got, err := suppose.TryWrap(b.Ctx, b.Studio, suppose.WrapIn{Wrap: wrap, Edition: b.Reeds.ID})
	b.Must(err)
	if got.Held != "" || len(got.Plan.Parcels) != 1 || got.Plan.Parcels[0].Wrap != "other" || len(got.Plan.Parcels[0].Layers) != 2 || got.Prints != 1 || got.Cost.Minor <= 0 {
		t.Errorf("%+v", got.Plan)
	}
	sheet := got.Problem.Orders[0].Sheets[0]
	if sheet.Width != b.Reeds.Width || sheet.Height != b.Reeds.Height {
		t.Errorf("it was tried on %s × %s", sheet.Width, sheet.Height)
	}
	wrap.Fewest, wrap.Most = 3, 0
	if got, err = suppose.TryWrap(b.Ctx, b.Studio, suppose.WrapIn{Wrap: wrap}); err != nil || got.Prints != 3 {
		t.Errorf("%d prints, %v", got.Prints, err)
	}
	wrap.Layers = append(wrap.Layers, packing.Layer{Kind: packing.Tube})
	_, err = suppose.TryWrap(b.Ctx, b.Studio, suppose.WrapIn{Wrap: wrap})
	b.Refused(err, fault.Invalid, "layers[2].kind", "does not stand here")
	after, err := b.Settings(b.Ctx)
	b.Must(err)
	if len(after.Wraps) != len(set.Wraps) {
		t.Error("the wrap was kept")
	}
	wrap.Layers = []packing.Layer{{Kind: packing.Carton, Items: []string{}}}
	for _, it := range b.Shelf() {
		if it.Spec.Kind == packing.Carton {
			wrap.Layers[0].Items = []string{it.Spec.ID}
		}
	}
	wrap.Fewest, wrap.Layers[0].Clearance.Sides = 1, 60_000_000_000_000/1000 // no carton has so much room
	if got, err = suppose.TryWrap(b.Ctx, b.Studio, suppose.WrapIn{Wrap: wrap}); err != nil || got.Held == "" {
		t.Errorf("it goes all the same: %+v, %v", got.Plan, err)
	}
}
