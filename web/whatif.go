package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"

	"solander/fault"
	"solander/internal/strict"
	"solander/packing"
	"solander/papers"
	"solander/studio"
	"solander/tariff"
)

// whatIfPage asks what would change, and shows the answer.
type whatIfPage struct {
	frame
	Form   *form
	Answer *studio.WhatIf // nil until something was asked
	Plot   *papers.Plot
	Months bool // the plot is by month, not by sending
}

func (f *face) whatIf(w http.ResponseWriter, r *http.Request) error {
	return f.showWhatIf(w, r, nil, nil)
}

// whatIfForm asks for the period and the change. Field names are those of the faults.
func (f *face) whatIfForm(r *http.Request, fr frame) (*form, studio.Settings, []studio.ShelfItem, error) {
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return nil, set, nil, err
	}
	items, err := f.studio.Shelf(r.Context())
	if err != nil {
		return nil, set, nil, err
	}
	cards, err := f.studio.Cards(r.Context())
	if err != nil {
		return nil, set, nil, err
	}
	fm := newForm("whatif", "/studio/what-if")
	fm.ask("past", "Parcels handed over").as("check").is("1")
	fm.ask("from", "From").day(fr.Today.Add(-365))
	fm.ask("to", "To").day(fr.Today)
	fm.ask("open", "Open orders, too").as("check")
	like := []choice{{"", "nothing is bought"}}
	for _, it := range items {
		if !it.Retired {
			like = append(like, choice{it.Spec.ID, it.Spec.Name})
		}
	}
	fm.ask("like", "Packaging like").of(like...).half()
	fm.ask("item.cost", "At this price a piece").mode("decimal")
	fm.ask("item.width", "Another width").hint("empty: the same")
	fm.ask("item.height", "Another height").hint("empty: the same")
	fm.ask("item.mass", "Another weight").hint("empty: the same")
	rules := []choice{{"", "none is left out"}}
	for _, x := range set.Rules {
		rules = append(rules, choice{x.ID, firstOf(x.Text, x.ID)})
	}
	fm.ask("drop", "Without the house rule").of(rules...).half()
	named := []choice{{"", "the cards of the day"}}
	for _, c := range cards {
		named = append(named, choice{c.ID, c.ID})
	}
	fm.ask("named", "By the price card").of(named...).half()
	fm.ask("rules", "Or with this house rule").as("lines").wide().hint("as JSON, like one of those under Wraps and house rules; it takes the place of the one of its id")
	fm.ask("cards", "Or by this price card").as("lines").wide().hint("a card as JSON (docs/formats/tariff.md), such as next year's before it is loaded; it takes the place of the cards of its series")
	return fm, set, items, nil
}

func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}

func (f *face) showWhatIf(w http.ResponseWriter, r *http.Request, fail *failure, answer *studio.WhatIf) error {
	fr, err := f.frame(r, "studio", "What if")
	if err != nil {
		return err
	}
	p := &whatIfPage{frame: fr, Answer: answer}
	if p.Form, _, _, err = f.whatIfForm(r, fr); err != nil {
		return err
	}
	p.put(p.Form, fail)
	if answer != nil {
		p.Plot, p.Months = answer.Plot()
	}
	return f.show(w, r, statusOf(fail), "whatif", p)
}

// askWhatIf starts the reckoning and leads to its page.
func (f *face) askWhatIf(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.frame(r, "studio", "What if")
	if err != nil {
		return err
	}
	fm, set, items, err := f.whatIfForm(r, fr)
	if err != nil {
		return err
	}
	fm.read(r.PostForm)
	in, err := readWhatIf(fm, fr, set, items)
	if err == nil {
		err = in.Validate()
	}
	if err != nil {
		return f.showWhatIf(w, r, failed(fm, r, err), nil)
	}
	typed := r.PostForm
	x := &reckoning{title: "What if", room: "studio"}
	x.show = func(w http.ResponseWriter, r *http.Request, result any) error {
		found, ok := result.(studio.WhatIf)
		if !ok {
			return fmt.Errorf("web: %T is no answer to what if", result)
		}
		return f.showWhatIf(w, r, &failure{form: fm.Name, typed: typed}, &found)
	}
	f.reckon(r, x, func(ctx context.Context, tell studio.Tell) (any, error) { return f.studio.WhatIf(ctx, in, tell) })
	if _, wrong := x.outcome(); wrong != nil && !ours(wrong) {
		return f.showWhatIf(w, r, failed(fm, r, wrong), nil)
	}
	http.Redirect(w, r, x.path(), http.StatusSeeOther)
	return nil
}

func readWhatIf(fm *form, fr frame, set studio.Settings, items []studio.ShelfItem) (studio.WhatIfIn, error) {
	rd := fm.reader()
	in := studio.WhatIfIn{Format: studio.WhatIfFormat, Past: rd.ticked("past"), Open: rd.ticked("open"), From: rd.day("from"), To: rd.day("to")}
	if key := rd.text("like"); key != "" {
		in.Item, in.Like = readBought(rd, fr, set, items, key), key
	}
	if id := rd.text("drop"); id != "" {
		in.Drop = []string{id}
	}
	if text := rd.text("rules"); text != "" {
		var rule packing.Rule
		rd.in("rules", strict.Decode([]byte(text), &rule))
		in.Rules = []packing.Rule{rule}
	}
	if id := rd.text("named"); id != "" {
		in.Named = []string{id}
	}
	if text := rd.text("cards"); text != "" {
		var card tariff.Card
		rd.in("cards", strict.Decode([]byte(text), &card))
		in.Cards = []tariff.Card{card}
	}
	return in, rd.Err()
}

// readBought is packaging like an item of the shelf, at another price and perhaps of another size.
func readBought(rd *reader, fr frame, set studio.Settings, items []studio.ShelfItem, key string) *packing.Item {
	i := slices.IndexFunc(items, func(it studio.ShelfItem) bool { return it.Spec.ID == key })
	if i < 0 {
		rd.Add(fault.Invalidf("like", "%.60q is not on the shelf", key).ToMend("choose one of the list"))
		return nil
	}
	it := items[i].Spec
	was := it.Name
	if rd.text("item.cost") == "" {
		rd.Add(fault.Invalidf("item.cost", "it is missing").ToMend("say what one piece would cost"))
	}
	it.ID, it.Name, it.Note, it.Stock, it.Cost = "what-if", "new, like "+was, "", nil, rd.amount("item.cost", set.Currency).Minor
	width, height := rd.length("item.width", fr.Units), rd.length("item.height", fr.Units)
	if width > 0 {
		it.Width, it.Outer = width, nil
	}
	if height > 0 {
		it.Height, it.Outer = height, nil
	}
	if m := rd.mass("item.mass", fr.Units); m > 0 {
		it.Mass = m
	}
	if width > 0 || height > 0 {
		it.Name = "new, " + itemSize(it, fr.Units)
	}
	return &it
}
