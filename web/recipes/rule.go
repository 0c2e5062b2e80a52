package recipes

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"solander/fault"
	"solander/house"
	"solander/packing"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// RulePage is the editor of one house rule: a sentence made of choices.
type RulePage struct {
	page.Frame
	Was        string // its key; "" = a new one
	Form       *form.Form
	When, Then []PhraseRow
	NewWhen    []form.Choice // phrases that may be added
	NewThen    []form.Choice
	AddedWhen  string // the ones chosen last
	AddedThen  string
	Reads      string      // the sentence that it makes
	Problems   []form.Line // why it makes none yet
	Doubts     []string    // what it cannot be kept beside
	Stands     *ruleLine   // what another window saved meanwhile
	Focus      string
}

// KnownTo is what the choices of a rule are made of in this studio.
func KnownTo(ctx context.Context, s *studio.Studio, set studio.Settings) (Known, error) {
	var classes []string
	err := s.Read(ctx, func(t *studio.Turn) (err error) {
		classes, err = s.Classes(t)
		return err
	})
	return Known{Units: set.Units, Currency: set.Currency, Grades: set.Grades, Classes: classes, Wraps: set.Wraps}, err
}

// ruleForm lays a rule out; its words are asked only where they are others than the sentence says.
func ruleForm(r *packing.Rule, rows RuleRows, k Known, set studio.Settings) (fm *form.Form, when, then []PhraseRow) {
	fm = form.New("rule", "/studio/rule")
	fm.Ask("was", "").As("hidden").Is(r.ID)
	when, then = AskRule(fm, r, rows, k)
	if r.Text == set.RuleWords().Sentence(*r) {
		r.Text = ""
	}
	fm.Text("text", "Or in your own words", &r.Text).Wide().WithHint("empty: the sentence above. Told as the reason whenever the rule decides")
	fm.Then(func(*fault.List) { r.Text = cmp.Or(r.Text, set.RuleWords().Sentence(*r)) })
	return fm.Sealed(), when, then
}

func indexOfRule(all []packing.Rule, id string) int {
	return slices.IndexFunc(all, func(r packing.Rule) bool { return r.ID == id })
}

func noRule(id string) error {
	return fault.New(fault.Missing, "there is no house rule %.60q", id).ToMend("choose one of the list")
}

// ruleDraft is a rule in its form: as it stands, or as it was typed so far.
type ruleDraft struct {
	rule  packing.Rule
	rows  RuleRows
	typed url.Values // nil: as it stands
	focus string
	err   error
}

// Rule shows the editor: of a house rule, by ?id=, or of a new one.
func (f *Recipes) Rule(w http.ResponseWriter, r *http.Request) error {
	set, id := page.Settings(r), r.URL.Query().Get("id")
	d := ruleDraft{rows: RuleRows{When: []string{"value_over"}, Then: []string{"tracking"}}}
	if id != "" {
		i := indexOfRule(set.Rules, id)
		if i < 0 {
			return noRule(id)
		}
		d.rule = set.Rules[i]
		d.rows = RowsOf(d.rule)
	}
	return f.showRule(w, r, d)
}

func (f *Recipes) showRule(w http.ResponseWriter, r *http.Request, d ruleDraft) error {
	return f.Visit(w, r, func(w http.ResponseWriter, r *http.Request) error { return f.seeRule(w, r, d) })
}

func (f *Recipes) seeRule(w http.ResponseWriter, r *http.Request, d ruleDraft) error {
	title := "New house rule"
	if d.rule.ID != "" {
		title = "House rule"
	}
	fr, err := f.Frame(r, "studio", title)
	if err != nil {
		return err
	}
	set := page.Settings(r)
	known, err := KnownTo(r.Context(), f.Seen(r), set)
	if err != nil {
		return err
	}
	p := &RulePage{Frame: fr, Was: d.rule.ID, Focus: d.focus, NewWhen: phraseChoices(whens), NewThen: phraseChoices(thens)}
	p.AddedWhen, p.AddedThen = d.typed.Get("when.new"), d.typed.Get("then.new")
	p.reads(d, known, set)
	p.Form, p.When, p.Then = ruleForm(&d.rule, d.rows, known, set)
	var fail *page.Failure
	switch {
	case d.err != nil:
		fail = &page.Failure{Form: p.Form.Name, Typed: d.typed, Err: d.err}
		p.Put(p.Form, fail)
	case d.typed != nil:
		p.Form.Read(d.typed)
	}
	p.Form.Focus(d.focus)
	if moved := new(form.MovedOn); errors.As(d.err, &moved) {
		now, err := f.Seen(r).Settings(r.Context())
		if err != nil {
			return err
		}
		if i := indexOfRule(now.Rules, p.Was); i >= 0 {
			p.Stands = &ruleLines(now)[i]
		}
	}
	return f.Show(w, r, page.StatusOf(fail), "rule", p)
}

