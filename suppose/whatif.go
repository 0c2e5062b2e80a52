// Package suppose says what would be if something were different: another rule, wrap, service or price card,
// one more piece of packaging. It plans as planning does, twice, and compares; nothing is written.
package suppose

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/money"
	"solander/packing"
	"solander/planning"
	"solander/studio"
	"solander/tariff"
)

// Formats of docs/formats/what-if.md.
const (
	WhatIfFormat       = "solander-what-if/1"
	WhatIfAnswerFormat = "solander-what-if-answer/1"
)

// WhatIfIn asks what parcels would have cost, or would cost, if something were different. From and To are
// days of hand-over, both inclusive; no day leaves that end open. Open asks for the orders that are not
// handed over yet, too. At least one change is made.
type WhatIfIn struct {
	Format string       `json:"format"`
	From   calendar.Day `json:"from,omitzero"`
	To     calendar.Day `json:"to,omitzero"`
	Open   bool         `json:"open,omitempty"`
	Past   bool         `json:"past"`

	Item   *packing.Item   `json:"item,omitempty"`   // packaging bought at its cost; one of the key of an item on the shelf takes its place
	Like   string          `json:"like,omitempty"`   // the new item may stand where this one may; else wherever its kind may
	Drop   []string        `json:"drop,omitempty"`   // house rules left out
	Rules  []packing.Rule  `json:"rules,omitempty"`  // house rules changed, by id, or added
	Wraps  []packing.Wrap  `json:"wraps,omitempty"`  // wraps changed, by id, or added
	Margin *packing.Margin `json:"margin,omitempty"` // another margin for paper and scale; an empty one is none
	Cards  []tariff.Card   `json:"cards,omitempty"`  // each in place of the cards of its series, whatever its days
	Named  []string        `json:"named,omitempty"`  // the same for cards that are loaded, by id
}

// WhatIf is the answer. The sums count only what goes both with the change and without.
type WhatIf struct {
	Format      string       `json:"format"`
	Changes     []string     `json:"changes"` // in words
	Assumptions []string     `json:"assumptions"`
	Rows        []WhatIfRow  `json:"rows"` // by day, then mark
	Months      []MonthSum   `json:"months"`
	Without     money.Amount `json:"without"`
	With        money.Amount `json:"with"`
	Saves       money.Amount `json:"saves"` // negative when the change costs more
	Compared    int          `json:"compared"`
	Left        int          `json:"left"` // that go in one way only, or in none
	All         int          `json:"all"`  // sendings asked for; more than the rows when it was stopped
	Stopped     bool         `json:"stopped"`
}

// WhatIfRow is one sending: the prints of an order that were, or would be, handed over together.
type WhatIfRow struct {
	Order          string       `json:"order"`
	Day            calendar.Day `json:"day"`
	Prints         int          `json:"prints"`
	Without        money.Amount `json:"without"`
	With           money.Amount `json:"with"`
	Saves          money.Amount `json:"saves"`
	WayWithout     string       `json:"way_without"` // "flat in two stiff envelopes, ground"
	WayWith        string       `json:"way_with"`
	ParcelsWithout int          `json:"parcels_without"`
	ParcelsWith    int          `json:"parcels_with"`
	HeldWithout    string       `json:"held_without,omitempty"` // why it cannot go
	HeldWith       string       `json:"held_with,omitempty"`
}

// Compared reports whether the sending goes both ways.
func (r WhatIfRow) Compared() bool { return r.HeldWith == "" && r.HeldWithout == "" }

// Same reports whether the change leaves the sending as it is.
func (r WhatIfRow) Same() bool {
	return r.Compared() && r.Saves.IsZero() && r.WayWith == r.WayWithout
}

// Same counts the sendings that the change leaves as they are.
func (w WhatIf) Same() int {
	n := 0
	for _, r := range w.Rows {
		if r.Same() {
			n++
		}
	}
	return n
}

// MonthSum is what a month of hand-overs saves.
type MonthSum struct {
	Month string       `json:"month"` // "2026-03"
	Saves money.Amount `json:"saves"`
	Rows  int          `json:"rows"`
}

// mostSendings bounds a question.
const mostSendings = 5000

