package desk

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/book"
	"solander/buyers"
	"solander/calendar"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// OrderNamed finds an order by its mark ("S-1042", "s-1042") or its id.
func (d *Open) OrderNamed(name string) (studio.OrderView, error) {
	name = strings.TrimSpace(name)
	if id, err := strconv.ParseInt(name, 10, 64); err == nil {
		return book.Order(d.Ctx, d.Studio, id)
	}
	v, err := book.OrderByMark(d.Ctx, d.Studio, strings.ToUpper(name))
	if fault.Is(err, fault.Missing) {
		return v, fault.New(fault.Missing, "there is no order %.40q", name).In("order").ToMend("solander orders lists them")
	}
	return v, err
}

// EditionNamed finds an edition by its id or by words of its name that fit no other: "heron 12x16 fine".
func (d *Open) EditionNamed(name string) (studio.EditionRow, error) {
	works, err := register.Works(d.Ctx, d.Studio)
	if err != nil {
		return studio.EditionRow{}, err
	}
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return studio.EditionRow{}, err
	}
	var rows []studio.EditionRow
	for _, w := range works {
		rows = append(rows, w.Editions...)
	}
	full := func(r studio.EditionRow) string { return r.Name(set.Units) + ", " + r.Paper }
	return Pick(rows, name, "edition", "solander works", func(r studio.EditionRow) int64 { return r.ID }, full)
}

// WorkNamed finds a work by its number or by words of its title that fit no other.
func (d *Open) WorkNamed(name string) (register.WorkView, error) {
	works, err := register.Works(d.Ctx, d.Studio)
	if err != nil {
		return register.WorkView{}, err
	}
	return Pick(works, name, "work", "solander works", func(w register.WorkView) int64 { return w.ID }, func(w register.WorkView) string { return w.Title })
}

// OutletNamed finds an outlet by its id or by words of its name that fit no other.
func (d *Open) OutletNamed(name string) (order.Outlet, error) {
	outlets, err := house.Outlets(d.Ctx, d.Studio)
	if err != nil {
		return order.Outlet{}, err
	}
	return Pick(outlets, name, "outlet", "solander outlets", func(o order.Outlet) int64 { return o.ID }, func(o order.Outlet) string { return o.Name })
}

// ShelfNamed finds a shelf item by its id, its key or by words of its name that fit no other.
func (d *Open) ShelfNamed(name string) (studio.ShelfItem, error) {
	items, err := stockroom.Shelf(d.Ctx, d.Studio)
	if err != nil {
		return studio.ShelfItem{}, err
	}
	for _, i := range items {
		if i.Spec.ID == name {
			return i, nil
		}
	}
	return Pick(items, name, "item", "solander shelf", func(i studio.ShelfItem) int64 { return i.ID }, func(i studio.ShelfItem) string { return i.Spec.Name })
}

// Pick chooses the one of rows that a person named: by id, by its whole name, or by words that only it
// has. Faults: Missing for none, Invalid for several, with their names.
func Pick[T any](rows []T, name, field, lists string, id func(T) int64, full func(T) string) (T, error) {
	var fits []T
	want := fold(name)
	number, numErr := strconv.ParseInt(strings.TrimSpace(name), 10, 64)
	for _, r := range rows {
		have := fold(full(r))
		switch {
		case numErr == nil && id(r) == number, strings.Join(have, " ") == strings.Join(want, " "):
			return r, nil
		case numErr != nil && len(want) > 0 && hasAll(have, want):
			fits = append(fits, r)
		}
	}
	return only(fits, name, field, field, lists, func(r T) string { return fmt.Sprintf("%d %s", id(r), full(r)) })
}

// BuyerNamed finds a buyer by number, by the whole name, or by words of name, e-mail address or telephone number that fit no other.
func (d *Open) BuyerNamed(name, field string) (int64, error) {
	name = strings.TrimSpace(name)
	if id, err := strconv.ParseInt(name, 10, 64); err == nil {
		return id, nil
	}
	page, err := buyers.Buyers(d.Ctx, d.Studio, studio.BuyerQuery{Text: name, Limit: studio.MostPage})
	if err != nil {
		return 0, err
	}
	var whole []buyers.BuyerRow
	for _, b := range page.Rows {
		if strings.EqualFold(b.Name, name) || strings.EqualFold(b.Email, name) {
			whole = append(whole, b)
		}
	}
	rows := page.Rows
	if len(whole) > 0 {
		rows = whole
	}
	b, err := only(rows, name, "buyer", field, "solander buyers", func(b buyers.BuyerRow) string {
		return fmt.Sprintf("%d %s", b.ID, strings.Join(Filled(b.Name, b.Email), ", "))
	})
	return b.ID, err
}

// BuyersNamed finds buyers as BuyerNamed does.
func (d *Open) BuyersNamed(names []string, field string) ([]int64, error) {
	var ids []int64
	for _, name := range names {
		id, err := d.BuyerNamed(name, field)
		if err != nil {
			return nil, err
		}
		ids = append(ids, id)
	}
	return ids, nil
}

