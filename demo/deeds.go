package demo

import (
	"slices"
	"time"

	"solander/calendar"
	"solander/journal"
	"solander/studio"
)

// deed is something that she does once, beside the orders: on the first day of book work that is so many days before today, or later.
type deed struct {
	ago int
	do  func(*studio.Studio) error
}

// plan lists the deeds of the past, the oldest first.
func (p *past) plan() {
	p.deeds = []deed{
		{firstDay, p.enterTaxRates},
		{500, p.addGalleries},
		{300, func(st *studio.Studio) error { return p.sellOutright(st, true) }},
		{210, p.consignFirst},
		{110, p.oneCameDamaged},
		{95, p.sellsOne},
		{85, p.comesBack},
		{80, func(st *studio.Studio) error { return p.sellOutright(st, false) }},
		{62, p.consignAgain},
		{70, p.operatorPays},
		{68, p.standsAtTable},
		{60, p.galleryPays},
		{48, p.payOut},
		{40, p.sellsLate},
		{31, p.bringBankFile},
		{20, p.payOut},
		{20, p.oneIsMissing},
		{17, p.sellsLast},
	}
	year, _, _ := p.today.Civil()
	for y := year - 2; y <= year; y++ {
		closing := p.today.Sub(calendar.Date(y, time.January, 20))
		if closing > pastEnds && closing < firstDay {
			p.deeds = append(p.deeds, deed{closing, p.closeYear})
		}
	}
	slices.SortStableFunc(p.deeds, func(a, b deed) int { return b.ago - a.ago })
}

// doDeeds does the deeds whose day has come.
func (p *past) doDeeds(st *studio.Studio) error {
	for len(p.deeds) > 0 && !p.today.Add(-p.deeds[0].ago).After(p.day) {
		if err := p.deeds[0].do(st); err != nil {
			return err
		}
		p.deeds = p.deeds[1:]
	}
	return nil
}

// closeYear closes the year before.
func (p *past) closeYear(st *studio.Studio) error {
	year, _, _ := p.day.Civil()
	_, err := journal.Close(p.ctx, st, firstOf(year).Add(-1))
	return err
}

// firstOf is the first day of a year.
func firstOf(year int) calendar.Day { return calendar.Date(year, time.January, 1) }
