package house

import (
	"context"

	"solander/edition"
	"solander/studio"
)

// NextStep is something worth doing in a studio that has not sold anything yet.
type NextStep struct {
	What string `json:"what"` // "count the sheets in the drawer"
	Why  string `json:"why"`
	Do   Step   `json:"do"`
	ID   int64  `json:"id,omitempty"` // of the edition or the work that it is about
}

// Step is what is to be done.
type Step string

// The steps, in the order in which they are named.
const (
	AddWork     Step = "work"
	Declare     Step = "edition"
	CountSheets Step = "sheets"
	CountShelf  Step = "shelf"
	FirstSale   Step = "sale"
	HangPicture Step = "picture"
	AddOutlet   Step = "outlet"
	Copy        Step = "copy"
)

// mostNext is how many are named: more would be a list to put off.
const mostNext = 3

// NextSteps names the three things to do next in a studio without any order; none once there is one.
func NextSteps(ctx context.Context, s *studio.Studio) ([]NextStep, error) {
	return studio.Got(ctx, s, read, func(t *House) ([]NextStep, error) {
		orders, err := t.Orders(studio.OrderQuery{Limit: 1})
		if err != nil || len(orders) > 0 {
			return nil, err
		}
		has, err := t.beginning()
		if err != nil {
			return nil, err
		}
		return has.next(), nil
	})
}

// beginning is what a studio has before its first order.
type beginning struct {
	work, edition int64 // the first of each; 0 = none
	sheets, pack  bool  // some are counted
	picture       bool
}

func (t *House) beginning() (has beginning, err error) {
	works, err := t.Works()
	if err != nil {
		return has, err
	}
	eds, err := t.Editions()
	if err != nil {
		return has, err
	}
	hand, err := t.OnHand()
	if err != nil {
		return has, err
	}
	shelf, err := t.Shelf()
	if err != nil {
		return has, err
	}
	pictures, err := t.Pictures()
	if err != nil {
		return has, err
	}
	if len(works) > 0 {
		has.work = works[0].ID
	}
	first := func(e edition.Edition) {
		if has.edition == 0 {
			has.edition = e.ID
		}
		has.sheets = has.sheets || hand[e.ID] > 0
	}
	for _, e := range eds {
		first(e)
	}
	for _, it := range shelf {
		has.pack = has.pack || it.Stock > 0
	}
	has.picture = len(pictures) > 0
	return has, nil
}

// next names what is missing, the most needed first.
func (has beginning) next() []NextStep {
	var out []NextStep
	say := func(when bool, do Step, id int64, what, why string) {
		if when && len(out) < mostNext {
			out = append(out, NextStep{what, why, do, id})
		}
	}
	say(has.work == 0, AddWork, 0, "add your first work", "a sale names a print of a work")
	say(has.work != 0 && has.edition == 0, Declare, has.work, "declare an edition of your work", "its size, its paper, its limit and its price")
	say(has.edition != 0 && !has.sheets, CountSheets, has.edition, "count the sheets in the drawer", "a print is signed on a sheet that is there, or ordered from a lab")
	say(!has.pack, CountShelf, 0, "put your packaging on the shelf", "a parcel is planned from what you have")
	say(has.edition != 0, FirstSale, 0, "write down your first sale", "paste the outlet’s mail, or choose the print by its picture")
	say(has.work != 0 && !has.picture, HangPicture, has.work, "hang a picture of your work", "then a wrong print is seen before it is packed")
	say(true, AddOutlet, 0, "name the places where you sell", "each with its fee and its promise")
	say(true, Copy, 0, "make a first copy of the studio", "and see where it is kept")
	return out
}
