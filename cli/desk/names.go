package desk

import (
	"fmt"
	"strconv"
	"strings"

	"solander/book"
	"solander/calendar"
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
	var none T
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
	switch len(fits) {
	case 1:
		return fits[0], nil
	case 0:
		return none, fault.New(fault.Missing, "there is no %s %.60q", field, name).In(field).ToMend("%s lists them with their numbers", lists)
	}
	var names []string
	for _, r := range fits[:min(4, len(fits))] {
		names = append(names, fmt.Sprintf("%d %s", id(r), full(r)))
	}
	return none, fault.Invalidf(field, "%.60q fits %d of them: %s", name, len(fits), strings.Join(names, "; ")).ToMend("give more of its name, or its number")
}

// fold makes words that compare: lower case, "12 × 16" as "12x16", without commas.
func fold(s string) []string {
	s = strings.ToLower(s)
	s = strings.NewReplacer(" in × ", "x", " × ", "x", "×", "x", " x ", "x", ",", " ", "\"", " ").Replace(s)
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

// In names the flag a fault came from, unless the fault names its field itself.
func In(err error, field string) error {
	f, ok := err.(*fault.Error)
	if !ok || f.Field != "" {
		return err
	}
	return f.In(field)
}
