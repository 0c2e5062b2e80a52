package pricecards

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"solander/calendar"
	"solander/dayplan"
	"solander/fault"
	"solander/studio"
	"solander/tariff"
	"solander/tariff/renew"
)

// share is how much of a year's parcels, and of their money, the cells to be typed cover, in per cent. Common practice, no source.
const share = 95

// year is how far back parcels are counted, in days.
const year = 365

// Grid is what the next card of a series is typed into: the cells that the last year's parcels went by.
type Grid struct {
	Card    tariff.Card   `json:"card"`    // the old one
	Parcels int           `json:"parcels"` // labelled in the last year by this card's services
	Apart   int           `json:"apart"`   // of them, those that the card has no cell for
	Used    []renew.Used  `json:"used"`    // every cell that priced one
	Asked   []renew.Used  `json:"asked"`   // the fewest that cover Share, in the card's order
	Share   int           `json:"share"`   // per cent of parcels and of money
	Fewest  bool          `json:"fewest"`  // it is proven that no fewer cells cover it
	Factor  renew.Factor  `json:"factor"`  // proposed for what is carried over, in ten-thousandths
	Drifts  []renew.Drift `json:"drifts"`
}

// GridOf returns the grid of a card. Without parcels nothing is asked and the prices are carried over as they are.
// Faults: Missing.
func GridOf(ctx context.Context, s *studio.Studio, id string) (g Grid, err error) {
	err = read(ctx, s, func(t *PriceCards) error {
		g, err = t.grid(s, id)
		return err
	})
	return g, err
}

func (t *PriceCards) grid(s *studio.Studio, id string) (Grid, error) {
	card, all, err := t.card(s, id)
	if err != nil {
		return Grid{}, err
	}
	sent, err := t.sent()
	if err != nil {
		return Grid{}, err
	}
	var mine []renew.Sent
	for _, c := range all { // a card of the series before it had the same services
		if c.Series == card.Series {
			mine = append(mine, sent[c.ID]...)
		}
	}
	g := Grid{Card: card.Card, Share: share}
	for _, s := range mine {
		g.Parcels += s.Parcels
	}
	g.Used, g.Apart = renew.Uses(&g.Card, mine)
	g.Asked, g.Fewest = renew.Fewest(g.Used, share)
	asked := map[renew.Cell]bool{}
	for _, u := range g.Asked {
		asked[u.Cell] = true
	}
	g.Asked = slices.DeleteFunc(slices.Clone(g.Used), func(u renew.Used) bool { return !asked[u.Cell] })
	g.Factor = renew.FactorOf(&g.Card, g.Used, nil)
	g.Drifts = renew.Drifts(&g.Card, g.Used)
	return g, nil
}

// card finds a card among all.
func (t *PriceCards) card(s *studio.Studio, id string) (card dayplan.Card, all []dayplan.Card, err error) {
	if all, err = s.AllCards(t.Turn); err != nil {
		return card, nil, err
	}
	at := slices.IndexFunc(all, func(c dayplan.Card) bool { return c.ID == id })
	if at < 0 {
		return card, nil, fault.New(fault.Missing, "there is no price card %.60q", id).ToMend("choose one of the list")
	}
	return all[at], all, nil
}

// sent gathers the last year's parcels that went as planned with their postage noted, by the card that priced them.
func (t *PriceCards) sent() (map[string][]renew.Sent, error) {
	all, err := t.Went(t.Today.Add(-year))
	if err != nil {
		return nil, err
	}
	out := map[string][]renew.Sent{}
	for _, p := range all {
		// Postage of 0 was not paid to the operator that day: stamps bought before, or a label that an outlet pays for.
		if p.Service != p.Planned || p.Paid.Currency != p.Estimated.Currency {
			continue
		}
		out[p.Card] = append(out[p.Card], renew.Sent{
			Service: p.Planned, Zone: p.Zone, Size: p.Size, Billed: p.Billed,
			Parcels: p.Parcels, Estimated: p.Estimated.Minor, Paid: p.Paid.Minor,
		})
	}
	return out, nil
}