// Validate looks at the question alone. Faults: Invalid.
func (in WhatIfIn) Validate() error {
	var l fault.List
	l.Check(in.Format == WhatIfFormat, "format", fmt.Sprintf("%.40q is not a format known here", in.Format), "write "+WhatIfFormat)
	l.Add(studio.Sane("from", in.From))
	l.Add(studio.Sane("to", in.To))
	l.Check(in.From.IsZero() || in.To.IsZero() || !in.To.Before(in.From), "to", "it is before the first day", "exchange them")
	l.Check(in.Past || in.Open, "past", "neither past parcels nor open orders are asked for", "ask for one of them, or both")
	l.Check(in.Item != nil || len(in.Drop)+len(in.Rules)+len(in.Wraps)+len(in.Cards)+len(in.Named) > 0 || in.Margin != nil, "item", "nothing is changed", "name an item, a wrap, a house rule, a margin or a price card")
	if in.Margin != nil {
		l.Add(in.Margin.Check("margin."))
	}
	l.Check(in.Like == "" || in.Item != nil, "like", "no item is bought", "give the item")
	if in.Item != nil {
		l.Add(studio.FaultsBelow(studio.Trial([]packing.Item{*in.Item}, nil, nil), "shelf[0].", "item."))
	}
	for i, c := range in.Cards {
		l.Add(c.Check(fmt.Sprintf("cards[%d]", i)))
	}
	return l.Err()
}

// AskWhatIf plans the sendings of a period twice, as the studio is and with the change, and compares them.
// What is done when ctx ends is returned, marked as stopped. The assumptions stand in the answer and in
// docs/formats/what-if.md. Faults: Invalid; Missing when a rule or item is not there; Refused when the
// period holds nothing or too much.
func AskWhatIf(ctx context.Context, s *studio.Studio, in WhatIfIn, tell dayplan.Tell) (WhatIf, error) {
	if err := in.Validate(); err != nil {
		return WhatIf{}, err
	}
	var out WhatIf
	var pairs []sending
	var words planning.Wording
	err := s.Read(ctx, func(turn *studio.Turn) (err error) {
		t := asked(turn)
		if in, err = withNamed(s, t, in); err != nil {
			return err
		}
		pairs, words, err = sendings(s, t, in)
		out = WhatIf{Format: WhatIfAnswerFormat, Changes: t.changes(in), Assumptions: assumptions(in), All: len(pairs)}
		out.Without, out.With, out.Saves = money.Of(0, t.Set.Currency), money.Of(0, t.Set.Currency), money.Of(0, t.Set.Currency)
		return err
	})
	if err != nil {
		return out, err
	}
	for i, p := range pairs {
		tell.Say(i, len(pairs))
		row, err := compare(dayplan.Quietly(ctx), s, p, words)
		if ctx.Err() != nil || dayplan.Stopped(ctx) {
			out.Stopped = true
			break
		}
		if err != nil {
			return out, err
		}
		out.add(row)
	}
	tell.Say(len(out.Rows), len(pairs))
	return out, nil
}

// withNamed adds the cards that are named. Faults: Missing.
func withNamed(s *studio.Studio, t *asking, in WhatIfIn) (WhatIfIn, error) {
	known, err := s.AllCards(t.Turn)
	if err != nil {
		return in, err
	}
	in.Cards = slices.Clone(in.Cards)
	for i, id := range in.Named {
		at := slices.IndexFunc(known, func(c dayplan.Card) bool { return c.ID == id })
		if at < 0 {
			return in, fault.New(fault.Missing, "there is no price card %.60q", id).In(fmt.Sprintf("named[%d]", i)).ToMend("solander tariff lists the cards, and the studio's page does")
		}
		in.Cards = append(in.Cards, known[at].Card)
	}
	in.Named = nil
	return in, nil
}

func (w *WhatIf) add(r WhatIfRow) {
	w.Rows = append(w.Rows, r)
	if !r.Compared() {
		w.Left++
		return
	}
	cur := w.Saves.Currency
	w.Compared++
	w.Without = money.Of(w.Without.Minor+r.Without.Minor, cur)
	w.With = money.Of(w.With.Minor+r.With.Minor, cur)
	w.Saves = money.Of(w.Saves.Minor+r.Saves.Minor, cur)
	month := monthOf(r.Day)
	if n := len(w.Months); n == 0 || w.Months[n-1].Month != month {
		w.Months = append(w.Months, MonthSum{Month: month, Saves: money.Of(0, cur)})
	}
	m := &w.Months[len(w.Months)-1]
	m.Saves, m.Rows = money.Of(m.Saves.Minor+r.Saves.Minor, cur), m.Rows+1
}

