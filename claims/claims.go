// Package claims is the use cases of claims on operators: told, photographed, filed, answered, paid, made good to the buyer by a replacement or a
// refund, closed, taken back. Each deed is one transaction, with what it changes of the register and of the order.
package claims

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"solander/book"
	"solander/calendar"
	"solander/claim"
	"solander/dayplan"
	"solander/fault"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/tariff"
)

// Store is what this room asks of the store.
type Store interface {
	claim.Store
	Parcel(id int64) (studio.Parcel, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	OrderEntries(ids []int64) ([]ledger.Entry, error)
	Marks(orderID int64) ([]studio.Mark, error)
	UndoMark(id int64) error
}

// Claims is one transaction as this room sees it.
type Claims struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Claims { return &Claims{t, t.Tx} }

var write, read = studio.Doors(In)

// Print is a print that a claim is about.
type Print struct {
	order.Line
	Mark string `json:"mark"` // of its order
	Name string `json:"name"` // "17/250 Heron at dusk"
}

// Bought is what the prints of a claim that are of one order were sold for.
type Bought struct {
	Order  int64        `json:"order"`
	Mark   string       `json:"mark"`
	Price  money.Amount `json:"price"`  // in the book's currency
	Prints money.Amount `json:"prints"` // the same in the currency in which the order is owed
	Paid   money.Amount `json:"paid"`   // of all of the order, in that, less what was paid back
}

// View is a claim with what is told beside it.
type View struct {
	claim.Claim
	Terms   claim.Terms   `json:"terms"`
	Marks   []string      `json:"marks"` // of the orders of the parcel
	Buyer   string        `json:"buyer"`
	Service string        `json:"service"`
	Prints  []Print       `json:"prints"`
	Bought  []Bought      `json:"bought,omitempty"`  // of one claim that is looked at
	Sending []string      `json:"sending,omitempty"` // of a replacement, what is still in the house
	Photos  []claim.Photo `json:"photos"`
	Todo    []claim.Due   `json:"todo"`
	MayUndo bool          `json:"may_take_back"` // what was noted last can be taken back
}

// List returns claims, the latest told first: open ones, or all but those that were noted wrongly.
func List(ctx context.Context, s *studio.Studio, all bool) ([]View, error) {
	return studio.Got(ctx, s, read, func(t *Claims) ([]View, error) {
		return t.Views(s, claim.Query{Open: !all})
	})
}

// OfOrder returns the claims for the parcels of an order.
func OfOrder(ctx context.Context, s *studio.Studio, id int64) ([]View, error) {
	return studio.Got(ctx, s, read, func(t *Claims) ([]View, error) { return t.Views(s, claim.Query{Order: id}) })
}

// Claim returns one. Faults: Missing.
func Claim(ctx context.Context, s *studio.Studio, id int64) (View, error) {
	return studio.Got(ctx, s, read, func(t *Claims) (View, error) {
		c, err := t.Claim(id)
		if err != nil {
			return View{}, err
		}
		cards, err := s.AllCards(t.Turn)
		if err != nil {
			return View{}, err
		}
		v, err := t.view(c, cards)
		if err != nil || c.State == claim.Void {
			return v, err
		}
		if v.Bought, err = t.bought(v.Prints); err != nil {
			return v, err
		}
		_, _, err = t.latest(c)
		if v.MayUndo = err == nil; fault.Is(err, fault.Refused) {
			err = nil
		}
		return v, err
	})
}

// Told is a parcel of which something may be told.
type Told struct {
	Parcel int64   `json:"parcel"`
	Mark   string  `json:"mark"`  // of the order under which it goes
	Sent   bool    `json:"sent"`  // it was handed over
	Claim  int64   `json:"claim"` // that it has; 0 = none
	Prints []Print `json:"prints"`
}

// OfParcel returns what a parcel holds, and which claim it has. Faults: Missing.
func OfParcel(ctx context.Context, s *studio.Studio, parcel int64) (Told, error) {
	return studio.Got(ctx, s, read, func(t *Claims) (Told, error) {
		p, err := t.Parcel(parcel)
		if err != nil {
			return Told{}, err
		}
		v, err := t.view(claim.Claim{Parcel: p.ID, Order: p.Order, Lines: p.Lines}, nil)
		if err != nil {
			return Told{}, err
		}
		out := Told{Parcel: p.ID, Prints: v.Prints, Sent: p.State == studio.HandedOver}
		for _, x := range v.Prints {
			if x.Order == p.Order {
				out.Mark = x.Mark
			}
		}
		all, err := t.Claims(claim.Query{Parcel: p.ID})
		if err != nil {
			return out, err
		}
		for _, c := range all {
			if c.State != claim.Void {
				out.Claim = c.ID
			}
		}
		return out, nil
	})
}

// Open returns the open claims as they stand on the bench.
func (t *Claims) Open(s *studio.Studio) ([]View, error) { return t.Views(s, claim.Query{Open: true}) }

// Views are claims with what is told beside each, but those that were noted wrongly.
func (t *Claims) Views(s *studio.Studio, q claim.Query) ([]View, error) {
	all, err := t.Claims(q)
	if err != nil || len(all) == 0 {
		return nil, err
	}
	cards, err := s.AllCards(t.Turn)
	if err != nil {
		return nil, err
	}
	var out []View
	for _, c := range all {
		if c.State == claim.Void {
			continue
		}
		v, err := t.view(c, cards)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

func (t *Claims) view(c claim.Claim, cards []dayplan.Card) (View, error) {
	v := View{Claim: c}
	p, err := t.Parcel(c.Parcel)
	if err != nil {
		return v, err
	}
	orders, err := t.OrdersByID(p.OrderIDs())
	if err != nil {
		return v, err
	}
	for _, o := range orders {
		v.Marks = append(v.Marks, o.Mark)
		if o.ID == c.Order {
			b, err := t.BuyerOf(o.Buyer)
			if err != nil {
				return v, err
			}
			v.Buyer = b.Name
		}
		for _, l := range o.Lines {
			e, err := t.EditionOf(l.Edition)
			if err != nil {
				return v, err
			}
			name := studio.Named(l.Number.Of(e), e.Title)
			if slices.Contains(c.Lines, l.ID) {
				v.Prints = append(v.Prints, Print{l, o.Mark, name})
			}
			if slices.Contains(c.Instead, l.ID) && !l.Sent && !l.Dropped {
				v.Sending = append(v.Sending, name)
			}
		}
	}
	slices.Sort(v.Marks)
	v.Terms, v.Service = t.terms(p, c.Kind, v.Prints, cards)
	v.Todo = c.Todo(v.Terms, t.Today, v.Sending)
	v.Photos, err = t.ClaimPhotos(c.ID)
	return v, err
}

// terms are by what a claim for a parcel is filed: the days of its card, and its cover. name is that of its service.
func (t *Claims) terms(p studio.Parcel, kind claim.Kind, prints []Print, cards []dayplan.Card) (out claim.Terms, name string) {
	out = claim.Terms{Posted: p.HandedOver, Cover: money.Of(0, t.Set.Currency), Worth: money.Of(0, t.Set.Currency)}
	for _, x := range prints {
		out.Worth.Minor += x.Price.Minor
	}
	if p.Service == p.Plan.Service {
		out.Cover.Minor = p.Plan.Cover
	}
	card, service := serviceOf(p, cards)
	if service == nil {
		return out, p.Service
	}
	out.Card = card.ID
	if service.Cover != nil {
		out.Cover.Minor = max(out.Cover.Minor, service.Cover.Included)
	}
	if w := windowOf(service, kind); w != nil {
		out.First, out.Last, out.Stated = w.Days(p.HandedOver)
		out.Words, out.Note = w.Words(), w.Note
		out.Source, out.Status = cmp.Or(w.Source, service.Source, card.Source), cmp.Or(w.Status, service.Status, card.Status)
	}
	return out, service.Name
}

// serviceOf is the service by which a parcel went, by the card that it was planned by, or another that held on its day.
func serviceOf(p studio.Parcel, cards []dayplan.Card) (*tariff.Card, *tariff.Service) {
	var found *tariff.Card
	for i := range cards {
		c := &cards[i].Card
		holds := !p.HandedOver.Before(c.From) && (c.To.IsZero() || !p.HandedOver.After(c.To))
		if c.Service(p.Service) == nil || c.ID != p.Plan.Card && !holds {
			continue
		}
		if found == nil || c.ID == p.Plan.Card {
			found = c
		}
	}
	if found == nil {
		return nil, nil
	}
	return found, found.Service(p.Service)
}

func windowOf(s *tariff.Service, kind claim.Kind) *tariff.Window {
	if s.Claims == nil {
		return nil
	}
	return map[claim.Kind]*tariff.Window{claim.Damaged: s.Claims.Damaged, claim.Lost: s.Claims.Lost, claim.Missing: s.Claims.Missing}[kind]
}

// losses are what sending prints had cost, by the journal as it stands.
func (t *Claims) losses(prints []Print) ([]claim.Loss, error) {
	var ids []int64
	for _, p := range prints {
		if !slices.Contains(ids, p.Order) {
			ids = append(ids, p.Order)
		}
	}
	entries, err := t.OrderEntries(ids)
	if err != nil {
		return nil, err
	}
	none := money.Of(0, t.Set.Currency)
	var out []claim.Loss
	for _, p := range prints {
		o, err := t.OrdersByID([]int64{p.Order})
		if err != nil {
			return nil, err
		}
		l := claim.Loss{Order: p.Order, Line: p.ID, Edition: p.Edition, Outlet: o[0].Outlet, Print: none, Packing: none, Postage: none}
		for _, e := range entries {
			for _, x := range e.Lines {
				to := map[string]*money.Amount{ledger.CostOfPrints: &l.Print, ledger.PackagingUsed: &l.Packing, ledger.PostagePaid: &l.Postage}[x.Account]
				if x.Line == p.ID && to != nil && x.Amount.Currency == none.Currency {
					to.Minor += x.Amount.Minor
				}
			}
		}
		out = append(out, l)
	}
	return out, nil
}

// Unclaimed refuses what would take a parcel back into the house while it has a claim. Faults: Refused.
func (t *Claims) Unclaimed(parcel int64) error {
	all, err := t.Claims(claim.Query{Parcel: parcel})
	if err != nil {
		return err
	}
	for _, c := range all {
		if c.State != claim.Void {
			return fault.New(fault.Refused, "parcel %d has a claim, %d", parcel, c.ID).ToMend("take the claim back first, if it was noted wrongly")
		}
	}
	return nil
}

// UndoClaim is what taking a deed of a claim back needs.
type UndoClaim struct {
	Claim  int64           `json:"claim"`
	Turn   int             `json:"turn"`             // the claim's, after the deed
	Was    *claim.Claim    `json:"was,omitempty"`    // before it; none: there was none
	Repaid []Repaid        `json:"repaid,omitempty"` // what was paid back with it, of prints that the buyer keeps
	Gone   []book.CameBack `json:"gone,omitempty"`   // what was given up and paid back with it
	Again  []book.Replaced `json:"again,omitempty"`  // what is sent again by it
}

// Repaid is a refund that a deed of a claim noted.
type Repaid struct {
	Order   int64 `json:"order"`
	Payment int64 `json:"payment"`
}

// keep saves a claim as it stands after a deed, and tells it in the journal of its order so that it can be taken back.
func (t *Claims) keep(was, is claim.Claim, text string, args ...any) (claim.Claim, error) {
	return t.keepUndo(is, UndoClaim{Was: &was}, text, args...)
}

// keepUndo does so with what else is taken back with the deed.
func (t *Claims) keepUndo(is claim.Claim, u UndoClaim, text string, args ...any) (claim.Claim, error) {
	is.Turn = u.Was.Turn + 1
	if err := t.SaveClaim(is); err != nil {
		return is, err
	}
	u.Claim, u.Turn = is.ID, is.Turn
	_, err := t.Journal(studio.MarkClaim, is.Order, u, "claim %d: %s", is.ID, fmt.Sprintf(text, args...))
	return is, err
}

// Undo takes the latest deed of a claim back, with what was paid back, given up and sent again by it. Faults: Refused when something was noted since;
// those of book.UndoPay, book.UndoBack and book.UndoReplace.
func (t *Claims) Undo(u UndoClaim) error {
	c, err := t.Claim(u.Claim)
	if err != nil {
		return err
	}
	if c.Turn != u.Turn || c.State == claim.Void {
		return fault.New(fault.Refused, "something was noted of the claim since").At("claim %d", c.ID).ToMend("take the later deed back first")
	}
	if u.Was == nil {
		c.State, c.Ended, c.Turn = claim.Void, t.Today, c.Turn+1
		return t.SaveClaim(c)
	}
	for _, r := range u.Repaid {
		if err := book.In(t.Turn).UndoPaidBy(r.Order, r.Payment); err != nil {
			return err
		}
	}
	for _, g := range u.Gone {
		if err := book.In(t.Turn).UndoBack(g); err != nil {
			return err
		}
	}
	for _, r := range u.Again {
		if err := book.UndoReplace(book.In(t.Turn), r); err != nil {
			return err
		}
	}
	return t.SaveClaim(*u.Was)
}

// Unpaid refuses that a payment is taken back alone that a deed of a claim noted. Faults: Refused.
func (t *Claims) Unpaid(orderID, payment int64) error {
	all, err := t.Claims(claim.Query{Order: orderID})
	if err != nil {
		return err
	}
	for _, c := range all {
		if c.Made != claim.Kept || c.State == claim.Void {
			continue
		}
		deeds, err := t.deeds(c)
		if err != nil {
			return err
		}
		for _, d := range deeds {
			if slices.Contains(d.Repaid, Repaid{orderID, payment}) {
				return fault.New(fault.Refused, "it was paid back for claim %d", c.ID).ToMend("take it back on the page of the claim, which puts both right")
			}
		}
	}
	return nil
}

// TakeBack takes back what was noted of a claim last: it stands as before, or, when it was only told, nothing was wrong.
// Faults: Missing; Refused when that cannot be taken back.
func TakeBack(ctx context.Context, s *studio.Studio, id int64) (claim.Claim, error) {
	return studio.Got(ctx, s, write, func(t *Claims) (claim.Claim, error) {
		c, err := t.Claim(id)
		if err != nil {
			return c, err
		}
		m, u, err := t.latest(c)
		if err != nil {
			return c, err
		}
		if err := t.Undo(u); err != nil {
			return c, err
		}
		if err := t.UndoMark(m.ID); err != nil {
			return c, err
		}
		return t.Claim(id)
	})
}

// latest is the mark of the latest deed of a claim.
func (t *Claims) latest(c claim.Claim) (studio.Mark, UndoClaim, error) {
	none := fault.New(fault.Refused, "what was noted last cannot be taken back").At("claim %d", c.ID).In("claim").ToMend("put it right on the page of the order")
	deeds, err := t.deeds(c)
	if err != nil {
		return studio.Mark{}, UndoClaim{}, err
	}
	for _, d := range deeds {
		if d.Turn == c.Turn {
			return d.mark, d.UndoClaim, nil
		}
	}
	return studio.Mark{}, UndoClaim{}, none
}

// told is a deed of a claim with the mark that tells of it.
type told struct {
	UndoClaim
	mark studio.Mark
}

// deeds are those of a claim that can be taken back, the latest first.
func (t *Claims) deeds(c claim.Claim) ([]told, error) {
	marks, err := t.Marks(c.Order)
	if err != nil {
		return nil, err
	}
	var out []told
	for _, m := range marks {
		if m.Kind != studio.MarkClaim || m.Undone || m.Erased() {
			continue
		}
		u, err := undoOf(m)
		if err != nil {
			return nil, err
		}
		if u.Claim == c.ID {
			out = append(out, told{u, m})
		}
	}
	return out, nil
}

// tidy trims what was typed.
func tidy(texts ...*string) {
	for _, x := range texts {
		*x = strings.TrimSpace(*x)
	}
}

// sane looks at a day and an amount alone.
func sane(l *fault.List, day calendar.Day, field string, a money.Amount) {
	l.Add(studio.Sane("day", day))
	if field != "" {
		l.Add(studio.Amount(field, a))
	}
}
