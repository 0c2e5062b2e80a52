package web

import (
	"solander/bankfile"
	"solander/banking"
	"solander/book"
	"solander/consign"
	"solander/consigning"
	"solander/edition"
	"solander/fair"
	"solander/fairs"
	"solander/money"
	"solander/payouts"
	"solander/register"
)

// ended cancels the second edition and returns the address of its declaration. Once.
func (s *site) ended() string {
	s.t.Helper()
	const paper = "/editions/2/closing.pdf"
	if s.get(paper).status == 200 {
		return paper
	}
	_, err := register.Close(s.ctx(), s.studio, edition.Closing{Edition: 2, Fact: edition.Cancelled, Files: "destroyed"})
	s.must(err)
	return paper
}

// banked keeps an account of a bank and returns its address. Once.
func (s *site) banked() string {
	s.t.Helper()
	const account = "/earnings/bank/1"
	if s.get(account).status == 200 {
		return account
	}
	_, err := banking.SaveAccount(s.ctx(), s.studio, bankfile.Account{Name: "Current", Currency: "USD"})
	s.must(err)
	return account
}

// tabled begins a day at a table and returns its address. Once.
func (s *site) tabled() string {
	s.t.Helper()
	const day = "/earnings/fairs/1"
	if s.get(day).status == 200 {
		return day
	}
	_, err := fairs.Begin(s.ctx(), s.studio, fair.Day{Outlet: 1, Name: "Quay fair", Float: money.Of(50_00, "USD")})
	s.must(err)
	return day
}

// paidOut enters a payout of an order and returns its address. Once.
func (s *site) paidOut() string {
	s.t.Helper()
	const payout = "/earnings/payouts/1"
	if s.get(payout).status == 200 {
		return payout
	}
	o, err := book.OrderByMark(s.ctx(), s.studio, "S-1004")
	s.must(err)
	_, err = payouts.Take(s.ctx(), s.studio, payouts.Payout{Outlet: o.Outlet, Net: money.Of(1_00, "USD"), Orders: []int64{o.ID}})
	s.must(err)
	return payout
}

// consigned keeps a gallery and returns its address. Once.
func (s *site) consigned() string {
	s.t.Helper()
	const gallery = "/earnings/galleries/1"
	if s.get(gallery).status == 200 {
		return gallery
	}
	_, err := consigning.Save(s.ctx(), s.studio, consign.House{Name: "Harrow Lane Rooms", Share: 400, Wholesale: 500, Bears: consign.Gallery, PayDays: 30})
	s.must(err)
	return gallery
}