// monthOf names the month of a day: "2026-03".
func monthOf(d calendar.Day) string { return d.String()[:len("2026-03")] }

// compare plans a sending both ways. A refusal of the planner is why it cannot go; an own failure ends all.
func compare(ctx context.Context, s *studio.Studio, p sending, w planning.Wording) (WhatIfRow, error) {
	row := WhatIfRow{Order: p.mark, Day: p.day, Prints: p.prints}
	sum := func(q dayplan.Question, way, held *string, parcels *int) (money.Amount, error) {
		plan, err := s.Plans.Answer(ctx, q)
		cost := money.Of(plan.Total, q.Problem.Currency)
		switch {
		case err != nil && fault.Is(err, fault.Internal):
			return cost, err
		case err != nil:
			*held = fault.All(err)[0].Error()
		default:
			*held = dayplan.HeldIn(q.Problem, plan)
		}
		*way, *parcels = wayOf(plan, w), len(plan.Parcels)
		return cost, nil
	}
	a, err := sum(p.without, &row.WayWithout, &row.HeldWithout, &row.ParcelsWithout)
	b, err2 := sum(p.with, &row.WayWith, &row.HeldWith, &row.ParcelsWith)
	row.Without, row.With, row.Saves = a, b, money.Of(0, a.Currency)
	if row.Compared() {
		row.Saves = money.Of(a.Minor-b.Minor, a.Currency)
	}
	return row, errors.Join(err, err2)
}

