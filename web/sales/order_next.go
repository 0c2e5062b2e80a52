package sales

import (
	"fmt"
	"net/http"
	"strconv"

	"solander/bench"
	"solander/book"
	"solander/calendar"
	"solander/order"
	"solander/stockroom"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
	"solander/web/today"
)

// nextDeed is what an order is waiting for: the deed that stands at the top of its page.
type nextDeed struct {
	Say    string     // what is waited for, as a sentence
	Form   *form.Form // the deed; nil where a page leads to it
	Button string
	Lines  []lineView // that the deed signs
	Parcel []int64    // that the deed hands over
	Label  *parcelView
	Link   page.Link
}

// wayStep is one stage of an order's way.
type wayStep struct {
	Word string
	On   string // the day it was done, or is to be done by
	Done bool
	Here bool
}

// passed says the stages that lie behind an order.
var passed = map[order.Stage]string{
	order.AwaitsMoney: "paid", order.AwaitsSheet: "sheet there", order.AwaitsSigning: "signed", order.AwaitsPacking: "packed",
	order.AwaitsLabel: "labelled", order.AwaitsHandOver: "handed over",
}

// wayOf is the way of an order from the money to the hand-over, each stage with its day.
func wayOf(o studio.OrderView) []wayStep {
	var way []wayStep
	here := false
	for _, s := range order.Stages() {
		if s == order.AwaitsAddress && s != o.Stage || o.InPerson && (s == order.AwaitsPacking || s == order.AwaitsLabel) {
			continue // most orders come with an address; in person there is no parcel
		}
		word := s.Words()
		if !here && s != o.Stage {
			word = passed[s]
		}
		if s == order.Done && o.State != order.Open && o.State != order.Closed {
			word = string(o.State)
		}
		step := wayStep{Word: word, Here: s == o.Stage}
		here = here || step.Here
		step.Done = !here
		if day := doneOn(o, s); step.Done && !day.IsZero() || s == order.Done && !day.IsZero() && step.Here {
			step.On = day.Short()
		} else if s == order.AwaitsHandOver && o.State == order.Open {
			step.On = "by " + o.Promised.Short()
		}
		way = append(way, step)
	}
	return way
}

// doneOn is the day on which an order left a stage; no day when that is not known.
func doneOn(o studio.OrderView, s order.Stage) calendar.Day {
	if s == order.AwaitsMoney {
		return o.PaidOn()
	}
	kind := map[order.Stage]studio.MarkKind{
		order.AwaitsSigning: studio.MarkSigned, order.AwaitsPacking: studio.MarkPacked,
		order.AwaitsLabel: studio.MarkLabelled, order.AwaitsHandOver: studio.MarkHandedOver, order.Done: studio.MarkHandedOver,
	}[s]
	for _, m := range o.Marks { // the latest first
		if m.Kind == kind && !m.Undone && kind != "" {
			return m.Day
		}
	}
	return calendar.Day{}
}

// lackView is something that an order lacks, and where that is mended.
type lackView struct {
	order.Lack
	Link page.Link
}

// leftToTell is what a buyer is still to be told of an edition, and where that is said.
type leftToTell struct {
	bench.Tell
	Link page.Link
}

// most other orders of a buyer beside one.
const mostOthers = 5

