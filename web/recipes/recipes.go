// Package recipes is how prints are protected, in a browser: wraps, layer by layer, with the parcel drawn beside; house rules as
// sentences made of choices; and both as a file. Each exported method of Recipes answers one route of package web.
//
// A draft stands in its form alone: what moves a row or draws it anew keeps nothing. What is saved is held against what stood when
// the page was opened, in the transaction that writes it.
package recipes

import (
	"cmp"
	"net/http"
	"slices"

	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/packing"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Recipes is the handlers of this room.
type Recipes struct {
	*page.Kit
}

// ListPage lists wraps and house rules in words.
type ListPage struct {
	page.Frame
	Wraps  []wrapLine
	Rules  []ruleLine
	Doubts []string   // of rules that some prints cannot keep both
	Order  *form.Form // says which order of the rules she saw
	File   *form.Form
}

// wrapLine is a wrap in words.
type wrapLine struct {
	ID, Name, Note, Shape string
	Layers                []string
}

// ruleLine is a rule as a sentence, and in her own words where they are others.
type ruleLine struct {
	ID, Text, Sentence string
	At                 int
	First, Last        bool
}

func wrapLineOf(w packing.Wrap, u measure.System) wrapLine {
	l := wrapLine{ID: w.ID, Name: cmp.Or(w.Name, w.ID), Note: w.Note, Shape: string(w.Shape)}
	for _, ly := range w.Layers {
		l.Layers = append(l.Layers, layerWords(ly, u))
	}
	return l
}

// layerWords says a layer of a wrap: "2 boards, 1/4 in free at each side".
func layerWords(ly packing.Layer, u measure.System) string {
	s := page.Many(max(1, ly.Count), string(ly.Kind))
	switch ly.Per {
	case packing.PerSheet:
		s += " for each print"
	case packing.PerGap:
		s += " between each two prints"
	}
	for _, c := range []struct {
		l    measure.Length
		what string
	}{{ly.Clearance.Sides, "at each side"}, {ly.Clearance.Thickness, "in thickness"}, {ly.Clearance.Ends, "at each end"}, {ly.Clearance.Across, "across"}} {
		if c.l != 0 {
			s += ", " + c.l.In(u) + " free " + c.what
		}
	}
	return s
}

func ruleLines(set studio.Settings) []ruleLine {
	var out []ruleLine
	for i, r := range set.Rules {
		l := ruleLine{ID: r.ID, Sentence: form.Upper(set.RuleWords().Sentence(r)) + ".", At: i, First: i == 0, Last: i == len(set.Rules)-1}
		if text := form.Upper(r.Text) + "."; r.Text != "" && text != l.Sentence {
			l.Text = text
		}
		out = append(out, l)
	}
	return out
}

// orderForm seals the order of the rules.
func orderForm(set *studio.Settings) *form.Form {
	fm := form.New("order", "/studio/rules/order")
	for _, r := range set.Rules {
		fm.Ask("rule", "").As("hidden").Is(r.ID)
	}
	return fm.Sealed()
}

// List shows the wraps and the house rules.
func (f *Recipes) List(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "studio", "Wraps and house rules")
	if err != nil {
		return err
	}
	set := page.Settings(r)
	p := &ListPage{Frame: fr, Rules: ruleLines(set), Doubts: studio.RuleDoubts(set, -1), Order: orderForm(&set)}
	for _, x := range set.Wraps {
		p.Wraps = append(p.Wraps, wrapLineOf(x, fr.Units))
	}
	p.Tell(fail)
	p.File = p.Put(fileForm(&set), fail)
	p.File.Find("stood").Value = fileForm(&set).Find("stood").Value // she sees what stands now
	return f.Show(w, r, page.StatusOf(fail), "wraps", p)
}

// OrderRules moves a house rule up or down: reasons are told in the order of the rules.
func (f *Recipes) OrderRules(w http.ResponseWriter, r *http.Request) error {
	d, ok := form.DeedOf(r.PostForm.Get("do"))
	if !ok || d.List != "rules" {
		return fault.New(fault.Invalid, "the form does not say which rule to move").ToMend("open the page anew")
	}
	err := house.ChangeSettings(r.Context(), f.Studio, func(set *studio.Settings) error {
		to := d.At + map[string]int{"up": -1, "down": 1}[d.Do]
		if orderForm(set).Find("stood").Value != r.PostForm.Get("stood") || min(d.At, to) < 0 || max(d.At, to) >= len(set.Rules) {
			return fault.New(fault.Taken, "the rules were changed in another window since the page was opened").ToMend("look at them as they stand now")
		}
		set.Rules = slices.Clone(set.Rules)
		set.Rules[d.At], set.Rules[to] = set.Rules[to], set.Rules[d.At]
		return nil
	})
	if err != nil {
		return page.ShowAgain(w, r, "order", err, f.List)
	}
	return f.DoneSaying(w, r, "/studio/wraps#rules", "settings")
}
