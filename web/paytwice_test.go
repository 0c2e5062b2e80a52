package web

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"

	"solander/book"
	"solander/dispatch"
	"solander/internal/browsertest"
	"solander/money"
	"solander/order"
	"solander/register"
	"solander/stockroom"
	"solander/studio"
)

// raced sends forms at once, each to its own program, and says with which status each was answered.
func raced(sites []*site, forms [][]string) []int {
	out := make([]int, len(forms))
	var all sync.WaitGroup
	for i, s := range sites {
		r := formRequest(forms[i][0], values(forms[i][1:]...))
		all.Go(func() {
			w := httptest.NewRecorder()
			s.handler.ServeHTTP(w, r)
			out[i] = w.Code
		})
	}
	all.Wait()
	slices.Sort(out)
	return out
}

// asShown is what a form of a page sends, as it stands, with the address that it goes to.
func (s *site) asShown(path, selector string, fields ...string) []string {
	s.t.Helper()
	fm := s.get(path).is(200).one(selector)
	sent := fieldsOf(fm)
	for i := 0; i+1 < len(fields); i += 2 {
		sent = replaced(sent, fields[i], fields[i+1])
	}
	return append([]string{attr(fm, "action")}, sent...)
}

func (s *site) order(id int64) studio.OrderView {
	s.t.Helper()
	v, err := book.Order(s.ctx(), s.studio, id)
	s.must(err)
	return v
}

// Of two windows, each in a program of its own, that note the same money of one order, one does: the rest paid, money paid back while some is to be,
// and money paid back of an order that owes nothing. The other one is told what stands, and writes nothing; whoever means it sends it again.
func TestTwoWindowsNoteTheSameMoney(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	for engine, opened := range shared {
		t.Run(engine, func(t *testing.T) {
			one, two := opened(t)
			both := []*site{one, two}
			const pay = "section[aria-labelledby=h-money] form"
			race := func(what, selector string, order studio.OrderView, fields ...string) {
				t.Helper()
				path, before := one.orderPath(order), len(one.order(order.ID).Payments)
				if got := raced(both, [][]string{one.asShown(path, selector, fields...), two.asShown(path, selector, fields...)}); !slices.Equal(got, []int{http.StatusSeeOther, http.StatusPreconditionFailed}) {
					t.Errorf("%s: answered %v", what, got)
				}
				if n := len(one.order(order.ID).Payments) - before; n != 1 {
					t.Errorf("%s: %d payments were noted", what, n)
				}
			}
			for range 4 {
				v := one.sale(1, 40_00)
				race("the rest, by the button", "section.next form", v)
				v = one.sale(1, 40_00)
				race("a part", pay, v, "amount", "20.00", "kind", "deposit")
				race("the rest, by the form", pay, v)
				race("back of what is paid whole", pay, v, "amount", "15.00", "kind", "refund")
				one.must(book.Pay(one.ctx(), one.studio, book.PaymentIn{Order: v.ID, Amount: one.order(v.ID).Owed}))
				one.must(book.Cancel(one.ctx(), one.studio, book.CancelIn{Order: v.ID, Reason: "not wanted", Refund: money.Of(30_00, "USD")}))
				race("what is to be paid back", pay, v, "amount", "20.00")
				one.must(stockroom.CountSheets(one.ctx(), one.studio, 1, 9, "found"))
				sent := one.sale(1, 90_00)
				one.must(register.Sign(one.ctx(), one.studio, []int64{sent.Lines[0].ID}))
				_, err := book.Amend(one.ctx(), one.studio, book.AmendIn{Order: sent.ID, InPerson: new(true)})
				one.must(err)
				one.must(dispatch.HandIn(one.ctx(), one.studio, dispatch.HandInIn{Order: sent.ID}))
				race("back for good of what went, by which nothing else is owed", pay, sent, "amount", "5.00", "kind", "refund")
				// By hand: 90.00 came whole, 15.00 of it went back and came again, 30.00 and 20.00 went back.
				if got := one.order(v.ID); got.Paid != money.Of(40_00, "USD") || got.Owed != money.Of(-40_00, "USD") {
					t.Errorf("%s are paid, %s owed", got.Paid, got.Owed)
				}
			}
		})
	}
}

// The same by hand, in two browsers: the second one is told beside the field, sees what stands, and may send it once more.
func TestTwoBrowsersPayBackTheSame(t *testing.T) {
	t.Parallel()
	for engine, opened := range shared {
		t.Run(engine, func(t *testing.T) {
			one, two := opened(t)
			v := one.sale(1, 90_00)
			first, at := one.open()
			second, elsewhere := two.open()
			const form = "section[aria-labelledby=h-money] form"
			for p, base := range map[*browsertest.Page]string{first: at, second: elsewhere} {
				p.Go(base + one.orderPath(v))
				browsertest.Eval[bool](p, `(() => { document.querySelector("`+form+`").closest("details").open = true; return true })()`)
				browsertest.Eval[bool](p, `(() => { document.querySelector("`+form+` [name=kind]").value = "refund"; return true })()`)
				p.Fill(form+" [name=amount]", "15.00")
			}
			if status := first.ClickTo(form + " button"); status != 200 {
				t.Errorf("the first window: %d", status)
			}
			if status := second.ClickTo(form + " button"); status != http.StatusPreconditionFailed {
				t.Errorf("the second window: %d", status)
			}
			if told := second.Text(form); !strings.Contains(told, "15.00 USD still owed meanwhile, and was settled when this was opened") {
				t.Errorf("the form says %q", told)
			}
			looked(t, second, "paid-back-twice-"+strings.ReplaceAll(engine, " ", "-"))
			if n := len(one.order(v.ID).Payments); n != 2 {
				t.Errorf("%d payments stand, want the one that came and the one that went back", n)
			}
			if status := second.ClickTo(form + " button"); status != 200 {
				t.Errorf("sent again: %d", status)
			}
			if got := one.order(v.ID); len(got.Payments) != 3 || got.Payments[2].Kind != order.Refund || got.Paid != money.Of(60_00, "USD") {
				t.Errorf("%d payments stand, %s are paid", len(got.Payments), got.Paid)
			}
		})
	}
}
