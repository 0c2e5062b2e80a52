package house

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"slices"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/house"
	"solander/internal/strict"
	"solander/measure"
	"solander/packing"
	"solander/papers"
	"solander/stockroom"
	"solander/studio"
	"solander/suppose"
	"solander/web/form"
	"solander/web/page"
)

// WhatIfPage asks what would change, and shows the answer.
type WhatIfPage struct {
	page.Frame
	Form   *form.Form
	Answer *suppose.WhatIf // nil until something was asked
	Plot   *papers.Plot
	Months bool // the plot is by month, not by sending
}

func (f *House) WhatIf(w http.ResponseWriter, r *http.Request) error {
	return f.showWhatIf(w, r, nil, nil)
}

// firstWhatIf is what is asked until something else is typed.
func firstWhatIf(today calendar.Day) suppose.WhatIfIn {
	return suppose.WhatIfIn{Format: suppose.WhatIfFormat, Past: true, From: today.Add(-365), To: today}
}

// whatIfForm asks for the period and the change. Field names are those of the faults.
func (f *House) whatIfForm(r *http.Request, in *suppose.WhatIfIn) (*form.Form, error) {
	set := page.Settings(r)
	items, err := stockroom.Shelf(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	cards, err := house.Cards(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	fm := form.New("whatif", "/studio/what-if")
	fm.Tick("past", "Parcels handed over", &in.Past)
	fm.Day("from", "From", &in.From)
	fm.Day("to", "To", &in.To)
	fm.Tick("open", "Open orders, too", &in.Open)
	askBought(fm, in, items, set)
	rules := []form.Choice{form.Pick("", "none is left out")}
	for _, x := range set.Rules {
		rules = append(rules, form.Pick(x.ID, cmp.Or(x.Text, x.ID)))
	}
	fm.Words("drop", "Without the house rule", &in.Drop, "").Of(rules...).Half()
	named := []form.Choice{form.Pick("", "the cards of the day")}
	for _, c := range cards {
		named = append(named, form.Pick(c.ID, c.ID))
	}
	fm.Words("named", "By the price card", &in.Named, "").Of(named...).Half()
	askStrict(fm, "rules", "Or with this house rule", &in.Rules).WithHint("as JSON, like one of those under Wraps and house rules; it takes the place of the one of its id")
	askStrict(fm, "cards", "Or by this price card", &in.Cards).WithHint("a card as JSON (docs/formats/tariff.md), such as next year's before it is loaded; it takes the place of the cards of its series")
	return fm, nil
}

// askStrict asks for one thing as JSON.
func askStrict[T any](fm *form.Form, name, label string, v *[]T) *form.Field {
	return fm.Bind(name, label, "", func(typed string) error {
		if *v = nil; typed == "" {
			return nil
		}
		*v = make([]T, 1)
		return strict.Decode([]byte(typed), &(*v)[0])
	}).As("lines").Wide()
}

// askBought asks for packaging like an item of the shelf, at another price and perhaps of another size.
func askBought(fm *form.Form, in *suppose.WhatIfIn, items []studio.ShelfItem, set studio.Settings) {
	like := []form.Choice{form.Pick("", "nothing is bought")}
	for _, it := range items {
		if !it.Retired {
			like = append(like, form.Pick(it.Spec.ID, it.Spec.Name))
		}
	}
	fm.Text("like", "Packaging like", &in.Like).Of(like...).Half()
	place := func() int {
		return slices.IndexFunc(items, func(it studio.ShelfItem) bool { return it.Spec.ID == in.Like })
	}
	fm.Then(func(l *fault.List) {
		if in.Like != "" && place() < 0 {
			l.Add(fault.Invalidf("like", "%.60q is not on the shelf", in.Like).ToMend("choose one of the list"))
		}
	})
	fm.When(func() bool { return in.Like != "" && place() >= 0 }, func() {
		var as packing.Item
		fm.Minor("item.cost", "At this price a piece", &as.Cost, set.Currency).OrEmpty()
		fm.Length("item.width", "Another width", &as.Width, set.Units).WithHint("empty: the same")
		fm.Length("item.height", "Another height", &as.Height, set.Units).WithHint("empty: the same")
		fm.Mass("item.mass", "Another weight", &as.Mass, set.Units).WithHint("empty: the same")
		fm.Then(func(l *fault.List) {
			l.Check(fm.Typed("item.cost"), "item.cost", "it is missing", "say what one piece would cost")
			in.Item = bought(items[place()].Spec, as, set.Units)
		})
	})
}

// bought is an item as another one, at its price and of what of its sizes and mass is given.
func bought(it, as packing.Item, u measure.System) *packing.Item {
	it.ID, it.Name, it.Note, it.Stock, it.Cost = "what-if", "new, like "+it.Name, "", nil, as.Cost
	it.Width, it.Height, it.Mass = cmp.Or(max(0, as.Width), it.Width), cmp.Or(max(0, as.Height), it.Height), cmp.Or(max(0, as.Mass), it.Mass)
	if as.Width > 0 || as.Height > 0 {
		it.Outer, it.Name = nil, "new, "+page.ItemSize(it, u)
	}
	return &it
}

func (f *House) showWhatIf(w http.ResponseWriter, r *http.Request, fail *page.Failure, answer *suppose.WhatIf) error {
	fr, err := f.Frame(r, "studio", "What if")
	if err != nil {
		return err
	}
	p := &WhatIfPage{Frame: fr, Answer: answer}
	in := firstWhatIf(fr.Today)
	if p.Form, err = f.whatIfForm(r, &in); err != nil {
		return err
	}
	p.Put(p.Form, fail)
	if answer != nil {
		p.Plot, p.Months = answer.Plot()
	}
	return f.Show(w, r, page.StatusOf(fail), "whatif", p)
}

// AskWhatIf starts the reckoning and leads to its page.
func (f *House) AskWhatIf(w http.ResponseWriter, r *http.Request) error {
	in := suppose.WhatIfIn{Format: suppose.WhatIfFormat}
	fm, err := f.whatIfForm(r, &in)
	if err != nil {
		return err
	}
	err = fm.TakeAnd(r.PostForm, func() error { return in.Validate() })
	if err != nil {
		return f.showWhatIf(w, r, page.Failed(fm, r, err), nil)
	}
	typed := r.PostForm
	x := &page.Reckoning{Title: "What if", Room: "studio"}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		found, ok := result.(suppose.WhatIf)
		if !ok {
			return fmt.Errorf("web: %T is no answer to what if", result)
		}
		return f.showWhatIf(w, r, &page.Failure{Form: fm.Name, Typed: typed}, &found)
	}
	f.Reckon(r, x, func(ctx context.Context, tell dayplan.Tell) (any, error) {
		return suppose.AskWhatIf(ctx, f.Studio, in, tell)
	})
	if _, wrong := x.Outcome(); wrong != nil && !page.Ours(wrong) {
		return f.showWhatIf(w, r, page.Failed(fm, r, wrong), nil)
	}
	http.Redirect(w, r, x.Path(), http.StatusSeeOther)
	return nil
}
