package earned

import (
	"context"
	"slices"

	"solander/calendar"
	"solander/earnings"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/tariff"
)

// Piece is one part of what an order earned, with where it came from.
type Piece struct {
	Part      earnings.Part `json:"part"`
	Amount    money.Amount  `json:"amount"` // a cost is less than nothing
	Estimated bool          `json:"estimated,omitempty"`
	Day       calendar.Day  `json:"day,omitzero"`
	Text      string        `json:"text"`
	Print     string        `json:"print,omitempty"` // "17/250 Heron at dusk"
	Run       int64         `json:"run,omitempty"`
	Parcel    int64         `json:"parcel,omitempty"`
	Claim     int64         `json:"claim,omitempty"` // on its operator
	Outlet    int64         `json:"outlet,omitempty"`
	Edition   int64         `json:"edition,omitempty"`
	Entry     int64         `json:"entry,omitempty"`   // of the journal; 0 = estimated
	Sources   []Source      `json:"sources"`           // where it came from, the nearest first
	ByCard    []CardLine    `json:"by_card,omitempty"` // of postage, what the price card says of the whole parcel

	account string // of the journal
}

// OrderEarned is what an order earned.
type OrderEarned struct {
	earnings.Group
	Mark      string      `json:"mark"`
	Pieces    []Piece     `json:"pieces"`
	Exchanged []Exchanged `json:"paid_in_another_currency,omitempty"`
	// Minutes is what her minutes of packing come to at the wage of the settings, as planned; nothing while she set none. The
	// journal does not hold it: nobody pays it.
	Minutes money.Amount `json:"minutes"`
}

// AfterMinutes is what is left when her minutes are taken off, too.
func (e OrderEarned) AfterMinutes() money.Amount {
	return money.Of(e.Left().Both()-e.Minutes.Minor, e.Currency)
}

// OfOrder says what an order earned, part by part: what the journal says, and of prints that are still in the house an estimate.
// Faults: Missing.
func OfOrder(ctx context.Context, s *studio.Studio, id int64) (OrderEarned, error) {
	return studio.Got(ctx, s, read, func(t *Earned) (OrderEarned, error) { return t.ofOrder(id) })
}

func (t *Earned) ofOrder(id int64) (OrderEarned, error) {
	o, err := t.Order(id)
	if err != nil {
		return OrderEarned{}, err
	}
	out := OrderEarned{Mark: o.Mark, Group: earnings.Group{Key: o.Mark, Name: o.Mark, Currency: t.Set.Currency}, Pieces: []Piece{}}
	if err := t.readEditions(); err != nil {
		return out, err
	}
	entries, err := t.OrderEntries([]int64{id})
	if err != nil {
		return out, err
	}
	for _, e := range entries {
		for _, l := range e.Lines {
			if f, ok := earnings.Of(l.Account, l.Amount); ok && l.Order == id {
				out.Pieces = append(out.Pieces, t.piece(o, e, l, f))
			}
		}
	}
	if o.State == order.Open {
		h, err := t.house(t.Today)
		if err != nil {
			return out, err
		}
		for _, w := range h.prints(t, o) {
			for _, f := range w.Estimate() {
				p := Piece{Part: f.Part, Amount: f.Amount, Estimated: true, Text: "not yet out of the house", Print: t.print(o, f.Line), Outlet: o.Outlet, Edition: f.Edition}
				switch f.Part {
				case earnings.Sheet:
					p.Run = w.Run
				case earnings.Packaging, earnings.Postage:
					p.Parcel = h.parcels[f.Line].ID
				}
				out.Pieces = append(out.Pieces, p)
			}
		}
	}
	parcels, err := t.Parcels(o.ID)
	if err != nil {
		return out, err
	}
	out.Minutes = t.minutes(o, parcels)
	if out.Exchanged, err = t.exchanged(o); err != nil {
		return out, err
	}
	out.Pieces = together(out.Pieces)
	from, err := t.sourcing(parcels)
	if err != nil {
		return out, err
	}
	for i := range out.Pieces {
		p := &out.Pieces[i]
		if p.Sources, err = from.of(*p, o.Mark); err != nil {
			return out, err
		}
		p.ByCard = from.byCard(*p)
	}
	for _, p := range out.Pieces {
		if p.Amount.Currency == out.Currency {
			out.Add(earnings.Fact{Part: p.Part, Amount: p.Amount, Estimated: p.Estimated})
		}
	}
	out.Sorted()
	all := earnings.Parts()
	slices.SortStableFunc(out.Pieces, func(a, b Piece) int { return slices.Index(all, a.Part) - slices.Index(all, b.Part) })
	return out, nil
}

// minutes are what packing an order took at her wage, as its parcels were planned.
func (t *Earned) minutes(o order.Order, parcels []studio.Parcel) money.Amount {
	sum := money.Of(0, t.Set.Currency)
	for _, p := range parcels {
		for _, l := range p.Plan.Lines {
			if l.Rule == tariff.Work {
				sum.Minor += p.ShareOf(o.Mark, money.Of(l.Amount, sum.Currency)).Minor
			}
		}
	}
	return sum
}

func (t *Earned) piece(o order.Order, e ledger.Entry, l ledger.Line, f earnings.Fact) Piece {
	p := Piece{Part: f.Part, Amount: f.Amount, Day: e.Day, Text: e.Text, Print: t.print(o, l.Line), Run: l.Run, Outlet: l.Outlet, Edition: l.Edition, Entry: e.ID, account: l.Account}
	if e.Subject.Kind == ledger.Parcel {
		p.Parcel = e.Subject.ID
	}
	if e.Subject.Kind == ledger.Claim {
		p.Claim = e.Subject.ID
	}
	if p.Part == earnings.Packaging && p.Parcel == 0 {
		if at, ok := studio.LineOf(o, l.Line); ok {
			p.Parcel = at.Parcel
		}
	}
	return p
}

// print names a print of an order; "" when it is not of one.
func (t *Earned) print(o order.Order, line int64) string {
	l, ok := studio.LineOf(o, line)
	if !ok {
		return ""
	}
	e := t.editions[l.Edition]
	return studio.Named(l.Number.Of(e), e.Title)
}

// together adds up pieces of one part, print and source, such as an amount and its correction, and leaves out what comes to nothing.
func together(pieces []Piece) []Piece {
	var out []Piece
	for _, p := range pieces {
		i := slices.IndexFunc(out, func(q Piece) bool {
			return q.Part == p.Part && q.Print == p.Print && q.Run == p.Run && q.Parcel == p.Parcel && q.Claim == p.Claim && q.Estimated == p.Estimated && q.Text == p.Text && q.Amount.Currency == p.Amount.Currency
		})
		if i < 0 {
			out = append(out, p)
			continue
		}
		out[i].Amount.Minor += p.Amount.Minor
	}
	return slices.DeleteFunc(out, func(p Piece) bool { return p.Amount.IsZero() })
}
