package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"solander/edition"
	"solander/measure"
	"solander/order"
	"solander/studio"
)

// salePage takes a new sale.
type salePage struct {
	frame
	Form  *form
	Rows  []saleRow
	Like  string // name of the known buyer
	Again string // mark of the order it is like
	Free  bool   // there is something to sell
}

// saleRow is the fields of one print.
type saleRow struct {
	Edition, Number, Price *field
}

// firstRows is how many prints a new form asks for; "another print" adds two more.
const (
	firstRows = 2
	mostRows  = 40
)

// saleForm lays the form out. rows is how many prints it asks for.
func (f *face) saleForm(r *http.Request, rows int) (*form, error) {
	ctx := r.Context()
	outlets, err := f.studio.Outlets(ctx)
	if err != nil {
		return nil, err
	}
	works, err := f.studio.Works(ctx)
	if err != nil {
		return nil, err
	}
	set, err := f.studio.Settings(ctx)
	if err != nil {
		return nil, err
	}
	today, err := f.studio.Today(ctx)
	if err != nil {
		return nil, err
	}
	fm := newForm("sale", "/orders")
	fm.ask("outlet", "Outlet").of(outletChoices(outlets)...).must()
	fm.ask("ref", "Reference").hint("as the outlet writes it; empty for none").auto("off")
	fm.ask("placed", "Sold on").day(today)
	fm.ask("promised", "Hand over by").as("date").hint("empty: as the outlet promises")
	fm.ask("arrive_by", "Arrive by").as("date").hint("empty: any day")
	fm.ask("buyer_id", "").as("hidden")
	fm.ask("buyer", "Buyer").must().auto("off")
	fm.ask("email", "E-mail").as("email").auto("off")
	fm.ask("phone", "Phone").auto("off").mode("tel")
	fm.ask("another", "Somebody else than the one in the book").as("check").wide().hint("without it, the same e-mail and name, or the same name and address, is the same buyer")
	fm.ask("in_person", "Handed over in person: it needs no address").as("check").wide()
	askAddress(fm, "ship_to.", order.Address{Country: set.Address.Country})
	fm.find("ship_to.name").Required = false
	fm.find("ship_to.name").hint("empty: the buyer")
	prints := editionChoices(works, set.Units)
	for i := range rows {
		at := fmt.Sprintf("lines[%d].", i)
		fm.ask(at+"edition", "Print "+strconv.Itoa(i+1)).of(prints...)
		fm.ask(at+"number", "Number").hint("empty: the lowest").auto("off")
		fm.ask(at+"price", "Price").mode("decimal").hint("empty: the price now")
	}
	fm.ask("same_number", "The same number in every edition").as("check").wide()
	fm.ask("postage", "Postage charged").mode("decimal").hint("empty: none")
	fm.ask("tax", "Tax").mode("decimal").hint("empty: none")
	fm.ask("paid", "Paid already").mode("decimal").hint("empty: nothing yet")
	fm.ask("paid_note", "Note on the payment").half()
	fm.ask("note", "Note to the studio").as("area").half()
	fm.ask("gift_message", "Gift message").as("area").half().hint("stands on the packing slip, then without prices")
	return fm, nil
}

func outletChoices(outlets []order.Outlet) []choice {
	out := []choice{{"", "choose"}}
	for _, u := range outlets {
		if !u.Closed {
			out = append(out, choice{strconv.FormatInt(u.ID, 10), u.Name})
		}
	}
	return out
}

func editionChoices(works []studio.WorkView, units measure.System) []choice {
	out := []choice{{"", "none"}}
	for _, w := range works {
		for _, e := range w.Editions {
			if e.Closed || !e.Open() && !mayHave(e) {
				continue
			}
			text := e.Name(units) + ", " + e.PriceNow.String()
			if !e.Open() {
				text += fmt.Sprintf(", %d of %d sold", e.Sold, e.Limit)
			}
			out = append(out, choice{strconv.FormatInt(e.ID, 10), text})
		}
	}
	return out
}

// mayHave reports whether a number or a proof of an edition may be left for a line; the register has the
// last word.
func mayHave(e studio.EditionRow) bool {
	return e.Counts[edition.Free]+e.Counts[edition.Signed]+e.Counts[edition.Returned] > 0
}

// rowsTyped is how many prints the sent form asked for.
func rowsTyped(typed url.Values) int {
	n := 0
	for n < mostRows && typed.Has(fmt.Sprintf("lines[%d].edition", n)) {
		n++
	}
	return n
}

// closeRanks moves filled rows of prints to the front, so that a row's place is its place in the order.
func closeRanks(typed url.Values) {
	to := 0
	for i := range rowsTyped(typed) {
		filled := false
		for _, part := range []string{"edition", "number", "price"} {
			filled = filled || typed.Get(fmt.Sprintf("lines[%d].%s", i, part)) != ""
		}
		if !filled {
			continue
		}
		for _, part := range []string{"edition", "number", "price"} {
			from, dest := fmt.Sprintf("lines[%d].%s", i, part), fmt.Sprintf("lines[%d].%s", to, part)
			v := typed.Get(from)
			typed.Set(from, "")
			typed.Set(dest, v)
		}
		to++
	}
}

