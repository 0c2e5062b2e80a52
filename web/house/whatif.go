package house

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/papers"
	"solander/pricecards"
	"solander/stockroom"
	"solander/studio"
	"solander/suppose"
	"solander/tariff"
	"solander/web/form"
	"solander/web/page"
	"solander/web/recipes"
)

// WhatIfPage asks what would change, and shows the answer.
type WhatIfPage struct {
	page.Frame
	Form       *form.Form
	When, Then []recipes.PhraseRow // of the house rule that is changed
	NewWhen    []form.Choice       // phrases that may be added
	NewThen    []form.Choice
	AddedWhen  string // the ones chosen last
	AddedThen  string
	Ruled      bool          // a rule is being changed
	Wrapped    bool          // a wrap is
	WrapFields []*form.Field // the wrap's own
	Layers     []recipes.LayerRow
	NewLayer   []form.Choice // kinds that a layer may be added of
	AddedLayer string
	Focus      string          // the button or row under her hands, by name
	Answer     *suppose.WhatIf // nil until something was asked
	Sendings   []sendings      // its rows on this page, lot by lot
	Parts      []page.Part     // of the answer, when its rows do not stand on one page
	Plot       *papers.Plot
	Months     bool // the plot is by month, not by sending
}

// sendings are rows of the answer that fared alike. A long lot is folded.
type sendings struct {
	Head       string
	Rows       []suppose.WhatIfRow
	Same, Open bool
}

// mostUnfolded is how many rows stand open.
const mostUnfolded = 12

// lotsOf parts the rows of an answer: what the change changes first, what cannot go, and what stays as it is.
func lotsOf(rows []suppose.WhatIfRow) []sendings {
	lots := []sendings{{Head: "Changed"}, {Head: "In no sum: they cannot go both ways"}, {Head: "As before", Same: true}}
	for _, r := range rows {
		at := &lots[0]
		switch {
		case !r.Compared():
			at = &lots[1]
		case r.Same():
			at = &lots[2]
		}
		at.Rows = append(at.Rows, r)
	}
	for i := range lots {
		lots[i].Open = len(lots[i].Rows) <= mostUnfolded
	}
	return slices.DeleteFunc(lots, func(l sendings) bool { return len(l.Rows) == 0 })
}

func (f *House) WhatIf(w http.ResponseWriter, r *http.Request) error {
	return f.showWhatIf(w, r, asked{})
}

// asked is what stands in the form, with what became of it.
type asked struct {
	typed  url.Values // nil: nothing yet
	focus  string
	err    error
	answer *suppose.WhatIf
}

// firstWhatIf is what is asked until something else is typed.
func firstWhatIf(today calendar.Day) suppose.WhatIfIn {
	return suppose.WhatIfIn{Format: suppose.WhatIfFormat, Past: true, From: today.Add(-365), To: today}
}

// whatIfForm asks for the period and the change. Field names are those of the faults.
func (f *House) whatIfForm(r *http.Request, in *suppose.WhatIfIn, typed url.Values) (p *WhatIfPage, err error) {
	set := page.Settings(r)
	items, err := stockroom.Shelf(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	cards, err := pricecards.Cards(r.Context(), f.Seen(r))
	if err != nil {
		return nil, err
	}
	known, err := recipes.KnownTo(r.Context(), f.Seen(r), set)
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
		rules = append(rules, form.Pick(x.ID, set.RuleText(x)))
	}
	fm.Words("drop", "Without the house rule", &in.Drop, "").Of(rules...).Half()
	named := []form.Choice{form.Pick("", "the cards of the day")}
	for _, c := range cards {
		if c.Here || c.Own {
			named = append(named, form.Pick(c.ID, c.ID))
		}
	}
	fm.Words("named", "By the price card", &in.Named, "").Of(named...).Half()
	bare := in.Margin != nil
	fm.Tick("bare", "Without the margin for paper and scale", &bare).WithHint(set.Margin.Words(set.Units) + ", as the settings say")
	fm.Then(func(*fault.List) {
		if in.Margin = nil; bare {
			in.Margin = &packing.Margin{}
		}
	})
	askCard(fm, in, typed)
	p = &WhatIfPage{Form: fm}
	p.askRule(in, set, known, typed)
	p.askWrap(in, set, items, typed)
	return p, nil
}

