package movein

import (
	"fmt"

	"solander/buyers"
	"solander/calendar"
	"solander/edition"
	"solander/intake"
	"solander/intake/kept"
	"solander/order"
	"solander/studio"
)

// knowledge answers what a trial asks about the studio, from one transaction. What every row asks is read at once;
// the numbers of an edition when they are asked for first.
type knowledge struct {
	t       *MoveIn
	known   kept.Known
	outlets map[string]order.Outlet
	emails  map[string][]order.Buyer
	names   map[string][]order.Buyer
	titles  map[string][]edition.Edition
	numbers map[int64]map[edition.Number]studio.NumberRow
	places  map[int64][]order.Address
	apart   map[[2]int64]bool
	failed  error // the first reading that failed: the interface has no place for it
}

func (t *MoveIn) book() (*knowledge, error) {
	b := &knowledge{
		t: t, outlets: map[string]order.Outlet{}, emails: map[string][]order.Buyer{}, names: map[string][]order.Buyer{},
		titles: map[string][]edition.Edition{}, numbers: map[int64]map[edition.Number]studio.NumberRow{}, places: map[int64][]order.Address{},
	}
	var err error
	if b.known, err = t.Known(); err != nil {
		return nil, err
	}
	outlets, err := t.Outlets()
	if err != nil {
		return nil, err
	}
	for _, u := range outlets {
		b.outlets[intake.Fold(u.Name)] = u
	}
	for _, x := range b.known.Buyers {
		if x.Apart {
			continue
		}
		if e := order.EmailKey(x.Email); e != "" {
			b.emails[e] = append(b.emails[e], x)
		}
		n := order.NameKey(x.Name)
		b.names[n] = append(b.names[n], x)
	}
	if b.apart, err = buyers.In(t.Turn).KnownApart(); err != nil {
		return nil, err
	}
	eds, err := t.Editions()
	if err != nil {
		return nil, err
	}
	for _, e := range eds {
		f := intake.Fold(e.Title)
		b.titles[f] = append(b.titles[f], e)
	}
	return b, nil
}

// Outlet returns the outlet of that name.
func (b *knowledge) Outlet(name string) (order.Outlet, bool) {
	u, ok := b.outlets[intake.Fold(name)]
	return u, ok
}

// Buyers returns every writing of a buyer with that e-mail address, or with that name when it is "".
func (b *knowledge) Buyers(name, email string) []order.Buyer {
	if email != "" {
		return b.emails[order.EmailKey(email)]
	}
	return b.names[order.NameKey(name)]
}

// Places returns addresses to which orders of a buyer went.
func (b *knowledge) Places(person int64) []order.Address {
	if _, ok := b.places[person]; !ok {
		all, err := b.t.Places(person, buyers.MostPlaces)
		if err != nil && b.failed == nil {
			b.failed = fmt.Errorf("addresses of buyer %d: %w", person, err)
		}
		b.places[person] = all
	}
	return b.places[person]
}

// ToldApart reports whether two buyers were said to be different people.
func (b *knowledge) ToldApart(x, y int64) bool { return b.apart[buyers.Pair(x, y)] }

// Editions returns all editions of the works with that title.
func (b *knowledge) Editions(title string) []edition.Edition { return b.titles[intake.Fold(title)] }

// Papers returns the names of the studio's papers.
func (b *knowledge) Papers() []string {
	var all []string
	for _, p := range b.t.Set.Papers {
		all = append(all, p.Name)
	}
	return all
}

// ByRow returns the mark of the order that was made of the row.
func (b *knowledge) ByRow(hash string) (string, bool) {
	mark, ok := b.known.Rows[hash]
	return mark, ok
}

// ByRef returns the mark of the order with the outlet's reference.
func (b *knowledge) ByRef(outlet int64, ref string) (string, bool) {
	mark, ok := b.known.Refs[kept.RefKey{Outlet: outlet, Ref: ref}]
	return mark, ok
}

// Sale returns the mark of an order of that buyer and day with that number.
func (b *knowledge) Sale(buyer, ed int64, n edition.Number, placed calendar.Day) (string, bool) {
	mark, ok := b.known.Sales[kept.SaleKey{Buyer: buyer, Edition: ed, Number: n, Placed: placed}]
	return mark, ok
}

// Holder says who has a number, or how it stands when it is not free.
func (b *knowledge) Holder(ed int64, n edition.Number) (string, bool) {
	row, ok := b.row(ed, n)
	switch {
	case !ok || row.Standing.State == edition.Free || row.Standing.State == edition.Signed && row.Standing.Line == 0:
		return "", false
	case row.Standing.Line != 0 && row.OrderMark != "":
		return row.OrderMark, true
	case row.Standing.State == edition.Returned:
		return "", false
	}
	return string(row.Standing.State), true
}

func (b *knowledge) row(ed int64, n edition.Number) (studio.NumberRow, bool) {
	rows, ok := b.numbers[ed]
	if !ok {
		rows = map[edition.Number]studio.NumberRow{}
		all, err := b.t.Numbers(ed)
		if err != nil && b.failed == nil {
			b.failed = fmt.Errorf("numbers of edition %d: %w", ed, err)
		}
		for _, r := range all {
			rows[r.Number] = r
		}
		b.numbers[ed] = rows
	}
	r, ok := rows[n]
	return r, ok
}
