package leaving

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/tariff"
)

// Parcel is a parcel that is to leave.
type Parcel struct {
	Size    tariff.Size // outer
	Mass    measure.Mass
	Worth   int64
	Service string // the key of its price card; "" or what is no key = a service typed by hand
	Named   string // the service, as people know it
}

// Ask is what leaves on a day, and how it may.
type Ask struct {
	Day      calendar.Day
	At       string // the hour on that day, "09:40"; "" = the day is still to come
	Ways     []Way
	Parcels  []Parcel
	Wage     int64 // of a minute; 0 = minutes cost nothing
	Currency string
	Units    measure.System
}

// Reason is why a way does not take a parcel.
type Reason struct {
	Way   string `json:"way"`  // its name
	Rule  string `json:"rule"` // see docs/formats/leaving.md
	Text  string `json:"text"`
	Got   int64  `json:"got,omitempty"` // in base units of Unit
	Limit int64  `json:"limit,omitempty"`
	Unit  string `json:"unit,omitempty"` // "nm", "ng", a currency, "parcels"
}

// closed is why a way is not there at all; nil when it is.
func (a Ask) closed(w Way) *Reason {
	if day := weekday(a.Day.Weekday()); len(w.Days) > 0 && !slices.Contains(w.Days, day) {
		return &Reason{Way: w.Name, Rule: "leave.day", Text: w.Name + " is not there on a " + a.Day.Weekday().String()}
	}
	if w.CutOff != "" && a.At > w.CutOff {
		return &Reason{Way: w.Name, Rule: "leave.hour", Text: fmt.Sprintf("%s takes parcels until %s, and it is %s", w.Name, w.CutOff, a.At)}
	}
	return nil
}

// bars is the first reason why a way, when it is there, does not take a parcel; nil when it takes it. A box passes when its sides, the
// longest against the longest, are within those of the opening and its depth: turned by right angles; that it might go in aslant is
// not counted on.
func (a Ask) bars(w Way, p Parcel) *Reason {
	if len(w.Services) > 0 && !slices.Contains(w.Services, p.Service) {
		return &Reason{Way: w.Name, Rule: "leave.service", Text: w.Name + " does not take " + cmp.Or(p.Named, p.Service, "a service that has no name")}
	}
	if w.Heaviest > 0 && p.Mass > w.Heaviest {
		return &Reason{w.Name, "leave.mass", fmt.Sprintf("it weighs %s, and %s takes up to %s", p.Mass.Above(a.Units), w.Name, w.Heaviest.Below(a.Units)), int64(p.Mass), int64(w.Heaviest), "ng"}
	}
	if w.Worth > 0 && p.Worth > w.Worth {
		return &Reason{w.Name, "leave.worth", fmt.Sprintf("it is worth %s, and %s takes up to %s", money.Of(p.Worth, a.Currency), w.Name, money.Of(w.Worth, a.Currency)), p.Worth, w.Worth, a.Currency}
	}
	return a.passes(w, p)
}

// passes is why a parcel does not go through the opening of a way.
func (a Ask) passes(w Way, p Parcel) *Reason {
	if w.Opening == nil {
		return nil
	}
	depth := w.Opening.Depth
	if depth == 0 {
		depth = max(p.Size.Length, p.Size.Width, p.Size.Height)
	}
	has := sorted(p.Size.Length, p.Size.Width, p.Size.Height)
	may := sorted(w.Opening.Length, w.Opening.Width, depth)
	for i, side := range []string{"longest", "middle", "shortest"} {
		if has[i] > may[i] {
			return &Reason{w.Name, "leave.size", fmt.Sprintf("its %s side is %s, and what goes into %s has at most %s there", side, has[i].Above(a.Units), w.Name, may[i].Below(a.Units)), int64(has[i]), int64(may[i]), "nm"}
		}
	}
	return nil
}

// sorted are three sides, the longest first.
func sorted(sides ...measure.Length) []measure.Length {
	slices.SortFunc(sides, func(a, b measure.Length) int { return cmp.Compare(b, a) })
	return sides
}

// takes are the ways that take each parcel by itself, as a set of their places.
func (a Ask) takes() []uint {
	out := make([]uint, len(a.Parcels))
	for i, w := range a.Ways {
		if a.closed(w) != nil {
			continue
		}
		for j, p := range a.Parcels {
			if a.bars(w, p) == nil {
				out[j] |= 1 << i
			}
		}
	}
	return out
}

// why says of every way why a parcel that stays does not go by it, in the order of the ways.
func (a Ask) why(of int, takes []uint) []Reason {
	var out []Reason
	for i, w := range a.Ways {
		switch r := cmp.Or(a.closed(w), a.bars(w, a.Parcels[of])); {
		case r != nil:
			out = append(out, *r)
		default:
			out = append(out, a.number(i, takes))
		}
	}
	return out
}

// number is why a way that takes a parcel does not go for it: too few of the parcels of the day are for it, or too many.
func (a Ask) number(way int, takes []uint) Reason {
	w, wish := a.Ways[way], 0
	for _, t := range takes {
		wish += int(t >> way & 1)
	}
	if w.Least > wish {
		return Reason{w.Name, "leave.least", fmt.Sprintf("%s comes for %s or more, and %d of this day %s for it", w.Name, fault.Count(w.Least, "parcel"), wish, isOrAre(wish)), int64(wish), int64(w.Least), "parcels"}
	}
	if w.Least > 1 && (w.Most == 0 || wish <= w.Most) {
		return Reason{w.Name, "leave.least", fmt.Sprintf("%s comes for %s or more, and others of this day must go another way", w.Name, fault.Count(w.Least, "parcel")), int64(wish), int64(w.Least), "parcels"}
	}
	return Reason{w.Name, "leave.most", fmt.Sprintf("%s takes %s in a day, and others take its room", w.Name, fault.Count(w.Most, "parcel")), int64(wish), int64(w.Most), "parcels"}
}

func isOrAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// mend says how a parcel may leave after all, by the reasons why it stays.
func mend(reasons []Reason) string {
	has := func(rule string) bool {
		return slices.ContainsFunc(reasons, func(r Reason) bool { return r.Rule == rule })
	}
	var ways []string
	if has("leave.least") {
		ways = append(ways, "pack more of them for one trip")
	}
	if has("leave.most") || has("leave.day") || has("leave.hour") {
		ways = append(ways, "let it go on another day")
	}
	if has("leave.size") || has("leave.mass") {
		ways = append(ways, "pack it smaller or in two parcels")
	}
	if has("leave.service") {
		ways = append(ways, "label it with another service")
	}
	return strings.Join(append(ways, "say in the settings by which other way it leaves"), ", or ")
}