// askCard asks for a card that is not loaded, as a file; the file of before is kept in the form until it is left out.
func askCard(fm *form.Form, in *suppose.WhatIfIn, typed url.Values) {
	kept := typed.Get("card")
	fm.Ask("card", "").As("hidden").Is(kept)
	fm.Then(func(l *fault.List) {
		in.Cards = nil
		if kept == "" || typed.Get("leave_card") != "" {
			return
		}
		in.Cards = make([]tariff.Card, 1)
		l.Add(inCard(form.FromJSON("cards", kept, &in.Cards[0]), "cards"))
	})
	fm.Ask("cards", "Or by a price card of a file").As("file").WithHint("such as next year's before it is loaded; it takes the place of the cards of its series").Half()
	if kept != "" {
		fm.Ask("leave_card", "Without the card of the file sent before").As("check").Half()
	}
}

// asNew is the choice of a rule that does not stand yet.
const asNew = "a new one"

// askRule asks for a house rule that is changed or added, as a sentence of choices.
func (p *WhatIfPage) askRule(in *suppose.WhatIfIn, set studio.Settings, known recipes.Known, typed url.Values) {
	which := []form.Choice{form.Pick("", "none is changed"), form.Pick(asNew, "a new one")}
	for _, x := range set.Rules {
		which = append(which, form.Pick("="+x.ID, set.RuleText(x)))
	}
	choice := typed.Get("rule")
	p.Form.Text("rule", "Or with a house rule changed", &choice).Of(which...).Wide()
	p.Form.Ask("ruled", "").As("hidden").Is(choice)
	if choice == "" {
		p.Form.Then(func(*fault.List) { in.Rules = nil })
		return
	}
	rows, rule := recipes.TypedRows(typed)
	rule.ID = "what-if"
	if id, stands := strings.CutPrefix(choice, "="); stands {
		rule.ID = id
	}
	p.Ruled = true
	p.NewWhen, p.NewThen = recipes.Phrases()
	p.AddedWhen, p.AddedThen = typed.Get("when.new"), typed.Get("then.new")
	p.When, p.Then = recipes.AskRule(p.Form, &rule, rows, known)
	p.Form.Then(func(*fault.List) {
		rule.Text = set.RuleWords().Sentence(rule)
		in.Rules = []packing.Rule{rule}
	})
}

// wrapChosen is the wrap that a choice means, with its place: a new one has none yet.
func wrapChosen(set studio.Settings, choice string) (w packing.Wrap, stands bool) {
	i := slices.IndexFunc(set.Wraps, func(x packing.Wrap) bool { return "="+x.ID == choice })
	if i < 0 {
		return packing.Wrap{ID: "what-if", Shape: packing.Flat, Layers: []packing.Layer{{Kind: packing.Envelope}}}, false
	}
	return set.Wraps[i], true
}