// reads says the sentence that the draft makes, and beside which rules it cannot be kept.
func (p *RulePage) reads(d ruleDraft, known Known, set studio.Settings) {
	made, err := d.rule, error(nil)
	switch {
	case d.typed != nil:
		made, err = readRule(d.typed, known, set)
	case made.ID == "":
		return // nothing is said yet
	}
	if err != nil {
		fm, _, _ := ruleForm(&d.rule, d.rows, known, set)
		p.Problems = form.LinksOf(fault.All(err), fm)
		return
	}
	p.Reads = form.Upper(set.RuleWords().Sentence(made)) + "."
	set.Rules = slices.Clone(set.Rules)
	at := indexOfRule(set.Rules, made.ID)
	if at >= 0 && made.ID != "" {
		set.Rules[at] = made
	} else {
		set.Rules = append(set.Rules, made)
		at = len(set.Rules) - 1
	}
	for _, e := range fault.All(studio.RulesAgree(set)) {
		p.Doubts = append(p.Doubts, form.Sentence(e))
	}
	p.Doubts = append(p.Doubts, studio.RuleDoubts(set, at)...)
}

// readRule reads a rule from what was typed. Faults: Invalid, as its fields are named.
func readRule(typed url.Values, known Known, set studio.Settings) (packing.Rule, error) {
	rows, made := TypedRows(typed)
	made.ID = typed.Get("was")
	fm, _, _ := ruleForm(&made, rows, known, set)
	err := fm.Take(typed)
	if err == nil && len(rows.Then) == 0 {
		err = fault.Invalidf("then", "it asks for nothing").ToMend("say what must be")
	}
	return made, err
}

// SaveRule does what the button says: it saves or takes out the rule, or only shows the draft anew.
func (f *Recipes) SaveRule(w http.ResponseWriter, r *http.Request) error {
	do := r.PostForm.Get("do")
	switch do {
	case "save":
		return f.keepRule(w, r)
	case "take-out":
		return f.takeRuleOut(w, r)
	}
	d := typedRule(r.PostForm)
	if deed, ok := form.DeedOf(do); ok && (deed.List == "when" || deed.List == "then") {
		d = typedRule(deed.On(r.PostForm, "what"))
		d.focus = deed.Focus(form.Rows(d.typed, deed.List))
	}
	return f.showRule(w, r, d)
}

func typedRule(typed url.Values) ruleDraft {
	d := ruleDraft{typed: typed}
	d.rows, d.rule = TypedRows(typed)
	d.rule.ID = typed.Get("was")
	return d
}

func (f *Recipes) keepRule(w http.ResponseWriter, r *http.Request) error {
	set := page.Settings(r)
	known, err := KnownTo(r.Context(), f.Studio, set)
	if err != nil {
		return err
	}
	made, err := readRule(r.PostForm, known, set)
	at := -1
	if err == nil {
		err = house.ChangeSettings(r.Context(), f.Studio, func(set *studio.Settings) error {
			set.Rules = slices.Clone(set.Rules)
			at, err = putRule(set, made, r.PostForm, known)
			return err
		})
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		d := typedRule(r.PostForm)
		d.err = besidePhrases(above(err, fmt.Sprintf("rules[%d].", at)), d.rows)
		return f.showRule(w, r, d)
	}
	return f.DoneSaying(w, r, "/studio/wraps#rules", "rule")
}

// besidePhrases puts faults in parts of a rule beside the phrases that say them.
func besidePhrases(err error, rows RuleRows) error {
	if moved := new(form.MovedOn); errors.As(err, &moved) {
		return err
	}
	var l fault.List
	for _, e := range fault.All(err) {
		l.Add(e.In(PhraseField(rows, e.Field)))
	}
	return l.Err()
}

// putRule puts the rule in the place of the one that it was made of, or at the end. Faults: Taken when that one was changed or taken
// out in another window.
func putRule(set *studio.Settings, made packing.Rule, typed url.Values, known Known) (at int, err error) {
	if made.ID == "" {
		made.ID = keyOf(made.Text, func(key string) bool { return indexOfRule(set.Rules, key) >= 0 })
		set.Rules = append(set.Rules, made)
		return len(set.Rules) - 1, nil
	}
	at = indexOfRule(set.Rules, made.ID)
	if at < 0 {
		return at, fault.New(fault.Taken, "this rule was taken out in another window since the page was opened").
			ToMend("look at the list; what you typed still stands here")
	}
	now := set.Rules[at]
	stands, _, _ := ruleForm(&now, RowsOf(now), known, *set)
	if err := stands.StillAsRows(typed); err != nil {
		return at, err
	}
	set.Rules[at] = made
	return at, nil
}

func (f *Recipes) takeRuleOut(w http.ResponseWriter, r *http.Request) error {
	id := r.PostForm.Get("was")
	known, err := KnownTo(r.Context(), f.Studio, page.Settings(r))
	if err != nil {
		return err
	}
	err = house.ChangeSettings(r.Context(), f.Studio, func(set *studio.Settings) error {
		at := indexOfRule(set.Rules, id)
		if at < 0 {
			return noRule(id)
		}
		now := set.Rules[at]
		if stands, _, _ := ruleForm(&now, RowsOf(now), known, *set); stands.Find("stood").Value != r.PostForm.Get("stood") {
			return fault.New(fault.Taken, "this rule was changed in another window since the page was opened").ToMend("look at it as it stands now")
		}
		set.Rules = slices.Delete(slices.Clone(set.Rules), at, at+1)
		return nil
	})
	if err != nil {
		if page.Ours(err) {
			return err
		}
		d := typedRule(r.PostForm)
		d.err = err
		return f.showRule(w, r, d)
	}
	return f.DoneSaying(w, r, "/studio/wraps#rules", "rule-gone")
}
