package consigning

import (
	"context"
	"fmt"

	"solander/calendar"
	"solander/consign"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
	"solander/supply"
)

// SendIn is prints that go to a gallery.
type SendIn struct {
	Gallery int64
	Day     calendar.Day // zero: today
	Due     calendar.Day // by which they come back unless they are sold; zero: not agreed
	Prints  []SendPrint
}

// SendPrint is one of them.
type SendPrint struct {
	Edition int64
	Number  edition.Number // none: the lowest signed one that nobody has
	Price   money.Amount   // nothing: that of the edition
}

// mostSent is how many prints go at once.
const mostSent = 200

// Send notes that prints go to a gallery on consignment. Faults: Invalid; Missing; Refused for a number that is not signed, or a gallery that is
// closed; Taken for one that somebody has.
func Send(ctx context.Context, s *studio.Studio, in SendIn) ([]consign.Print, error) {
	var l fault.List
	l.Check(len(in.Prints) > 0 && len(in.Prints) <= mostSent, "prints", "no print is named, or too many at once", fmt.Sprintf("name from 1 to %d", mostSent))
	l.Add(studio.Sane("day", in.Day))
	l.Add(studio.Sane("due", in.Due))
	for i, p := range in.Prints {
		l.Add(studio.Amount(fmt.Sprintf("prints[%d].price", i), p.Price))
	}
	if err := l.Err(); err != nil {
		return nil, err
	}
	return studio.Got(ctx, s, write, func(t *Consigning) ([]consign.Print, error) {
		h, err := t.Gallery(in.Gallery)
		if err != nil {
			return nil, err
		}
		if h.Closed {
			return nil, fault.New(fault.Refused, "nothing goes to it any more").At("%s", h.Name).In("gallery").ToMend("open it again first")
		}
		day, err := t.NotFuture("day", in.Day)
		if err != nil {
			return nil, err
		}
		if !in.Due.IsZero() && in.Due.Before(day) {
			return nil, fault.Invalidf("due", "%s is before the day on which they go, %s", in.Due, day).ToMend("look at both days")
		}
		var out []consign.Print
		for i, p := range in.Prints {
			made, err := t.send(h, p, day, in.Due)
			if err != nil && len(in.Prints) > 1 {
				err = fault.InField(err, fmt.Sprintf("prints[%d]", i))
			}
			if err != nil {
				return nil, err
			}
			out = append(out, made)
		}
		return out, nil
	})
}

func (t *Consigning) send(h consign.House, in SendPrint, day, due calendar.Day) (consign.Print, error) {
	p := consign.Print{Gallery: h.ID, Edition: in.Edition, Share: h.Share, Bears: h.Bears, Went: day, Due: due, State: consign.Out, At: t.Now, Who: t.Who}
	e, err := t.EditionOf(in.Edition)
	if err != nil {
		return p, err
	}
	if p.Number = in.Number; p.Number.IsZero() {
		if p.Number, err = t.lowestSigned(e); err != nil {
			return p, err
		}
	}
	if p.Price, err = t.Cash("price", in.Price); err != nil {
		return p, err
	}
	if p.Price.IsZero() {
		p.Price = e.Price
	}
	p.Sold, p.Kept = money.Of(0, p.Price.Currency), money.Of(0, p.Price.Currency)
	entry, err := register.In(t.Turn).Take(register.StepOf{Ed: e, Number: p.Number, Step: edition.Consign, Day: day, Note: "on consignment at " + h.Name})
	if err != nil {
		return p, err
	}
	p.Turn = entry.Turn
	if p.ID, err = t.AddConsignment(p); err != nil {
		return p, err
	}
	if err := t.sheet(e, p, -1, "on consignment at "+h.Name); err != nil {
		return p, err
	}
	return p, t.Note(0, "%s to %s on consignment, at %s", consign.Label(p.Number, e), h.Name, p.Price)
}

func (t *Consigning) sheet(e edition.Edition, p consign.Print, delta int, why string) error {
	cause := supply.AtGallery
	if delta > 0 {
		cause = supply.FromGallery
	}
	return stockroom.In(t.Turn).Sheets(e, delta, supply.Why{Cause: cause, Consignment: p.ID}, p.Number.Of(e)+" "+why)
}

// lowestSigned is the lowest number of an edition that is signed and that nobody has.
func (t *Consigning) lowestSigned(e edition.Edition) (edition.Number, error) {
	rows, err := t.NumbersIn(studio.NumberQuery{Edition: e.ID, Kind: edition.Numbered, Loose: true})
	if err != nil {
		return edition.Number{}, err
	}
	if len(rows) == 0 {
		return edition.Number{}, fault.New(fault.Refused, "no signed print lies in the drawer that nobody has").At("%s", e.Name(t.Set.Units)).ToMend("sign one ahead on the page of the edition")
	}
	return rows[0].Number, nil
}

