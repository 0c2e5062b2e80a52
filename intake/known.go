package intake

import (
	"solander/calendar"
	"solander/edition"
	"solander/order"
)

// Book is what the studio knows already, as far as a trial asks. Studio answers from one transaction, so that
// all answers belong together; they must not change while Read runs. Names are compared by Fold.
type Book interface {
	// Outlet returns the outlet of that name.
	Outlet(name string) (order.Outlet, bool)
	// Buyers returns every writing of a buyer with that e-mail address, or, when email is "", with that name, by order.EmailKey and
	// order.NameKey; none who stands apart.
	Buyers(name, email string) []order.Buyer
	// Places returns addresses to which orders of a buyer went; ToldApart whether two were said to be different people.
	Places(person int64) []order.Address
	ToldApart(a, b int64) bool
	// Editions returns all editions, also closed ones, of the works with that title.
	Editions(title string) []edition.Edition
	// Papers returns the names of the studio's papers.
	Papers() []string
	// ByRow returns the mark of the order that was made of the row with that Origin.Hash.
	ByRow(hash string) (mark string, ok bool)
	// ByRef returns the mark of the order with the outlet's own reference.
	ByRef(outlet int64, ref string) (mark string, ok bool)
	// Sale returns the mark of an order of that buyer, placed on that day, with a live line of that edition and number.
	Sale(buyer, edition int64, n edition.Number, placed calendar.Day) (mark string, ok bool)
	// Holder says who has that number: the mark of an order, or words such as "kept" when it is not free without one.
	Holder(edition int64, n edition.Number) (who string, ok bool)
}

// NoBook is the book of a studio that holds nothing yet.
type NoBook struct{}

// Outlet knows none.
func (NoBook) Outlet(string) (order.Outlet, bool) { return order.Outlet{}, false }

// Buyers knows none.
func (NoBook) Buyers(string, string) []order.Buyer { return nil }

// Places knows none.
func (NoBook) Places(int64) []order.Address { return nil }

// ToldApart knows none.
func (NoBook) ToldApart(int64, int64) bool { return false }

// Editions knows none.
func (NoBook) Editions(string) []edition.Edition { return nil }

// Papers knows none.
func (NoBook) Papers() []string { return nil }

// ByRow knows none.
func (NoBook) ByRow(string) (string, bool) { return "", false }

// ByRef knows none.
func (NoBook) ByRef(int64, string) (string, bool) { return "", false }

// Sale knows none.
func (NoBook) Sale(int64, int64, edition.Number, calendar.Day) (string, bool) { return "", false }

// Holder knows none.
func (NoBook) Holder(int64, edition.Number) (string, bool) { return "", false }
