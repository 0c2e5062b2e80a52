package house

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"slices"

	"solander/dayplan"
	"solander/fault"
	"solander/house"
	"solander/internal/strict"
	"solander/packing"
	"solander/papers"
	"solander/planning"
	"solander/stockroom"
	"solander/studio"
	"solander/tariff"
	"solander/web/form"
	"solander/web/page"
)

// WhatIfPage asks what would change, and shows the answer.
type WhatIfPage struct {
	page.Frame
	Form   *form.Form
	Answer *planning.WhatIf // nil until something was asked
	Plot   *papers.Plot
	Months bool // the plot is by month, not by sending
}

func (f *House) WhatIf(w http.ResponseWriter, r *http.Request) error {
	return f.showWhatIf(w, r, nil, nil)
}

// whatIfForm asks for the period and the change. Field names are those of the faults.
func (f *House) whatIfForm(r *http.Request, fr page.Frame) (*form.Form, studio.Settings, []studio.ShelfItem, error) {
	set := page.Settings(r)
	items, err := stockroom.Shelf(r.Context(), f.Studio)
	if err != nil {
		return nil, set, nil, err
	}
	cards, err := house.Cards(r.Context(), f.Studio)
	if err != nil {
		return nil, set, nil, err
	}
	fm := form.New("whatif", "/studio/what-if")
	fm.Ask("past", "Parcels handed over").As("check").Is("1")
	fm.Ask("from", "From").Day(fr.Today.Add(-365))
	fm.Ask("to", "To").Day(fr.Today)
	fm.Ask("open", "Open orders, too").As("check")
	like := []form.Choice{form.Pick("", "nothing is bought")}
	for _, it := range items {
		if !it.Retired {
			like = append(like, form.Pick(it.Spec.ID, it.Spec.Name))
		}
	}
	fm.Ask("like", "Packaging like").Of(like...).Half()
	fm.Ask("item.cost", "At this price a piece").WithMode("decimal")
	fm.Ask("item.width", "Another width").WithHint("empty: the same")
	fm.Ask("item.height", "Another height").WithHint("empty: the same")
	fm.Ask("item.mass", "Another weight").WithHint("empty: the same")
	rules := []form.Choice{form.Pick("", "none is left out")}
	for _, x := range set.Rules {
		rules = append(rules, form.Pick(x.ID, cmp.Or(x.Text, x.ID)))
	}
	fm.Ask("drop", "Without the house rule").Of(rules...).Half()
	named := []form.Choice{form.Pick("", "the cards of the day")}
	for _, c := range cards {
		named = append(named, form.Pick(c.ID, c.ID))
	}
	fm.Ask("named", "By the price card").Of(named...).Half()
	fm.Ask("rules", "Or with this house rule").As("lines").Wide().WithHint("as JSON, like one of those under Wraps and house rules; it takes the place of the one of its id")
	fm.Ask("cards", "Or by this price card").As("lines").Wide().WithHint("a card as JSON (docs/formats/tariff.md), such as next year's before it is loaded; it takes the place of the cards of its series")
	return fm, set, items, nil
}

func (f *House) showWhatIf(w http.ResponseWriter, r *http.Request, fail *page.Failure, answer *planning.WhatIf) error {
	fr, err := f.Frame(r, "studio", "What if")
	if err != nil {
		return err
	}
	p := &WhatIfPage{Frame: fr, Answer: answer}
	if p.Form, _, _, err = f.whatIfForm(r, fr); err != nil {
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
	fr, err := f.Frame(r, "studio", "What if")
	if err != nil {
		return err
	}
	fm, set, items, err := f.whatIfForm(r, fr)
	if err != nil {
		return err
	}
	fm.Read(r.PostForm)
	in, err := readWhatIf(fm, fr, set, items)
	if err == nil {
		err = in.Validate()
	}
	if err != nil {
		return f.showWhatIf(w, r, page.Failed(fm, r, err), nil)
	}
	typed := r.PostForm
	x := &page.Reckoning{Title: "What if", Room: "studio"}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		found, ok := result.(planning.WhatIf)
		if !ok {
			return fmt.Errorf("web: %T is no answer to what if", result)
		}
		return f.showWhatIf(w, r, &page.Failure{Form: fm.Name, Typed: typed}, &found)
	}
	f.Reckon(r, x, func(ctx context.Context, tell dayplan.Tell) (any, error) {
		return planning.AskWhatIf(ctx, f.Studio, in, tell)
	})
	if _, wrong := x.Outcome(); wrong != nil && !page.Ours(wrong) {
		return f.showWhatIf(w, r, page.Failed(fm, r, wrong), nil)
	}
	http.Redirect(w, r, x.Path(), http.StatusSeeOther)
	return nil
}

func readWhatIf(fm *form.Form, fr page.Frame, set studio.Settings, items []studio.ShelfItem) (planning.WhatIfIn, error) {
	rd := fm.Reader()
	in := planning.WhatIfIn{Format: planning.WhatIfFormat, Past: rd.Ticked("past"), Open: rd.Ticked("open"), From: rd.Day("from"), To: rd.Day("to")}
	if key := rd.Text("like"); key != "" {
		in.Item, in.Like = readBought(rd, fr, set, items, key), key
	}
	if id := rd.Text("drop"); id != "" {
		in.Drop = []string{id}
	}
	if text := rd.Text("rules"); text != "" {
		var rule packing.Rule
		rd.In("rules", strict.Decode([]byte(text), &rule))
		in.Rules = []packing.Rule{rule}
	}
	if id := rd.Text("named"); id != "" {
		in.Named = []string{id}
	}
	if text := rd.Text("cards"); text != "" {
		var card tariff.Card
		rd.In("cards", strict.Decode([]byte(text), &card))
		in.Cards = []tariff.Card{card}
	}
	return in, rd.Err()
}

// readBought is packaging like an item of the shelf, at another price and perhaps of another size.
func readBought(rd *form.Reader, fr page.Frame, set studio.Settings, items []studio.ShelfItem, key string) *packing.Item {
	i := slices.IndexFunc(items, func(it studio.ShelfItem) bool { return it.Spec.ID == key })
	if i < 0 {
		rd.Add(fault.Invalidf("like", "%.60q is not on the shelf", key).ToMend("choose one of the list"))
		return nil
	}
	it := items[i].Spec
	was := it.Name
	if rd.Text("item.cost") == "" {
		rd.Add(fault.Invalidf("item.cost", "it is missing").ToMend("say what one piece would cost"))
	}
	it.ID, it.Name, it.Note, it.Stock, it.Cost = "what-if", "new, like "+was, "", nil, rd.Amount("item.cost", set.Currency).Minor
	width, height := rd.Length("item.width", fr.Units), rd.Length("item.height", fr.Units)
	if width > 0 {
		it.Width, it.Outer = width, nil
	}
	if height > 0 {
		it.Height, it.Outer = height, nil
	}
	if m := rd.Mass("item.mass", fr.Units); m > 0 {
		it.Mass = m
	}
	if width > 0 || height > 0 {
		it.Name = "new, " + page.ItemSize(it, fr.Units)
	}
	return &it
}