// askWrap asks for a wrap that is changed or added, by the rows of its editor.
func (p *WhatIfPage) askWrap(in *suppose.WhatIfIn, set studio.Settings, items []studio.ShelfItem, typed url.Values) {
	which := []form.Choice{form.Pick("", "none is changed"), form.Pick(asNew, "a new one")}
	for _, x := range set.Wraps {
		which = append(which, form.Pick("="+x.ID, cmp.Or(x.Name, x.ID)))
	}
	choice := typed.Get("wrap")
	p.Form.Text("wrap", "Or with a wrap changed", &choice).Of(which...).Wide()
	p.Form.Ask("wrapped", "").As("hidden").Is(choice)
	if choice == "" {
		p.Form.Then(func(*fault.List) { in.Wraps = nil })
		return
	}
	made := recipes.TypedWrap(typed)
	p.Wrapped, p.NewLayer, p.AddedLayer = true, recipes.KindChoices, cmp.Or(typed.Get("layers.new"), string(packing.Board))
	before := len(p.Form.Fields())
	p.Layers = recipes.AskWrap(p.Form, &made, items, set.Units)
	for _, fd := range p.Form.Fields()[before:] {
		if !strings.HasPrefix(fd.Name, "layers[") {
			p.WrapFields = append(p.WrapFields, fd)
		}
	}
	stands, _ := wrapChosen(set, choice)
	p.Form.Then(func(*fault.List) {
		made.ID = stands.ID
		in.Wraps = []packing.Wrap{made}
	})
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

func (f *House) showWhatIf(w http.ResponseWriter, r *http.Request, a asked) error {
	fr, err := f.Frame(r, "studio", "What if")
	if err != nil {
		return err
	}
	in := firstWhatIf(fr.Today)
	p, err := f.whatIfForm(r, &in, a.typed)
	if err != nil {
		return err
	}
	p.Frame, p.Focus, p.Answer = fr, a.focus, a.answer
	var fail *page.Failure
	switch {
	case a.err != nil:
		fail = page.FailedIn(p.Form.Name, r, a.err)
		fail.Typed = a.typed
		p.Put(p.Form, fail)
	case a.typed != nil:
		p.Form.Read(a.typed)
	}
	p.Form.Focus(a.focus)
	recipes.Choose(p.Layers)
	p.Form.Find("ruled").Value = p.Form.Find("rule").Value
	p.Form.Find("wrapped").Value = p.Form.Find("wrap").Value
	if a.answer != nil {
		p.Plot, p.Months = a.answer.Plot()
		if err := p.part(r.URL.Query().Get("from")); err != nil {
			return err
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "whatif", p)
}

// mostRows is how many rows of an answer stand on one page.
const mostRows = 100

// part takes the rows that begin with the first one asked for. Faults: Invalid.
func (p *WhatIfPage) part(from string) error {
	all := p.Answer.Rows
	first, last, parts, err := page.PartOf(from, len(all), mostRows, func(row int) string { return fmt.Sprintf("%s?from=%d#h-rows", p.Here, row) })
	if err != nil {
		return err
	}
	p.Sendings, p.Parts = lotsOf(all[first:last]), parts
	return nil
}

// sentWhatIf is what was sent: with the card of a file among it, and the phrases of a rule that was just chosen. Faults: those of
// the file.
func (f *House) sentWhatIf(r *http.Request) (url.Values, error) {
	typed, set := maps.Clone(r.PostForm), page.Settings(r)
	if typed.Get("leave_card") != "" {
		typed.Del("card")
		typed.Del("leave_card")
	}
	if choice := typed.Get("rule"); choice != typed.Get("ruled") {
		known, err := recipes.KnownTo(r.Context(), f.Seen(r), set)
		if err != nil {
			return typed, err
		}
		maps.DeleteFunc(typed, func(name string, _ []string) bool {
			return strings.HasPrefix(name, "when[") || strings.HasPrefix(name, "then[")
		})
		if i := slices.IndexFunc(set.Rules, func(x packing.Rule) bool { return "="+x.ID == choice }); i >= 0 {
			x := set.Rules[i]
			fm := form.New("rule", "")
			recipes.AskRule(fm, &x, recipes.RowsOf(x), known)
			for _, fd := range fm.Fields() {
				typed.Set(fd.Name, fd.Value)
			}
		}
	}
	if choice := typed.Get("wrap"); choice != typed.Get("wrapped") {
		if err := f.fillWrap(r, typed, choice); err != nil {
			return typed, err
		}
	}
	if r.MultipartForm == nil || len(r.MultipartForm.File["cards"]) == 0 || r.MultipartForm.File["cards"][0].Filename == "" {
		return typed, nil
	}
	text, err := page.FileOf(r, "cards", mostCard)
	if err == nil {
		typed.Set("card", string(text))
	}
	return typed, err
}

// fillWrap puts a wrap that was just chosen into what was typed, in place of the one before.
func (f *House) fillWrap(r *http.Request, typed url.Values, choice string) error {
	set := page.Settings(r)
	items, err := stockroom.Shelf(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	maps.DeleteFunc(typed, func(name string, _ []string) bool { return strings.HasPrefix(name, "layers[") })
	w, _ := wrapChosen(set, choice)
	w.Layers = slices.Clone(w.Layers)
	fm := form.New("wrap", "")
	recipes.AskWrap(fm, &w, items, set.Units)
	for _, fd := range fm.Fields() {
		typed.Del(fd.Name)
		if choice != "" {
			typed.Set(fd.Name, fd.Value)
		}
	}
	return nil
}

// begins is the field by which a new row of a list begins.
var begins = map[string]string{"when": "what", "then": "what", "layers": "kind"}

// AskWhatIf starts the reckoning and leads to its page; any button but that one only shows the question anew.
func (f *House) AskWhatIf(w http.ResponseWriter, r *http.Request) error {
	typed, err := f.sentWhatIf(r)
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.showWhatIf(w, r, asked{typed: typed, err: err})
	}
	do := r.PostForm.Get("do")
	if d, ok := form.DeedOf(do); ok && begins[d.List] != "" {
		typed = d.On(typed, begins[d.List])
		return f.showWhatIf(w, r, asked{typed: typed, focus: d.Focus(form.Rows(typed, d.List))})
	}
	if do == "show" {
		return f.showWhatIf(w, r, asked{typed: typed})
	}
	in := suppose.WhatIfIn{Format: suppose.WhatIfFormat}
	p, err := f.whatIfForm(r, &in, typed)
	if err != nil {
		return err
	}
	if err := p.Form.TakeAnd(typed, func() error { return in.Validate() }); err != nil {
		return f.showWhatIf(w, r, asked{typed: typed, err: inQuestion(err, typed)})
	}
	x := &page.Reckoning{Title: "What if", Room: "studio"}
	x.Show = func(w http.ResponseWriter, r *http.Request, result any) error {
		found, ok := result.(suppose.WhatIf)
		if !ok {
			return fmt.Errorf("web: %T is no answer to what if", result)
		}
		return f.showWhatIf(w, r, asked{typed: typed, answer: &found})
	}
	f.Reckon(r, x, func(ctx context.Context, tell dayplan.Tell) (any, error) {
		return suppose.AskWhatIf(ctx, f.Studio, in, tell)
	})
	if _, wrong := x.Outcome(); wrong != nil && !page.Ours(wrong) {
		return f.showWhatIf(w, r, asked{typed: typed, err: inQuestion(wrong, typed)})
	}
	http.Redirect(w, r, x.Path(), http.StatusSeeOther)
	return nil
}

// inQuestion puts faults inside a card or a rule beside what the page asks of them.
func inQuestion(err error, typed url.Values) error {
	rows, _ := recipes.TypedRows(typed)
	var l fault.List
	for _, e := range fault.All(err) {
		list, part, below := strings.Cut(e.Field, "].")
		switch {
		case strings.HasPrefix(e.Field, "cards"):
			e = fault.All(inCard(e, "cards"))[0]
		case strings.HasPrefix(list, "wraps[") && below:
			e = fault.All(recipes.BesideBoxes(e.In(part).At(""), recipes.TypedWrap(typed)))[0]
		case strings.HasPrefix(list, "rules[") && below:
			if e = e.In(recipes.PhraseField(rows, part)); e.Field == part {
				e = e.In("rule")
			}
		}
		l.Add(e)
	}
	return l.Err()
}
