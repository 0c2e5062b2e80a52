package earned

import (
	"fmt"
	"slices"

	"solander/calendar"
	"solander/earnings"
	"solander/exchange"
	"solander/ledger"
	"solander/money"
	"solander/order"
	"solander/studio"
	"solander/yearly"
)

// SourceKind is of what kind a source is.
type SourceKind string

// The kinds of source.
const (
	FromOrder    SourceKind = "order"
	FromRun      SourceKind = "run"
	FromEdition  SourceKind = "edition"
	FromParcel   SourceKind = "parcel"
	FromCard     SourceKind = "price-card"
	FromFees     SourceKind = "fee-table"
	FromClaim    SourceKind = "claim"
	FromGallery  SourceKind = "gallery"
	FromFair     SourceKind = "fair"
	FromExchange SourceKind = "exchange"
	FromShelf    SourceKind = "shelf"
	FromYear     SourceKind = "year" // a line of the journal of a year
)

// Source is where a part came from. By its kind it has an id, a key, or both: of a parcel and of a fee table the id, with the order's mark and the
// outlet's name; of a price card its id and the service; of rates of exchange their day; of a gallery where on its page (ended, money, wholesale); of a year the row
// to which its line belongs, the month and the entry.
type Source struct {
	Kind    SourceKind `json:"kind"`
	ID      int64      `json:"id,omitempty"`
	Key     string     `json:"key,omitempty"`
	Service string     `json:"service,omitempty"`
	Month   int        `json:"month,omitempty"`
	Entry   int64      `json:"entry,omitempty"`
	Name    string     `json:"name"`
}

// CardLine is what a price card says of a parcel: its price, a surcharge, its cover. Minor units of the currency of what was paid.
type CardLine struct {
	Text   string       `json:"text"`
	Amount money.Amount `json:"amount"`
}

// Exchanged is a payment of an order that came in another currency than the studio's.
type Exchanged struct {
	Day    calendar.Day `json:"day"`
	Amount money.Amount `json:"amount"` // as it was noted
	Text   string       `json:"text"`   // what came, and by which rates
	Source Source       `json:"source"`
}

// exchanged are the payments of an order that came in another currency.
func (t *Earned) exchanged(o order.Order) (out []Exchanged, err error) {
	came, err := t.CameOf(o.ID)
	if err != nil {
		return nil, err
	}
	for _, p := range o.Payments {
		i := slices.IndexFunc(came, func(c exchange.Came) bool { return c.Payment == p.ID })
		if i >= 0 && !p.Reversed {
			out = append(out, Exchanged{p.Day, p.Amount, p.Note, Source{Kind: FromExchange, Key: p.Day.String(), Name: "rates of " + came[i].Amount.Currency}})
		}
	}
	return out, nil
}

// sourcing says where parts came from.
type sourcing struct {
	*Earned
	parcels   map[int64]studio.Parcel
	galleries map[int64]Source // by outlet
}

func (t *Earned) sourcing(parcels []studio.Parcel) (sourcing, error) {
	s := sourcing{t, map[int64]studio.Parcel{}, map[int64]Source{}}
	for _, p := range parcels {
		s.parcels[p.ID] = p
	}
	all, err := t.Galleries()
	if err != nil {
		return s, err
	}
	for _, g := range all {
		s.galleries[g.Outlet] = Source{Kind: FromGallery, ID: g.ID, Key: "wholesale", Name: g.Name}
	}
	return s, nil
}

// journalOf is the line of the journal that a part is; none while it is estimated.
func journalOf(x Piece) []Source {
	key, ok := yearly.RowOf(x.account)
	if !ok || x.Entry == 0 {
		return nil
	}
	y, m, _ := x.Day.Civil()
	return []Source{{Kind: FromYear, ID: int64(y), Key: key, Month: int(m), Entry: x.Entry, Name: fmt.Sprintf("entry %d", x.Entry)}}
}

