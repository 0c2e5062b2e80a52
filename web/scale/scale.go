// Package scale is what her own scale says, in a browser: a parcel weighed after its label, what the weighed parcels of each wrap say
// together, what taking that over would change, and that done or left. Each exported method of Scale answers one route of package web.
package scale

import (
	"context"
	"fmt"
	"net/http"
	"strconv"

	"solander/calendar"
	"solander/measure"
	bias "solander/packing/scale"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
	"solander/weighing"
)

// Scale is the handlers of this room.
type Scale struct{ *page.Kit }

// Page lists the wraps with what their parcels say, and of one of them what it would change.
type Page struct {
	page.Frame
	Wraps []weighing.Learnt
	Least int
	Step  string // of the scale
	Trial *weighing.Trial
	Heed  *form.Form
	Day   calendar.Day
}

// Weighed shows what weighed parcels say, and by ?wrap= what one wrap would change.
func (f *Scale) Weighed(w http.ResponseWriter, r *http.Request) error {
	return f.show(w, r, r.URL.Query().Get("wrap"), nil)
}

func (f *Scale) show(w http.ResponseWriter, r *http.Request, wrap string, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "Weighed parcels")
	if err != nil {
		return err
	}
	p := &Page{Frame: fr, Least: bias.Least, Step: stepWords(page.Settings(r))}
	if p.Wraps, err = weighing.All(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	p.Tell(fail)
	if wrap == "" || fail != nil {
		return f.Show(w, r, page.StatusOf(fail), "weighed", p)
	}
	_, later, err := weighing.TryLater(r.Context(), f.Seen(r), wrap)
	if err != nil {
		return err
	}
	return page.Planned(f.Kit, w, r, "What it would change", "studio", func(ctx context.Context) (weighing.Trial, error) { return later(ctx) },
		func(w http.ResponseWriter, r *http.Request, t weighing.Trial) error {
			p.Trial, p.Day, p.Heed = &t, t.Day, heedForm(&weighing.HeedIn{Wrap: t.Wrap, Then: &t.Then}, fr.Units)
			return f.Show(w, r, page.StatusOf(fail), "weighed", p)
		})
}

func stepWords(set studio.Settings) string {
	if set.Margin.Parcel == 0 {
		return "no step of a scale is set"
	}
	return "a step of the scale, " + set.Margin.Parcel.About(set.Units)
}

// Amount says a difference.
func (p *Page) Amount(off measure.Mass) string { return weighing.Amount(off, p.Units) }

// Why says why nothing is to be taken over.
func (p *Page) Why(l weighing.Learnt) string {
	switch {
	case l.Bias.Parcels == 0:
		return ""
	case l.Bias.Parcels < bias.Least:
		return "too few yet"
	case l.Bias.Sure(l.Step):
		return "it cannot weigh less than nothing: look at what its packaging weighs"
	}
	return "as planned"
}

// Line is what the parcels of a wrap say, with the form that takes it over.
type Line struct {
	weighing.Learnt
	Heed *form.Form
}

// Told is what the bench says of wraps; each is said until it is taken over or left.
func Told(ctx context.Context, s *studio.Studio) ([]Line, error) {
	told, err := weighing.Told(ctx, s)
	var out []Line
	for _, l := range told {
		out = append(out, Line{l, heedForm(&weighing.HeedIn{Wrap: l.Wrap, Then: &l.Then}, l.Unit)})
	}
	return out, err
}

// heedForm takes over what the parcels of a wrap say, as she saw it, or leaves it: the button says which.
func heedForm(in *weighing.HeedIn, u measure.System) *form.Form {
	fm := form.New("heed", "/studio/weighed")
	fm.Text("wrap", "", &in.Wrap).As("hidden")
	then := ""
	if in.Then != nil {
		then = in.Then.In(u)
	}
	fm.Bind("then", "", then, func(typed string) error {
		m, err := measure.ParseMass(typed, u)
		in.Then = &m
		return err
	}).As("hidden")
	return fm
}

// Heed takes over what the parcels of a wrap say, or leaves it.
func (f *Scale) Heed(w http.ResponseWriter, r *http.Request) error {
	in := weighing.HeedIn{Leave: r.PostForm.Get("do") == "leave"}
	fm := heedForm(&in, page.Settings(r).Units)
	err := fm.TakeAnd(r.PostForm, func() error {
		_, err := weighing.Heed(r.Context(), f.Studio, in)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error { return f.show(w, r, "", fail) })
	}
	if page.BackToBench(r) != "" {
		return f.Done(w, r, f.BackTo(r, 0))
	}
	return f.Done(w, r, "/studio/weighed")
}

// WeighForm notes what a parcel weighs.
func WeighForm(in *weighing.WeighIn, u measure.System) *form.Form {
	fm := form.New("weigh-"+strconv.FormatInt(in.Parcel, 10), fmt.Sprintf("/parcels/%d/weigh", in.Parcel))
	fm.Mass("mass", "Your scale says", &in.Mass, u).OrEmpty().Must()
	return fm
}

// Weigh notes what a parcel weighs.
func (f *Scale) Weigh(w http.ResponseWriter, r *http.Request, id int64) error {
	in := weighing.WeighIn{Parcel: id}
	fm := WeighForm(&in, page.Settings(r).Units)
	err := fm.TakeAnd(r.PostForm, func() error {
		_, err := weighing.Weigh(r.Context(), f.Studio, in)
		return err
	})
	orderID, _ := strconv.ParseInt(r.PostForm.Get("order"), 10, 64)
	if err != nil {
		return f.Again(w, r, page.Failed(fm, r, err), orderID)
	}
	return f.Done(w, r, f.BackTo(r, orderID))
}
