package pricecards

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"solander/fault"
	"solander/internal/strict"
	"solander/studio"
	"solander/tariff"
	"solander/tariff/lint"
)

// EditIn asks for a card to be changed.
type EditIn struct {
	Card   string
	Who    string
	Sure   bool // keep it though its days are those of another card
	Change func(*tariff.Card) error
}

// Edit changes a card by a function and keeps it. One that comes with the program stays as it is: a copy of the studio's own, of the same
// id, takes its place; one with another first day is another card of the series. Faults: Missing; Invalid, all that is wrong with the
// changed card; Taken when another card of the series holds from the same day.
func Edit(ctx context.Context, s *studio.Studio, in EditIn) (c tariff.Card, err error) {
	if strings.TrimSpace(in.Who) == "" {
		return c, fault.Invalidf("who", "it is missing").ToMend("say who typed it")
	}
	err = write(ctx, s, func(t *PriceCards) error {
		was, _, err := t.card(s, in.Card)
		if err != nil {
			return err
		}
		if c, err = copied(was.Card); err != nil {
			return err
		}
		if err := in.Change(&c); err != nil {
			return err
		}
		if c.From != was.From && !was.Own {
			c.ID = idOf(c.Series, c.From)
		}
		if by := "Changed by " + in.Who + "."; !strings.Contains(c.Note, by) {
			c.Note = strings.TrimSpace(c.Note + " " + by)
		}
		others, err := t.plain(s)
		if err != nil {
			return err
		}
		if i := slices.IndexFunc(lint.Doubts(&c, others), func(f lint.Finding) bool { return f.Kind == "dates" }); i >= 0 && !in.Sure {
			f := lint.Doubts(&c, others)[i]
			return fault.Invalidf("to", "%s: %s", f.Cell, f.Text).ToMend("%s; or tick that it is so", f.Mend)
		}
		return t.keep(s, c)
	})
	return c, err
}

// copied is a card that shares nothing with another.
func copied(c tariff.Card) (out tariff.Card, err error) {
	raw, err := json.Marshal(c)
	if err == nil {
		err = strict.Decode(raw, &out)
	}
	if err != nil {
		return out, fmt.Errorf("price card %s: %w", c.ID, err)
	}
	return out, nil
}

// Editable returns a card that may be changed without touching the one that is kept, and whether it is the studio's own. Faults: Missing.
func Editable(ctx context.Context, s *studio.Studio, id string) (c tariff.Card, own bool, err error) {
	err = read(ctx, s, func(t *PriceCards) error {
		was, _, err := t.card(s, id)
		if err != nil {
			return err
		}
		own = was.Own
		c, err = copied(was.Card)
		return err
	})
	return c, own, err
}