func (f *face) newSale(w http.ResponseWriter, r *http.Request) error {
	fm, err := f.saleForm(r, firstRows)
	if err != nil {
		return err
	}
	p := &salePage{Form: fm}
	if like := r.URL.Query().Get("like"); like != "" {
		v, err := f.studio.OrderByMark(r.Context(), like)
		if err != nil {
			return err
		}
		fm.find("buyer_id").is(strconv.FormatInt(v.BuyerData.ID, 10))
		fm.find("buyer").is(v.BuyerData.Name)
		fm.find("email").is(v.BuyerData.Email)
		fm.find("phone").is(v.BuyerData.Phone)
		fm.find("outlet").is(strconv.FormatInt(v.Outlet, 10))
		p.likeAddress(v.ShipTo)
	}
	if ed := r.URL.Query().Get("edition"); ed != "" {
		fm.find("lines[0].edition").is(ed)
	}
	return f.showSale(w, r, p, nil)
}

func (p *salePage) likeAddress(a order.Address) {
	for name, v := range map[string]string{"name": a.Name, "line1": a.Line1, "line2": a.Line2, "city": a.City, "region": a.Region, "postcode": a.Postcode, "country": a.Country} {
		p.Form.find("ship_to." + name).is(v)
	}
}

func (f *face) showSale(w http.ResponseWriter, r *http.Request, p *salePage, fail *failure) error {
	fr, err := f.frame(r, "orders", "New sale")
	if err != nil {
		return err
	}
	p.frame = fr
	p.tell(fail)
	p.put(p.Form, fail)
	for i := 0; p.Form.find(fmt.Sprintf("lines[%d].edition", i)) != nil; i++ {
		at := fmt.Sprintf("lines[%d].", i)
		p.Rows = append(p.Rows, saleRow{p.Form.find(at + "edition"), p.Form.find(at + "number"), p.Form.find(at + "price")})
	}
	p.Free = len(p.Form.find("lines[0].edition").Options) > 1
	if p.Form.find("buyer_id").Value != "" {
		p.Like = p.Form.find("buyer").Value
	}
	return f.show(w, r, statusOf(fail), "sale", p)
}

func (f *face) takeOrder(w http.ResponseWriter, r *http.Request) error {
	closeRanks(r.PostForm)
	rows := max(firstRows, rowsTyped(r.PostForm))
	if r.PostForm.Get("more") != "" {
		rows = min(rows+2, mostRows)
	}
	fm, err := f.saleForm(r, rows)
	if err != nil {
		return err
	}
	fm.read(r.PostForm)
	p := &salePage{Form: fm}
	if r.PostForm.Get("more") != "" {
		return f.showSale(w, r, p, nil)
	}
	set, err := f.studio.Settings(r.Context())
	if err != nil {
		return err
	}
	in, err := readSale(fm, set.Currency, rows)
	var v studio.OrderView
	if err == nil {
		v, err = f.studio.TakeOrder(r.Context(), in)
	}
	if err != nil {
		if ours(err) {
			return err
		}
		return f.showSale(w, r, p, failed(fm, r, err))
	}
	return f.doneSaying(w, r, "/orders/"+url.PathEscape(v.Mark), "taken")
}

// readSale turns the form into a sale.
func readSale(fm *form, cur string, rows int) (studio.Sale, error) {
	if fm.find("in_person").Value != "" {
		for _, fd := range fm.Fields("ship_to.") {
			fd.Required = false
		}
	}
	rd := fm.reader()
	in := studio.Sale{
		Outlet: rd.id("outlet"), Ref: rd.text("ref"), Placed: rd.day("placed"), Promised: rd.day("promised"), ArriveBy: rd.day("arrive_by"),
		Buyer:  order.Buyer{ID: rd.id("buyer_id"), Name: rd.text("buyer"), Email: rd.text("email"), Phone: rd.text("phone")},
		ShipTo: readAddress(rd, "ship_to."), SameNumber: rd.ticked("same_number"), Another: rd.ticked("another"),
		Postage: rd.amount("postage", cur), Tax: rd.amount("tax", cur), Paid: rd.amount("paid", cur), PaidNote: rd.text("paid_note"),
		Note: rd.text("note"), GiftMessage: rd.text("gift_message"), InPerson: rd.ticked("in_person"),
	}
	for i := range rows {
		at := fmt.Sprintf("lines[%d].", i)
		l := studio.SaleLine{Edition: rd.id(at + "edition"), Number: rd.text(at + "number")}
		if rd.text(at+"price") != "" {
			price := rd.amount(at+"price", cur)
			l.Price = &price
		}
		if l.Edition != 0 || l.Number != "" || l.Price != nil {
			in.Lines = append(in.Lines, l)
		}
	}
	if in.InPerson {
		in.ShipTo = noneTyped(in.ShipTo)
	} else if in.ShipTo.Name == "" {
		in.ShipTo.Name = in.Buyer.Name
	}
	if err := rd.Err(); err != nil {
		return in, once(errors.Join(err, in.Validate())) // all that is wrong at once
	}
	return in, nil
}

// noneTyped is an address of which only the country was filled in by the form itself: none.
func noneTyped(a order.Address) order.Address {
	if a == (order.Address{Country: a.Country}) {
		return order.Address{}
	}
	return a
}