// wayOf names wraps and services of a plan, each once.
func wayOf(plan packing.Plan, w planning.Wording) string {
	var out []string
	for _, p := range plan.Parcels {
		text := w.WrapName(p)
		if n := len(p.Layers); n > 0 {
			text += ", " + w.Item(p.Layers[n-1].Item)
		}
		if text += ", " + w.Service(p.Card, p.Service); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return strings.Join(out, "; ")
}

func assumptions(in WhatIfIn) []string {
	out := []string{
		"Both sides are planned anew with the shelf, wraps, house rules and address of today; what was really paid is not used.",
		"Stock limits nothing: of every item in use there is plenty, of the one asked about too.",
	}
	if in.Past {
		out = append(out, "A past parcel is planned for the day on which it was handed over, by the price cards that held on it as they are loaded now; prints handed over on one day for one order may be parted and joined anew.")
	}
	if in.Open {
		out = append(out, "An open order is planned for the next hand-over from today, by itself, whether or not it is paid and signed.")
	}
	if len(in.Cards) > 0 {
		out = append(out, "A new card takes the place of all cards of its series, on every day; its price class counts as bought.")
	}
	if in.Item != nil {
		out = append(out, "New packaging may stand wherever a wrap may take its like. What a whole pack of it costs is not counted, only the pieces used.")
	}
	return out
}

// changed is the studio with the change made.
func changed(s *studio.Studio, t *asking, in WhatIfIn, r dayplan.Means) (studio.Settings, dayplan.Means, error) {
	set, err := withRules(t.Set, in)
	if err != nil {
		return set, r, err
	}
	if in.Margin != nil {
		set.Margin = *in.Margin
	}
	set.Wraps = replaced(set.Wraps, in.Wraps, func(w packing.Wrap) string { return w.ID })
	if in.Item != nil {
		if set.Wraps, r.Shelf, err = withBought(set.Wraps, r.Shelf, *in.Item, in.Like); err != nil {
			return set, r, err
		}
	}
	for _, c := range in.Cards {
		raw, err := json.Marshal(c)
		if err != nil {
			return set, r, fmt.Errorf("price card %s: %w", c.ID, err)
		}
		c.From, c.To = calendar.Earliest, calendar.Day{}
		r.Cards = slices.DeleteFunc(slices.Clone(r.Cards), func(o dayplan.Card) bool {
			return o.Series == c.Series || o.ID == c.ID || slices.ContainsFunc(o.Replaces, func(r tariff.Replaced) bool { return r.Series == c.Series })
		})
		r.Cards = append(r.Cards, dayplan.Card{Card: c, Digest: sha256.Sum256(raw), Own: true})
		if len(set.PriceClasses) > 0 && !slices.Contains(set.PriceClasses, c.PriceClass) {
			set.PriceClasses = append(slices.Clone(set.PriceClasses), c.PriceClass)
		}
		if c.Currency != set.Currency {
			return set, r, fault.Invalidf("cards", "card %s is in %s, the studio's money is %s", c.ID, c.Currency, set.Currency).ToMend("use a card in %s", set.Currency)
		}
	}
	slices.SortFunc(r.Cards, func(a, b dayplan.Card) int { return strings.Compare(a.ID, b.ID) })
	items := make([]studio.ShelfItem, len(r.Shelf))
	for i, it := range r.Shelf {
		items[i].Spec = it
	}
	return set, r, studio.Packable(set, items)
}

// withRules leaves house rules out and puts others in. Faults: Missing.
func withRules(s studio.Settings, in WhatIfIn) (studio.Settings, error) {
	s.Rules = slices.Clone(s.Rules)
	for i, id := range in.Drop {
		at := slices.IndexFunc(s.Rules, func(r packing.Rule) bool { return r.ID == id })
		if at < 0 {
			return s, fault.New(fault.Missing, "there is no house rule %.60q", id).In(fmt.Sprintf("drop[%d]", i)).ToMend("name one of the studio's rules by its key")
		}
		s.Rules = slices.Delete(s.Rules, at, at+1)
	}
	s.Rules = replaced(s.Rules, in.Rules, func(r packing.Rule) string { return r.ID })
	return s, nil
}

// replaced puts each change in the place of what has its id, or at the end.
func replaced[T any](all, changes []T, id func(T) string) []T {
	all = slices.Clone(all)
	for _, n := range changes {
		at := slices.IndexFunc(all, func(x T) bool { return id(x) == id(n) })
		if at < 0 {
			all = append(all, n)
			continue
		}
		all[at] = n
	}
	return all
}

// withBought puts an item on the shelf and into the wraps: where the like may stand, or into every layer of
// its kind. Faults: Missing.
func withBought(wraps []packing.Wrap, shelf []packing.Item, it packing.Item, like string) ([]packing.Wrap, []packing.Item, error) {
	it.Stock = nil
	shelf = slices.Clone(shelf)
	if at := slices.IndexFunc(shelf, func(x packing.Item) bool { return x.ID == it.ID }); at >= 0 {
		shelf[at] = it
		return wraps, shelf, nil
	}
	if like != "" && !slices.ContainsFunc(shelf, func(x packing.Item) bool { return x.ID == like && x.Kind == it.Kind }) {
		return nil, nil, fault.New(fault.Missing, "no %s %.60q is on the shelf", it.Kind, like).In("like").ToMend("name an item of the same kind by its key")
	}
	wraps = slices.Clone(wraps)
	for w := range wraps {
		wraps[w].Layers = slices.Clone(wraps[w].Layers)
		for l := range wraps[w].Layers {
			layer := &wraps[w].Layers[l]
			if layer.Kind == it.Kind && len(layer.Items) > 0 && (like == "" || slices.Contains(layer.Items, like)) {
				layer.Items = append(slices.Clone(layer.Items), it.ID)
			}
		}
	}
	return wraps, append(shelf, it), nil
}

// changes says the change in words.
func (t *asking) changes(in WhatIfIn) []string {
	var out []string
	if it := in.Item; it != nil {
		out = append(out, fmt.Sprintf("%s at %s a piece is on the shelf", cmp.Or(it.Name, it.ID), money.Of(it.Cost, t.Set.Currency)))
	}
	ruleText := func(id string) string {
		for _, r := range t.Set.Rules {
			if r.ID == id && r.Text != "" {
				return r.Text
			}
		}
		return id
	}
	for _, id := range in.Drop {
		out = append(out, "without the house rule “"+ruleText(id)+"”")
	}
	for _, r := range in.Rules {
		out = append(out, "with the house rule “"+cmp.Or(r.Text, r.ID)+"”")
	}
	if m := in.Margin; m != nil {
		out = append(out, m.Words(t.Set.Units))
	}
	for _, w := range in.Wraps {
		how := "with a new wrap"
		if slices.ContainsFunc(t.Set.Wraps, func(x packing.Wrap) bool { return x.ID == w.ID }) {
			how = "with another way of the wrap"
		}
		out = append(out, how+" “"+cmp.Or(w.Name, w.ID)+"”")
	}
	for _, c := range in.Cards {
		out = append(out, fmt.Sprintf("by the price card %s of %s", c.ID, c.Operator))
	}
	return out
}