// EndIn is what became of a print at a gallery.
type EndIn struct {
	Print int64
	State consign.State // sold, back or lost
	Day   calendar.Day  // zero: today
	Price money.Amount  // of a sale; nothing: the price agreed
	Why   string        // of a loss
}

// End notes what became of a print at a gallery. Faults: Invalid; Missing; Refused when it is not there any more.
func End(ctx context.Context, s *studio.Studio, in EndIn) (consign.Print, error) {
	var l fault.List
	l.Add(studio.Sane("day", in.Day))
	l.Add(studio.Amount("price", in.Price))
	if err := l.Err(); err != nil {
		return consign.Print{}, err
	}
	return studio.Got(ctx, s, write, func(t *Consigning) (consign.Print, error) {
		p, err := t.Consignment(in.Print)
		if err != nil {
			return p, err
		}
		h, err := t.Gallery(p.Gallery)
		if err != nil {
			return p, err
		}
		e, err := t.EditionOf(p.Edition)
		if err != nil {
			return p, err
		}
		where := consign.Label(p.Number, e)
		day, err := t.NotFuture("day", in.Day)
		if err != nil {
			return p, err
		}
		step, told := register.StepOf{Ed: e, Number: p.Number, Day: day}, ""
		switch in.State {
		case consign.Sold:
			price := in.Price
			if price.IsZero() {
				price = p.Price
			}
			if p, err = p.SoldFor(price, day); err != nil {
				return p, fault.Placed(err, where)
			}
			step.Step, step.Note, told = edition.Sell, "sold by "+h.Name, fmt.Sprintf("sold by %s for %s, of which %s are hers", h.Name, p.Sold, p.Hers())
		case consign.Back:
			if p, err = p.CameBack(day); err != nil {
				return p, fault.Placed(err, where)
			}
			step.Step, step.Note, told = edition.Return, "back from "+h.Name, "back from "+h.Name
		case consign.Lost:
			if p, err = p.WasLost(day, in.Why); err != nil {
				return p, fault.Placed(err, where)
			}
			step.Step, step.Note, told = edition.Spoil, "lost at "+h.Name+": "+in.Why, "lost at "+h.Name+": "+in.Why
		default:
			return p, fault.Invalidf("state", "%.20q is nothing that becomes of a print", string(in.State)).ToMend("use sold, back or lost")
		}
		if _, err := register.In(t.Turn).Take(step); err != nil {
			return p, err
		}
		if p.State == consign.Back {
			if err := t.sheet(e, p, 1, told); err != nil {
				return p, err
			}
		}
		if err := t.SaveConsignment(p); err != nil {
			return p, err
		}
		return p, t.Note(0, "%s %s", where, told)
	})
}

// steps are by which step of the register a print came to be what it is.
var steps = map[consign.State]edition.Step{consign.Out: edition.Consign, consign.Sold: edition.Sell, consign.Back: edition.Return, consign.Lost: edition.Spoil}

// TakeBack takes back what was noted last of a print: it is at the gallery again; or, when it was noted to have gone there, it never went.
// Faults: Missing; Refused when something happened to the number since.
func TakeBack(ctx context.Context, s *studio.Studio, print int64) (consign.Print, error) {
	return studio.Got(ctx, s, write, func(t *Consigning) (consign.Print, error) {
		p, err := t.Consignment(print)
		if err != nil {
			return p, err
		}
		e, err := t.EditionOf(p.Edition)
		if err != nil {
			return p, err
		}
		history, err := t.History(p.Edition, p.Number)
		if err != nil {
			return p, err
		}
		valid := edition.InForce(history)
		if p.State == consign.Void || len(valid) == 0 || valid[len(valid)-1].Step != steps[p.State] || valid[len(valid)-1].Turn < p.Turn {
			return p, fault.New(fault.Refused, "something happened to this number since").At("%s", consign.Label(p.Number, e)).In("print").ToMend("see its history in the register")
		}
		if err := register.In(t.Turn).Correct(e, p.Number, valid[len(valid)-1].Turn, "", "noted wrongly"); err != nil {
			return p, err
		}
		delta := 0
		switch was := p.State; was {
		case consign.Out:
			p.State, p.Ended, delta = consign.Void, t.Today, 1
		case consign.Back:
			delta = -1
			fallthrough
		default:
			p.State, p.Ended, p.Why = consign.Out, calendar.Day{}, ""
			p.Sold, p.Kept = money.Of(0, p.Price.Currency), money.Of(0, p.Price.Currency)
		}
		if delta != 0 {
			if err := t.sheet(e, p, delta, "noted wrongly"); err != nil {
				return p, err
			}
		}
		if err := t.SaveConsignment(p); err != nil {
			return p, err
		}
		return p, t.Note(0, "%s: what was noted at the gallery was taken back", consign.Label(p.Number, e))
	})
}

// Print returns one print at a gallery. Faults: Missing.
func Print(ctx context.Context, s *studio.Studio, id int64) (consign.Print, error) {
	return studio.Got(ctx, s, read, func(t *Consigning) (consign.Print, error) { return t.Consignment(id) })
}