// LineNamed finds a line by its number, or by its order's mark, with the number of its print where the order has several:
// "S-1042", "S-1042 17/250".
func (d *Open) LineNamed(name string) (order.Line, error) {
	if id, err := strconv.ParseInt(strings.TrimSpace(name), 10, 64); err == nil {
		return order.Line{ID: id}, nil
	}
	mark, number, _ := strings.Cut(strings.TrimSpace(name), " ")
	v, err := d.OrderNamed(mark)
	if err != nil {
		return order.Line{}, err
	}
	var fits []studio.LineView
	for _, l := range v.Views {
		if !l.Dropped && (number == "" || strings.EqualFold(l.Label, number) || strings.EqualFold(strings.Split(l.Label, "/")[0], number)) {
			fits = append(fits, l)
		}
	}
	l, err := only(fits, name, "line", "line", "solander order "+v.Mark, func(l studio.LineView) string {
		return fmt.Sprintf("%d %s %s", l.ID, l.Label, l.Ed.Name(d.Units()))
	})
	return l.Line, err
}

// RunNamed finds a lab run by its number, or by words of its edition's name when that has one open run only.
func (d *Open) RunNamed(name string) (stockroom.RunView, error) {
	number, noNumber := strconv.ParseInt(strings.TrimSpace(name), 10, 64)
	rows, err := stockroom.Runs(d.Ctx, d.Studio, noNumber != nil)
	if err != nil {
		return stockroom.RunView{}, err
	}
	full := func(r stockroom.RunView) string { return r.Ed.Name(d.Units()) }
	var fits []stockroom.RunView
	for _, r := range rows {
		if noNumber == nil && r.ID == number || noNumber != nil && hasAll(fold(full(r)), fold(name)) {
			fits = append(fits, r)
		}
	}
	return only(fits, name, "run", "run", "solander runs", func(r stockroom.RunView) string {
		return fmt.Sprintf("%d %s, %s", r.ID, full(r), r.Lab)
	})
}

// HandOverNamed finds a hand-over by its number or its day.
func (d *Open) HandOverNamed(name, field string) (int64, error) {
	if id, err := strconv.ParseInt(strings.TrimSpace(name), 10, 64); err == nil {
		return id, nil
	}
	on, err := Day(name, field)
	if err != nil {
		return 0, err
	}
	rows, err := dispatch.HandOvers(d.Ctx, d.Studio)
	if err != nil {
		return 0, err
	}
	fits := slices.DeleteFunc(rows, func(h studio.HandOver) bool { return h.Day != on })
	h, err := only(fits, name, "hand-over", field, "solander hand-over --list", func(h studio.HandOver) string {
		return fmt.Sprintf("%d with %d parcels", h.ID, h.Parcels)
	})
	return h.ID, err
}

// only is the one row that a name fits. Faults: Missing for none, Invalid for several, with their names.
func only[T any](fits []T, name, what, field, lists string, full func(T) string) (T, error) {
	var none T
	switch len(fits) {
	case 1:
		return fits[0], nil
	case 0:
		return none, fault.New(fault.Missing, "there is no %s %.60q", what, name).In(field).ToMend("%s lists them with their numbers", lists)
	}
	var names []string
	for _, r := range fits[:min(4, len(fits))] {
		names = append(names, full(r))
	}
	return none, fault.Invalidf(field, "%.60q fits %d of them: %s", name, len(fits), strings.Join(names, "; ")).ToMend("give more of its name, or its number")
}

// Joined is a name as one word that Pick understands, for a shell to complete: "heron-12x16-fine".
func Joined(name string) string { return strings.Join(fold(name), "-") }

// fold makes words that compare: lower case, "12 × 16" as "12x16", without commas, hyphens and apostrophes.
func fold(s string) []string {
	s = strings.ToLower(s)
	s = strings.NewReplacer(" in × ", "x", " × ", "x", "×", "x", " x ", "x", ",", " ", "\"", " ", "-", " ", "'", "", "’", "").Replace(s)
	return strings.Fields(s)
}

func hasAll(have, want []string) bool {
	for _, w := range want {
		found := false
		for _, h := range have {
			found = found || h == w || len(w) >= 3 && strings.HasPrefix(h, w)
		}
		if !found {
			return false
		}
	}
	return true
}

// Day reads a day as typed; "" is no day, which the use cases take as today.
func Day(text, field string) (calendar.Day, error) {
	if strings.TrimSpace(text) == "" {
		return calendar.Day{}, nil
	}
	d, err := calendar.ParseDay(text)
	return d, In(err, field)
}

// Amount reads money in the studio's currency; "" is nothing.
func (d *Open) Amount(text, field string) (money.Amount, error) {
	set, err := d.Studio.Settings(d.Ctx)
	if err != nil {
		return money.Amount{}, err
	}
	if strings.TrimSpace(text) == "" {
		return money.Of(0, set.Currency), nil
	}
	a, err := money.Parse(text, set.Currency)
	if err == nil && a.Sign() < 0 {
		err = fault.Invalidf(field, "%s is negative", a).ToMend("give an amount of 0 or more")
	}
	return a, In(err, field)
}

// Number reads a number of an edition.
func Number(text string, e edition.Edition) (edition.Number, error) {
	n, err := edition.ParseNumber(text, e)
	if err == nil && n.IsZero() {
		err = fault.Invalidf("number", "the number is missing").ToMend("write it like 17, 17/%d or AP 2", max(e.Limit, 1))
	}
	return n, err
}

// Perhaps is an amount of a currency, when one is given. Faults: Invalid, at the field.
func Perhaps(text, currency, field string) (*money.Amount, error) {
	if text == "" {
		return nil, nil
	}
	a, err := money.Parse(text, currency)
	return &a, In(err, field)
}

// In names the flag a fault came from, unless the fault names its field itself.
func In(err error, field string) error {
	f, ok := err.(*fault.Error)
	if !ok || f.Field != "" {
		return err
	}
	return f.In(field)
}
