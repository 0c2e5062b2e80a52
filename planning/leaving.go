package planning

import (
	"encoding/json"
	"slices"
	"strings"

	"solander/bench"
	"solander/calendar"
	"solander/leaving"
	"solander/measure"
	"solander/packing"
	"solander/studio"
)

// Leaving is what is asked of the ways by which parcels leave on the day of their hand-over, without the parcels. Of today the hour counts.
func (t *Planning) Leaving(day calendar.Day) leaving.Ask {
	a := leaving.Ask{Day: t.HandOverDay(day), Ways: t.Set.Leaving, Wage: t.Set.MinuteWage, Currency: t.Set.Currency, Units: t.Set.Units}
	if a.Day == t.Today {
		a.At = t.Now.In(t.Set.Place()).Format("15:04")
	}
	return a
}

// LeavesOf is a parcel as a way of leaving sees it, by the service that it goes by.
func LeavesOf(p packing.Parcel, service, named string) leaving.Parcel {
	return leaving.Parcel{Size: p.Size, Mass: p.Mass, Worth: p.Value, Service: service, Named: named}
}

// build is all that stands on a wrap sheet of how a parcel is built, with sizes of prints for the prints themselves.
type build struct {
	Wrap     string
	Shape    packing.Shape
	Size     packing.Size
	Mass     measure.Mass
	Contents []string
	Roll     *packing.RollPlan
	Mat      []string
	Layers   []string
}

// buildOf is the same text of two parcels just when they are built alike: the same wrap of the same pieces, cut alike, round prints of the same
// sizes in the same layout, as heavy. It is "" when a print is not among those known.
func buildOf(p packing.Parcel, prints []bench.Print) string {
	size := map[string]bench.Oblong{}
	for _, pr := range prints {
		size[studio.SheetID(pr.Line.ID)] = pr.Sides
	}
	b := build{Wrap: p.Wrap, Shape: p.Shape, Size: p.Size, Mass: p.Mass, Roll: p.Roll}
	for _, c := range p.Contents {
		if _, known := size[c.Sheet]; !known {
			return ""
		}
		for range c.Copies {
			b.Contents = append(b.Contents, told(size[c.Sheet]))
		}
	}
	for _, l := range p.Layers {
		of := ""
		if l.Sheet != "" {
			of = told(size[l.Sheet])
		}
		b.Layers = append(b.Layers, told(l.Layer, l.Item, l.Count, l.CutTo, l.CutLength, l.CutWidth, of))
	}
	if p.Mat != nil {
		b.Mat = append(b.Mat, told(p.Mat.Width, p.Mat.Height))
		for i, tier := range p.Mat.Tiers {
			for _, s := range tier.Spots {
				b.Mat = append(b.Mat, told(i, tier.Thickness, size[s.Sheet], s.X, s.Y, s.Width, s.Height))
			}
		}
	}
	slices.Sort(b.Contents)
	slices.Sort(b.Layers)
	slices.Sort(b.Mat)
	return told(b)
}

// told writes values in one line; they are all of kinds that can be written.
func told(values ...any) string {
	var b strings.Builder
	if err := json.NewEncoder(&b).Encode(values); err != nil {
		return ""
	}
	return b.String()
}