// Drifts compares what the last year's parcels cost with the cards that plans of today go by: services whose prices are
// off, in the cards' order.
func Drifts(ctx context.Context, s *studio.Studio) (out []renew.Drift, err error) {
	err = read(ctx, s, func(t *PriceCards) error {
		all, err := s.AllCards(t.Turn)
		if err != nil {
			return err
		}
		sent, err := t.sent()
		if err != nil {
			return err
		}
		for _, c := range studio.ListedFor(all, t.Set, t.Today) {
			uses, _ := renew.Uses(&c.Card, sent[c.ID])
			for _, d := range renew.Drifts(&c.Card, uses) {
				if d.Told() {
					out = append(out, d)
				}
			}
		}
		return nil
	})
	return out, err
}

// Next is what a draft makes: the card, and what looks like a slip of the pen in it.
type Next struct {
	Card   tariff.Card   `json:"card"`
	Factor renew.Factor  `json:"factor"` // by which the rest was carried over, in ten-thousandths
	Doubts []renew.Doubt `json:"doubts"`
}

// RenewIn asks for the next card of a series.
type RenewIn struct {
	Card   string       // the old card
	From   calendar.Day // first day of the new one
	Source string
	Who    string
	Factor renew.Factor // 0: as proposed from what was typed and paid
	Typed  map[renew.Cell]tariff.Cell
}

// TryRenew makes the next card without keeping it. Faults: as Renew's.
func TryRenew(ctx context.Context, s *studio.Studio, in RenewIn) (n Next, err error) {
	err = read(ctx, s, func(t *PriceCards) error {
		n, err = t.next(s, in)
		return err
	})
	return n, err
}

// LookOverNext says which prices look like slips of the pen while not all that the next card needs is said yet: its first day and source
// are taken as anything that does. None where no card could be made of it.
func LookOverNext(ctx context.Context, s *studio.Studio, in RenewIn) (out []renew.Doubt) {
	_ = read(ctx, s, func(t *PriceCards) error {
		old, _, err := t.card(s, in.Card)
		if err != nil {
			return err
		}
		if !in.From.After(old.From) {
			in.From = old.From.Add(1)
		}
		in.Source, in.Who = cmp.Or(in.Source, "to be said"), cmp.Or(in.Who, "to be said")
		n, err := t.next(s, in)
		out = n.Doubts
		return err
	})
	return out
}

// Renew makes the next card and keeps it as one of the studio's own. Plans go by it from its first day.
// Faults: Missing; Invalid, all that is wrong; Taken when a card of the series holds from the same day.
func Renew(ctx context.Context, s *studio.Studio, in RenewIn) (n Next, err error) {
	err = write(ctx, s, func(t *PriceCards) error {
		if n, err = t.next(s, in); err != nil {
			return err
		}
		return t.keep(s, n.Card)
	})
	return n, err
}

func (t *PriceCards) next(s *studio.Studio, in RenewIn) (Next, error) {
	g, err := t.grid(s, in.Card)
	if err != nil {
		return Next{}, err
	}
	if in.Factor == 0 {
		in.Factor = renew.FactorOf(&g.Card, g.Used, in.Typed)
	}
	card, err := renew.Next(&g.Card, renew.Draft{
		ID: idOf(g.Card.Series, in.From), From: in.From, Source: in.Source, Who: in.Who, Factor: in.Factor, Typed: in.Typed,
	})
	if err != nil {
		return Next{}, err
	}
	return Next{card, in.Factor, renew.Doubts(&g.Card, &card, in.Typed)}, nil
}

// idOf is the id of a series' card of a day: the series in the letters that an id may have; without a day that alone.
func idOf(series string, from calendar.Day) string {
	series = strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, series)
	series = strings.Trim(series, "-")
	if from.IsZero() {
		return series
	}
	return series + "-" + from.String()
}