// besides reads what stands beside an order: the buyer's other orders, and packaging of which nothing is left.
func (f *Book) besides(r *http.Request, p *OrderPage, v studio.OrderView) error {
	others, err := book.Orders(r.Context(), f.Seen(r), studio.OrderQuery{Buyer: v.Buyer, Limit: mostOthers + 1}, "")
	if err != nil {
		return err
	}
	for _, row := range page.RowsOf(others.Rows, p.Today) {
		if row.ID != v.ID && len(p.Others) < mostOthers {
			p.Others = append(p.Others, row)
		}
	}
	if v.State != order.Open {
		return nil
	}
	shelf, err := stockroom.Shelf(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	for _, item := range shelf {
		if item.Stock == 0 && !item.Retired {
			p.Empty = append(p.Empty, page.LinkTo(fmt.Sprintf("/shelf/%d", item.ID), item.Spec.Name))
		}
	}
	return nil
}

// next lays out what the order is waiting for. The plan may bring the deed of packing later.
func (p *OrderPage) next(v studio.OrderView) {
	switch {
	case v.State != order.Open:
	case v.Stage == order.AwaitsMoney:
		fm := form.New("next", fmt.Sprintf("/orders/%d/pay", v.ID))
		in := today.Owed(v.ID, p.inIts(v.Owed), v.Owed, p.Today)
		fm.Ask("kind", "").As("hidden").Is(string(in.Kind))
		fm.Ask("amount_in", "").As("hidden").Is(in.Amount.Currency)
		fm.Ask("amount", "").As("hidden").Is(in.Amount.Plain())
		fm.Ask("stood", "").As("hidden").Is(in.Seen.Plain())
		p.Next = nextDeed{Say: v.Owed.String() + " of " + v.Due.String() + " is owed", Form: fm, Button: "Paid, all of it"}
		switch {
		case p.Abroad.Changed:
			p.Next = nextDeed{Say: p.Next.Say + ", and the order was changed since it was agreed", Link: page.LinkTo("/earnings/currencies?order="+v.Mark+"#agree", "Agree its total anew")}
		case p.Abroad.Agreed.Stands():
			p.Next.Say = p.Abroad.Owed.String() + " of " + p.Abroad.Agreed.Total.String() + " is owed"
			p.Next.Button = "Paid, all of it, at today’s rate"
		}
	case v.Stage == order.AwaitsSheet:
		p.Next = sheetDeed(p.Lines)
	case v.Stage == order.AwaitsSigning:
		fm := form.New("next", "/sign")
		fm.Ask("order", "").As("hidden").Is(strconv.FormatInt(v.ID, 10))
		p.Next = nextDeed{Form: fm, Button: "All signed and numbered"}
		for _, l := range p.Lines {
			if l.ToSign {
				p.Next.Lines = append(p.Next.Lines, l)
			}
		}
		p.Next.Say = page.Many(len(p.Next.Lines), "print") + " to sign, in the drawer"
	case v.Stage == order.AwaitsAddress:
		p.Next = nextDeed{Say: "No label can be written: " + v.NoAddress(), Link: page.LinkTo("#h-to", "Write the address")}
	case v.Stage == order.AwaitsLabel:
		p.Next = nextDeed{Say: "Packed; it waits for its label"}
		for i := range p.Parcels {
			if pc := &p.Parcels[i]; pc.Parcel.State == studio.Packed && p.Next.Label == nil {
				p.Next.Label = pc
			}
		}
	case v.Stage == order.AwaitsHandOver && v.Override == nil && len(v.Tell) > 0:
		p.Next = nextDeed{Say: "Before it goes its buyer is told what the rules of " + v.Tell[0].State + " ask for", Link: tellLink(v.Tell[0])}
	case v.Stage == order.AwaitsHandOver && v.InPerson:
		fm := form.New("next", fmt.Sprintf("/orders/%d/hand-in", v.ID))
		fm.Ask("day", "").As("hidden").Is(p.Today.String())
		p.Next = nextDeed{Say: "The buyer takes it in person", Form: fm, Button: "Hand over in person"}
	case v.Stage == order.AwaitsHandOver:
		p.Next = handOverDeed(v)
	}
}

// Atop reports whether a parcel's label is the next deed, and stands at the top.
func (p *OrderPage) Atop(parcel int64) bool { return p.Next.Label != nil && p.Next.Label.ID == parcel }

// sheetDeed leads to what brings the sheet that is missing: the run that is under way, or a new one.
func sheetDeed(lines []lineView) nextDeed {
	for _, l := range lines {
		if l.Waits == "" {
			continue
		}
		d := nextDeed{Say: l.Ed.Title + ": " + l.Waits, Link: page.LinkTo(fmt.Sprintf("/runs/new?edition=%d", l.Edition), "Order sheets")}
		if l.Coming != nil {
			d.Link = page.LinkTo(fmt.Sprintf("/runs/%d", l.Coming.Run), "Take the sheets in")
		}
		return d
	}
	return nextDeed{}
}

// handOverDeed hands over what is labelled, as one batch of today.
func handOverDeed(v studio.OrderView) nextDeed {
	fm := form.New("next", "/hand-over")
	fm.Ask("back", "").As("hidden").Is("/orders/" + v.Mark)
	d := nextDeed{Say: "Labelled; it may go out today", Form: fm, Button: "Handed over"}
	for _, pc := range v.Parcels {
		if pc.State == studio.Labelled {
			d.Parcel = append(d.Parcel, pc.ID)
		}
	}
	return d
}

// tellLink leads to where the facts of an edition are said.
func tellLink(tell bench.Tell) page.Link {
	return page.LinkTo(fmt.Sprintf("/editions/%d/facts", tell.Edition), "Tell "+page.Many(tell.Facts, "fact"))
}

// mendOf leads to where a lack is mended.
func mendOf(v studio.OrderView, l order.Lack) page.Link {
	switch l.Rule {
	case order.LackMoney:
		return page.LinkTo("#h-money", "Money")
	case order.LackAddress:
		return page.LinkTo("#h-to", "Address")
	case order.LackSheet:
		for _, x := range v.Views {
			if !x.HasSheet && !x.Signed && !x.Sent && !x.Dropped {
				return page.LinkTo(fmt.Sprintf("/runs/new?edition=%d", x.Edition), "Order sheets")
			}
		}
	case order.LackPlan:
		return page.LinkTo("/drawer#h-shelf", "Restock")
	case order.LackFacts:
		for _, tell := range v.Tell {
			if tell.Text == l.What {
				return tellLink(tell)
			}
		}
	}
	return page.Link{}
}
