// Package recipes is how prints are protected, in a browser: wraps, layer by layer, with the parcel drawn beside; house rules as
// sentences made of choices; and both as a file. Each exported method of Recipes answers one route of package web.
//
// A draft stands in its form alone: what moves a row or draws it anew keeps nothing. What is saved is held against what stood when
// the page was opened, in the transaction that writes it.
package recipes

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/packing"
	"solander/stockroom"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
	"solander/weighing"
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
	ID, Name, Note string
	Facts          string // "flat, 1 to 6 prints, 15 minutes and 2 for each print"
	Layers         []string
	Weighed        string // what its weighed parcels say; "" = none was weighed
}

// ruleLine is a rule as a sentence, and in her own words where they are others.
type ruleLine struct {
	ID, Text, Sentence string
	At                 int
	First, Last        bool
}

func wrapLineOf(w packing.Wrap, u measure.System, named func(id string) string) wrapLine {
	l := wrapLine{ID: w.ID, Name: cmp.Or(w.Name, w.ID), Note: w.Note, Facts: wrapFacts(w, u)}
	for _, ly := range w.Layers {
		l.Layers = append(l.Layers, layerWords(ly, u, named))
	}
	return l
}

func wrapFacts(w packing.Wrap, u measure.System) string {
	facts := []string{map[packing.Shape]string{packing.Both: "some rolled, the others flat"}[w.Shape]}
	if facts[0] == "" {
		facts[0] = string(w.Shape)
	}
	say := func(is bool, text string, args ...any) {
		if is {
			facts = append(facts, fmt.Sprintf(text, args...))
		}
	}
	say(w.Fewest > 1, "%d prints or more", w.Fewest)
	say(w.Most > 0, "at most %s", page.Many(w.Most, "print"))
	say(w.Core > 0, "rolled no tighter than %s", w.Core.In(u))
	say(w.FlatTo > 0, "flat up to %s", w.FlatTo.In(u))
	say(w.Beside > 0, "up to %d side by side", w.Beside)
	say(w.Between > 0, "%s apart", w.Between.In(u))
	say(w.Mass > 0, "%s besides prints and layers", w.Mass.In(u))
	say(w.Minutes > 0, "%s for a parcel", page.Many(w.Minutes, "minute"))
	say(w.MinutesPerSheet > 0, "%s for each print", page.Many(w.MinutesPerSheet, "minute"))
	return strings.Join(facts, ", ")
}

// layerWords says a layer of a wrap: "2 boards, 1/4 in free at each side".
func layerWords(ly packing.Layer, u measure.System, named func(id string) string) string {
	s := page.Many(max(1, ly.Count), string(ly.Kind))
	switch ly.Per {
	case packing.PerSheet:
		s += " for each print"
	case packing.PerGap:
		s += " between each two prints"
	}
	if ly.Of != "" {
		s += " round the " + string(ly.Of)
	}
	for _, c := range []struct {
		l    measure.Length
		what string
	}{{ly.Clearance.Sides, "at each side"}, {ly.Clearance.Thickness, "in thickness"}, {ly.Clearance.Ends, "at each end"}, {ly.Clearance.Across, "across"}} {
		if c.l != 0 {
			s += ", " + c.l.In(u) + " free " + c.what
		}
	}
	if ly.Empty != nil {
		s += ", at most " + ly.Empty.In(u) + " empty above"
	}
	for i, id := range ly.Items {
		s += map[bool]string{true: ": ", false: " or "}[i == 0] + named(id)
	}
	return s
}

// names tells packaging by its name on the shelf; what is not there by its key.
func names(shelf []studio.ShelfItem) func(id string) string {
	return func(id string) string {
		for _, it := range shelf {
			if it.Spec.ID == id {
				return cmp.Or(it.Spec.Name, id)
			}
		}
		return id
	}
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
	shelf, err := stockroom.Shelf(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	set := page.Settings(r)
	learnt, err := weighing.All(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &ListPage{Frame: fr, Rules: ruleLines(set), Doubts: studio.RuleDoubts(set, -1), Order: orderForm(&set)}
	for i, x := range set.Wraps {
		p.Wraps = append(p.Wraps, wrapLineOf(x, fr.Units, names(shelf)))
		if i < len(learnt) && learnt[i].Bias.Parcels > 0 {
			p.Wraps[i].Weighed = learnt[i].Brief()
		}
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
		return f.ShowAgain(w, r, "order", err, f.List)
	}
	return f.DoneSaying(w, r, "/studio/wraps#rules", "settings")
}
