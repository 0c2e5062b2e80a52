package desk

import (
	"strings"

	"solander/access"
	"solander/book"
	"solander/buyers"
	"solander/house"
	"solander/order"
	accounts "solander/people"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// Offered are the names that a shell may complete, by what is named.
var Offered = map[string]func(d *Open, word string) ([]string, error){
	"order": openMarks, "edition": editionNames, "work": workTitles, "buyer": buyerAddresses, "outlet": outletNames, "shelf": shelfKeys, "stage": stages, "person": personNames,
}

func personNames(d *Open, _ string) ([]string, error) {
	all, err := accounts.All(d.Ctx, d.Studio)
	return namesOf(all, func(p access.Person) string { return Joined(p.Name) }), err
}

func stages(*Open, string) ([]string, error) {
	return namesOf(order.Stages(), func(s order.Stage) string { return string(s) }), nil
}

func openMarks(d *Open, _ string) ([]string, error) {
	page, err := book.Orders(d.Ctx, d.Studio, studio.OrderQuery{State: order.Open, Limit: studio.MostPage}, "")
	return namesOf(page.Rows, func(r studio.OrderRow) string { return r.Mark }), err
}

func editionNames(d *Open, _ string) ([]string, error) {
	works, err := register.Works(d.Ctx, d.Studio)
	var rows []studio.EditionRow
	for _, w := range works {
		rows = append(rows, w.Editions...)
	}
	return namesOf(rows, func(r studio.EditionRow) string { return Joined(r.Name(d.Units())) }), err
}

func workTitles(d *Open, _ string) ([]string, error) {
	works, err := register.Works(d.Ctx, d.Studio)
	return namesOf(works, func(w register.WorkView) string { return Joined(w.Title) }), err
}

// buyerAddresses are the e-mail addresses of the buyers like the word: names hold spaces, and two buyers may share one.
func buyerAddresses(d *Open, word string) ([]string, error) {
	page, err := buyers.Buyers(d.Ctx, d.Studio, studio.BuyerQuery{Text: word})
	return namesOf(page.Rows, func(b buyers.BuyerRow) string { return b.Email }), err
}

func outletNames(d *Open, _ string) ([]string, error) {
	outlets, err := house.Outlets(d.Ctx, d.Studio)
	return namesOf(outlets, func(o order.Outlet) string { return Joined(o.Name) }), err
}

func shelfKeys(d *Open, _ string) ([]string, error) {
	items, err := stockroom.Shelf(d.Ctx, d.Studio)
	return namesOf(items, func(i studio.ShelfItem) string { return i.Spec.ID }), err
}

func namesOf[T any](rows []T, name func(T) string) []string {
	var out []string
	for _, r := range rows {
		if n := name(r); n != "" && !strings.ContainsAny(n, " \t\"'\\$`;&|<>()") {
			out = append(out, n)
		}
	}
	return out
}
