package planning

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"solander/bench"
	"solander/dayplan"
	"solander/measure"
	"solander/packing"
	"solander/studio"
	"solander/tariff"
)

// Wording turns what a plan names by keys into what a person reads: wraps, packaging and services.
type Wording struct {
	units measure.System
	wraps []packing.Wrap
	Items map[string]packing.Item
	Cards []dayplan.Card
}

// Wording is how plans are told with the names of what there is.
func (t *Planning) Wording(r dayplan.Means) Wording {
	w := Wording{units: t.Set.Units, wraps: t.Set.Wraps, Items: map[string]packing.Item{}, Cards: r.Cards}
	for _, it := range r.Shelf {
		w.Items[it.ID] = it
	}
	return w
}

// Wrap returns the recipe of a key as it is now; one that is gone has only its key.
func (w Wording) Wrap(id string) packing.Wrap {
	for _, x := range w.wraps {
		if x.ID == id {
			return x
		}
	}
	return packing.Wrap{ID: id}
}

// Item names a piece of packaging.
func (w Wording) Item(id string) string {
	if it := w.Items[id]; it.Name != "" {
		return it.Name
	}
	return id
}

// Service names a service of a card; what is no key of one, such as a service typed by hand, stays.
func (w Wording) Service(cardID, id string) string {
	for _, c := range w.Cards {
		if c.ID == cardID {
			if s := c.Service(id); s != nil {
				return s.Name
			}
		}
	}
	return id
}

// ServiceNames names the service of each parcel as its price card does, by the id of the parcel; a service
// typed by hand keeps its words.
func ServiceNames(ctx context.Context, s *studio.Studio, parcels []studio.Parcel) (map[int64]string, error) {
	names := map[int64]string{}
	err := read(ctx, s, func(t *Planning) error {
		cards, err := s.AllCards(t.Turn)
		if err != nil {
			return err
		}
		w := Wording{Cards: cards}
		for _, p := range parcels {
			names[p.ID] = w.Service(p.Plan.Card, p.Service)
		}
		return nil
	})
	return names, err
}

// layers says the packaging from the inside out: "2 × board 12 × 16 in".
func (w Wording) layers(p packing.Parcel) []string {
	var merged []packing.LayerPlan
	for _, l := range p.Layers {
		i := slices.IndexFunc(merged, func(m packing.LayerPlan) bool {
			return m.Layer == l.Layer && m.Item == l.Item && m.CutTo == l.CutTo && m.CutLength == l.CutLength && m.CutWidth == l.CutWidth
		})
		if i < 0 {
			merged = append(merged, l)
			continue
		}
		merged[i].Count += l.Count
	}
	var out []string
	if p.Mat != nil {
		out = append(out, p.Mat.Words())
	}
	for _, l := range merged {
		text := w.Item(l.Item)
		if l.Count > 1 {
			text = fmt.Sprintf("%d × %s", l.Count, text)
		}
		if l.CutTo > 0 {
			text += ", cut down to " + l.CutTo.About(w.units) + " inside"
		}
		if l.CutLength > 0 {
			text += ", length cut down to " + l.CutLength.About(w.units)
		}
		if l.CutWidth > 0 {
			text += ", width cut down to " + l.CutWidth.About(w.units)
		}
		out = append(out, text)
	}
	return out
}

// WrapName says how a parcel is wrapped.
func (w Wording) WrapName(p packing.Parcel) string {
	if n := w.Wrap(p.Wrap).Name; n != "" {
		return n
	}
	return p.Wrap
}

// Parcel says in one line what a packed parcel is: wrap, outermost packaging, weight.
func (w Wording) Parcel(p studio.Parcel) string {
	text := w.WrapName(p.Plan)
	if n := len(p.Plan.Layers); n > 0 {
		text += ", " + w.Item(p.Plan.Layers[n-1].Item)
	}
	return text + ", " + p.Mass().About(w.units)
}

// Planned is a planned parcel for the bench list.
func (w Wording) Planned(p packing.Parcel, prints []bench.Print) bench.PlannedParcel {
	out := bench.PlannedParcel{Wrap: w.WrapName(p), Layers: w.layers(p), Mass: p.Mass, Service: w.Service(p.Card, p.Service)}
	out.Leaves = LeavesOf(p, p.Service, out.Service)
	out.Build = buildOf(p, prints)
	out.Outline = bench.Outline{Wrap: out.Wrap, Long: p.Size.Length, Short: p.Size.Width, Round: p.Form == tariff.Cylinder}
	if p.Roll != nil {
		out.Outline.Prints = []bench.Oblong{{Long: p.Roll.Axis, Short: p.Roll.Outer}}
	}
	for _, c := range p.Contents {
		for _, pr := range prints {
			if studio.SheetID(pr.Line.ID) == c.Sheet {
				out.Prints = append(out.Prints, pr.Label+" "+pr.Title)
				if p.Roll == nil {
					out.Outline.Prints = append(out.Outline.Prints, pr.Sides)
				}
			}
		}
	}
	slices.SortFunc(out.Outline.Prints, func(a, b bench.Oblong) int { return cmp.Or(cmp.Compare(b.Long, a.Long), cmp.Compare(b.Short, a.Short)) })
	return out
}

// IssuedFor lists the classes of service that pieces of a parcel were issued for.
func (w Wording) IssuedFor(p packing.Parcel) []string {
	var out []string
	for key := range dayplan.Uses(p) {
		if class := w.Items[key].IssuedFor; class != "" {
			out = append(out, class)
		}
	}
	return out
}
