package studio

import (
	"fmt"

	"solander/calendar"
	"solander/edition"
	"solander/intake"
	"solander/order"
)

// book answers what a trial asks about the studio, from one transaction. What every row asks is read at once;
// the numbers of an edition when they are asked for first.
type book struct {
	t       *turn
	known   Known
	outlets map[string]order.Outlet
	emails  map[string][]order.Buyer
	names   map[string][]order.Buyer
	titles  map[string][]edition.Edition
	numbers map[int64]map[edition.Number]NumberRow
	places  map[int64][]order.Address
	apart   map[[2]int64]bool
	failed  error // the first reading that failed: the interface has no place for it
}

func (t *turn) book() (*book, error) {
	b := &book{
		t: t, outlets: map[string]order.Outlet{}, emails: map[string][]order.Buyer{}, names: map[string][]order.Buyer{},
		titles: map[string][]edition.Edition{}, numbers: map[int64]map[edition.Number]NumberRow{}, places: map[int64][]order.Address{},
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
	if b.apart, err = t.toldApart(); err != nil {
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
func (b *book) Outlet(name string) (order.Outlet, bool) {
	u, ok := b.outlets[intake.Fold(name)]
	return u, ok
}

// Buyers returns every writing of a buyer with that e-mail address, or with that name when it is "".
func (b *book) Buyers(name, email string) []order.Buyer {
	if email != "" {
		return b.emails[order.EmailKey(email)]
	}
	return b.names[order.NameKey(name)]
}

// Places returns addresses to which orders of a buyer went.
func (b *book) Places(person int64) []order.Address {
	if _, ok := b.places[person]; !ok {
		all, err := b.t.Places(person, mostPlaces)
		if err != nil && b.failed == nil {
			b.failed = fmt.Errorf("addresses of buyer %d: %w", person, err)
		}
		b.places[person] = all
	}
	return b.places[person]
}

// ToldApart reports whether two buyers were said to be different people.
func (b *book) ToldApart(x, y int64) bool { return b.apart[pair(x, y)] }

// Editions returns all editions of the works with that title.
func (b *book) Editions(title string) []edition.Edition { return b.titles[intake.Fold(title)] }

// Papers returns the names of the studio's papers.
func (b *book) Papers() []string {
	var all []string
	for _, p := range b.t.set.Papers {
		all = append(all, p.Name)
	}
	return all
}

// ByRow returns the mark of the order that was made of the row.
func (b *book) ByRow(hash string) (string, bool) {
	mark, ok := b.known.Rows[hash]
	return mark, ok
}

// ByRef returns the mark of the order with the outlet's reference.
func (b *book) ByRef(outlet int64, ref string) (string, bool) {
	mark, ok := b.known.Refs[RefKey{Outlet: outlet, Ref: ref}]
	return mark, ok
}

// Sale returns the mark of an order of that buyer and day with that number.
func (b *book) Sale(buyer, ed int64, n edition.Number, placed calendar.Day) (string, bool) {
	mark, ok := b.known.Sales[SaleKey{Buyer: buyer, Edition: ed, Number: n, Placed: placed}]
	return mark, ok
}

// Holder says who has a number, or how it stands when it is not free.
func (b *book) Holder(ed int64, n edition.Number) (string, bool) {
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

func (b *book) row(ed int64, n edition.Number) (NumberRow, bool) {
	rows, ok := b.numbers[ed]
	if !ok {
		rows = map[edition.Number]NumberRow{}
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