// of are the sources of a part of an order; the first is the nearest.
func (s sourcing) of(x Piece, mark string) ([]Source, error) {
	gallery, sells := s.galleries[x.Outlet]
	switch {
	case x.account == ledger.Exchange:
		return append([]Source{{Kind: FromExchange, Key: x.Day.String(), Name: "rates of exchange"}}, journalOf(x)...), nil
	case x.Run != 0:
		return []Source{{Kind: FromRun, ID: x.Run, Name: fmt.Sprintf("run %d", x.Run)}}, nil
	case x.Part == earnings.OutletFee || x.Part == earnings.PaymentFee:
		u, err := s.OutletOf(x.Outlet)
		return append([]Source{{Kind: FromFees, ID: x.Outlet, Key: u.Name, Name: "fee table of " + u.Name}}, journalOf(x)...), err
	case x.Claim != 0:
		return []Source{{Kind: FromClaim, ID: x.Claim, Name: fmt.Sprintf("claim %d", x.Claim)}}, nil
	case x.Parcel != 0:
		out := []Source{{Kind: FromParcel, ID: x.Parcel, Key: mark, Name: fmt.Sprintf("parcel %d", x.Parcel)}}
		if p := s.parcels[x.Parcel].Plan; x.Part == earnings.Postage && p.Card != "" {
			out = append(out, Source{Kind: FromCard, Key: p.Card, Service: p.Service, Name: "price card " + p.Card})
		}
		return append(out, journalOf(x)...), nil
	case x.Part == earnings.Sheet && x.Edition != 0:
		return []Source{{Kind: FromEdition, ID: x.Edition, Name: "edition"}}, nil
	case x.Part == earnings.Price && sells: // it bought the print outright
		return []Source{{Kind: FromOrder, Key: mark, Name: "order " + mark}, gallery}, nil
	}
	return []Source{{Kind: FromOrder, Key: mark, Name: "order " + mark}}, nil
}

// byCard is what the price card says of the parcel of a part of postage; nothing of any other part.
func (s sourcing) byCard(x Piece) (out []CardLine) {
	p, known := s.parcels[x.Parcel]
	if x.Part != earnings.Postage || !known {
		return nil
	}
	for _, l := range p.Plan.Lines {
		if l.OfCard() {
			out = append(out, CardLine{l.Text, money.Of(l.Amount, p.Estimated.Currency)})
		}
	}
	return out
}

// ofNone is where an entry came from that belongs to no order; nothing of what was entered by hand.
func (s sourcing) ofNone(e ledger.Entry, l ledger.Line) (src Source, err error) {
	house, at := int64(0), "ended"
	switch id := e.Subject.ID; e.Subject.Kind {
	case ledger.Consignment:
		p, err := s.Consignment(id)
		if err != nil {
			return src, err
		}
		house = p.Gallery
	case ledger.GalleryMoney:
		m, err := s.GalleryMoney(id)
		if err != nil {
			return src, err
		}
		house, at = m.Gallery, "money"
	case ledger.Run:
		return Source{Kind: FromRun, ID: id, Name: fmt.Sprintf("run %d", id)}, nil
	case ledger.Claim:
		return Source{Kind: FromClaim, ID: id, Name: fmt.Sprintf("claim %d", id)}, nil
	case ledger.FairDay:
		return Source{Kind: FromFair, ID: id, Name: "day at the table"}, nil
	case ledger.Move:
		if l.Edition != 0 {
			return Source{Kind: FromEdition, ID: l.Edition, Name: s.editions[l.Edition].Name(s.Set.Units)}, nil
		}
		return Source{Kind: FromShelf, Name: "drawer and shelf"}, nil
	default:
		return src, nil
	}
	g, err := s.Gallery(house)
	return Source{Kind: FromGallery, ID: g.ID, Key: at, Name: g.Name}, err
}

// ofNoOrder opens what belongs to no order to the entries it is made of, the latest first.
func (t *Earned) ofNoOrder(q earnings.Query) ([]Piece, error) {
	entries, err := t.EarnedOfNoOrder(q, mostInside)
	if err != nil {
		return nil, err
	}
	s, err := t.sourcing(nil)
	if err != nil {
		return nil, err
	}
	if err := t.readEditions(); err != nil {
		return nil, err
	}
	var out []Piece
	for _, e := range entries {
		for _, l := range e.Lines {
			f, ok := earnings.Of(l.Account, l.Amount)
			if !ok || !q.HasNone(l.Edition, l.Outlet) || l.Order != 0 || f.Amount.Currency != t.Set.Currency {
				continue
			}
			src, err := s.ofNone(e, l)
			if err != nil {
				return nil, err
			}
			x := Piece{Part: f.Part, Amount: f.Amount, Day: e.Day, Text: e.Text, Outlet: l.Outlet, Edition: l.Edition, Entry: e.ID, account: l.Account}
			if src != (Source{}) {
				x.Sources = append(x.Sources, src)
			}
			x.Sources = append(x.Sources, journalOf(x)...)
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b Piece) int { return b.Day.Sub(a.Day) })
	return out, nil
}
