// Package ways shows the ways to send an order beside its plan, or what is not sold yet beside its quote: three choices, the front behind
// them, drawn and as a table; and takes one of them, and takes it back.
package ways

import (
	"fmt"
	"slices"
	"strconv"

	"solander/choosing"
	"solander/fault"
	"solander/web/form"
	"solander/web/page"
)

// Ways is the room.
type Ways struct{ *page.Kit }

// View is the ways as a page shows them.
type View struct {
	Three   []Row // the cheapest, a day sooner, better protected; those that there are
	All     []Row // every way that no other beats, the cheapest first
	Plot    *Plot
	Stopped bool
	Several bool // orders that go together
}

// Row is one way.
type Row struct {
	choosing.Way
	N     int    // its place, from 1
	Name  string // of one of the three
	Taken bool   // it is how the order is planned now
	Take  *form.Form
}

// Named are the three choices in words.
const (
	cheapest = "The cheapest"
	sooner   = "A day or more sooner"
	safer    = "Better protected"
)

// Of is the view of some choices; nil when there is nothing to choose. order is the mark of the order they are for; "" = none, nothing can
// be taken.
func Of(c choosing.Choices, order string) *View {
	if len(c.Ways) == 0 {
		if c.Stopped {
			return &View{Stopped: true}
		}
		return nil
	}
	v := &View{Stopped: c.Stopped, Several: len(c.Orders) > 1, Plot: plotOf(c)}
	for i, w := range c.Ways {
		r := Row{Way: w, N: i + 1, Taken: order != "" && (i == c.Taken || c.Taken < 0 && i == 0)}
		switch {
		case order == "" || r.Taken:
		case i == 0:
			r.Take = form.New("way-back", "/orders/"+order+"/way/back")
		default:
			r.Take = takeForm(order, i, w)
		}
		v.All = append(v.All, r)
	}
	for _, x := range []struct {
		at   int
		name string
	}{{0, cheapest}, {c.Sooner, sooner}, {c.Safer, safer}} {
		if x.at >= 0 {
			r := v.All[x.at]
			r.Name = x.name
			v.Three = append(v.Three, r)
		}
	}
	return v
}

// takeForm is one button: what the way asks stands in it, and what it costs.
func takeForm(order string, at int, w choosing.Way) *form.Form {
	return wayForm(fmt.Sprintf("way-%d", at+1), order, &choosing.TakeIn{Demand: w.Demand, Total: &w.Cost.Minor})
}

func wayForm(name, order string, in *choosing.TakeIn) *form.Form {
	fm := form.New(name, "/orders/"+order+"/way")
	fm.Day("by", "", &in.Demand.ArriveBy).As("hidden")
	form.Select(fm, "packaging", "", &in.Demand.Packaging).As("hidden")
	form.Select(fm, "care", "", &in.Demand.Care).As("hidden")
	total := ""
	if in.Total != nil {
		total = strconv.FormatInt(*in.Total, 10)
	}
	fm.Bind("total", "", total, func(typed string) error {
		n, err := strconv.ParseInt(typed, 10, 64)
		if err != nil {
			return fault.Invalidf("total", "%.20q is no sum that a way was shown with", typed).ToMend("look at the ways again")
		}
		in.Total = &n
		return nil
	}).As("hidden")
	return fm
}

// Takes reports whether one of the ways can be taken.
func (v *View) Takes() bool {
	return slices.ContainsFunc(v.All, func(r Row) bool { return r.Take != nil })
}

// Arrival says when a way arrives, and how that differs from the cheapest.
func (r Row) Arrival() string {
	if r.Arrives.IsZero() {
		return "not stated"
	}
	if d := r.Days(); d != "" {
		return r.Arrives.Short() + ", " + d
	}
	return r.Arrives.Short()
}
