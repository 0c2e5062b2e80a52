package sales

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"solander/book"
	"solander/edition"
	"solander/house"
	"solander/measure"
	"solander/order"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// SalePage takes a new sale.
type SalePage struct {
	page.Frame
	Form  *form.Form
	Rows  []saleRow
	Like  string // name of the known buyer
	Again string // mark of the order it is like
	Free  bool   // there is something to sell
}

// saleRow is the fields of one print.
type saleRow struct {
	Edition, Number, Price *form.Field
}

// firstRows is how many prints a new form asks for; "another print" adds two more.
const (
	firstRows = 2
	mostRows  = 40
)

// saleForm lays the form out. rows is how many prints it asks for.
func (f *Book) saleForm(r *http.Request, rows int) (*form.Form, error) {
	ctx := r.Context()
	outlets, err := house.Outlets(ctx, f.Studio)
	if err != nil {
		return nil, err
	}
	works, err := register.Works(ctx, f.Studio)
	if err != nil {
		return nil, err
	}
	set := page.Settings(r)
	today, err := house.Today(ctx, f.Studio)
	if err != nil {
		return nil, err
	}
	fm := form.New("sale", "/orders")
	fm.Ask("outlet", "Outlet").Of(outletChoices(outlets)...).Must()
	fm.Ask("ref", "Reference").WithHint("as the outlet writes it; empty for none").WithAuto("off")
	fm.Ask("placed", "Sold on").Day(today)
	fm.Ask("promised", "Hand over by").As("date").WithHint("empty: as the outlet promises")
	fm.Ask("arrive_by", "Arrive by").As("date").WithHint("empty: any day")
	fm.Ask("buyer_id", "").As("hidden")
	fm.Ask("buyer", "Buyer").Must().WithAuto("off")
	fm.Ask("email", "E-mail").As("email").WithAuto("off")
	fm.Ask("phone", "Phone").WithAuto("off").WithMode("tel")
	fm.Ask("another", "Somebody else than the one in the book").As("check").Wide().WithHint("without it, the same e-mail and name, or the same name and address, is the same buyer")
	fm.Ask("in_person", "Handed over in person: it needs no address").As("check").Wide()
	form.AskAddress(fm, "ship_to.", order.Address{Country: set.Address.Country})
	fm.Find("ship_to.name").Required = false
	fm.Find("ship_to.name").WithHint("empty: the buyer")
	prints := editionChoices(works, set.Units)
	for i := range rows {
		at := fmt.Sprintf("lines[%d].", i)
		fm.Ask(at+"edition", "Print "+strconv.Itoa(i+1)).Of(prints...)
		fm.Ask(at+"number", "Number").WithHint("empty: the lowest").WithAuto("off")
		fm.Ask(at+"price", "Price").WithMode("decimal").WithHint("empty: the price now")
	}
	fm.Ask("same_number", "The same number in every edition").As("check").Wide()
	fm.Ask("postage", "Postage charged").WithMode("decimal").WithHint("empty: none")
	fm.Ask("tax", "Tax").WithMode("decimal").WithHint("empty: none")
	fm.Ask("paid", "Paid already").WithMode("decimal").WithHint("empty: nothing yet")
	fm.Ask("paid_note", "Note on the payment").Half()
	fm.Ask("note", "Note to the studio").As("area").Half()
	fm.Ask("gift_message", "Gift message").As("area").Half().WithHint("stands on the packing slip, then without prices")
	return fm, nil
}

func outletChoices(outlets []order.Outlet) []form.Choice {
	out := []form.Choice{form.Pick("", "choose")}
	for _, u := range outlets {
		if !u.Closed {
			out = append(out, form.Pick(strconv.FormatInt(u.ID, 10), u.Name))
		}
	}
	return out
}

func editionChoices(works []register.WorkView, units measure.System) []form.Choice {
	out := []form.Choice{form.Pick("", "none")}
	for _, w := range works {
		for _, e := range w.Editions {
			if e.Closed || !e.Open() && !mayHave(e) {
				continue
			}
			text := e.Name(units) + ", " + e.PriceNow.String()
			if !e.Open() {
				text += fmt.Sprintf(", %d of %d sold", e.Sold, e.Limit)
			}
			out = append(out, form.Pick(strconv.FormatInt(e.ID, 10), text))
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

func (f *Book) NewSale(w http.ResponseWriter, r *http.Request) error {
	fm, err := f.saleForm(r, firstRows)
	if err != nil {
		return err
	}
	p := &SalePage{Form: fm}
	if like := r.URL.Query().Get("like"); like != "" {
		v, err := book.OrderByMark(r.Context(), f.Studio, like)
		if err != nil {
			return err
		}
		fm.Find("buyer_id").Is(strconv.FormatInt(v.BuyerData.ID, 10))
		fm.Find("buyer").Is(v.BuyerData.Name)
		fm.Find("email").Is(v.BuyerData.Email)
		fm.Find("phone").Is(v.BuyerData.Phone)
		fm.Find("outlet").Is(strconv.FormatInt(v.Outlet, 10))
		p.likeAddress(v.ShipTo)
	}
	if ed := r.URL.Query().Get("edition"); ed != "" {
		fm.Find("lines[0].edition").Is(ed)
	}
	return f.showSale(w, r, p, nil)
}

func (p *SalePage) likeAddress(a order.Address) {
	for name, v := range map[string]string{"name": a.Name, "line1": a.Line1, "line2": a.Line2, "city": a.City, "region": a.Region, "postcode": a.Postcode, "country": a.Country} {
		p.Form.Find("ship_to." + name).Is(v)
	}
}

func (f *Book) showSale(w http.ResponseWriter, r *http.Request, p *SalePage, fail *page.Failure) error {
	fr, err := f.Frame(r, "orders", "New sale")
	if err != nil {
		return err
	}
	p.Frame = fr
	p.Tell(fail)
	p.Put(p.Form, fail)
	for i := 0; p.Form.Find(fmt.Sprintf("lines[%d].edition", i)) != nil; i++ {
		at := fmt.Sprintf("lines[%d].", i)
		p.Rows = append(p.Rows, saleRow{p.Form.Find(at + "edition"), p.Form.Find(at + "number"), p.Form.Find(at + "price")})
	}
	p.Free = len(p.Form.Find("lines[0].edition").Options) > 1
	if p.Form.Find("buyer_id").Value != "" {
		p.Like = p.Form.Find("buyer").Value
	}
	return f.Show(w, r, page.StatusOf(fail), "sale", p)
}

func (f *Book) TakeOrder(w http.ResponseWriter, r *http.Request) error {
	closeRanks(r.PostForm)
	rows := max(firstRows, rowsTyped(r.PostForm))
	if r.PostForm.Get("more") != "" {
		rows = min(rows+2, mostRows)
	}
	fm, err := f.saleForm(r, rows)
	if err != nil {
		return err
	}
	fm.Read(r.PostForm)
	p := &SalePage{Form: fm}
	if r.PostForm.Get("more") != "" {
		return f.showSale(w, r, p, nil)
	}
	set := page.Settings(r)
	in, err := readSale(fm, set.Currency, rows)
	var v studio.OrderView
	if err == nil {
		v, err = book.TakeOrder(r.Context(), f.Studio, in)
	}
	if err != nil {
		if page.Ours(err) {
			return err
		}
		return f.showSale(w, r, p, page.Failed(fm, r, err))
	}
	return f.DoneSaying(w, r, "/orders/"+url.PathEscape(v.Mark), "taken")
}

// readSale turns the form into a sale.
func readSale(fm *form.Form, cur string, rows int) (book.Sale, error) {
	if fm.Find("in_person").Value != "" {
		for _, fd := range fm.Fields("ship_to.") {
			fd.Required = false
		}
	}
	rd := fm.Reader()
	in := book.Sale{
		Outlet: rd.ID("outlet"), Ref: rd.Text("ref"), Placed: rd.Day("placed"), Promised: rd.Day("promised"), ArriveBy: rd.Day("arrive_by"),
		Buyer:  order.Buyer{ID: rd.ID("buyer_id"), Name: rd.Text("buyer"), Email: rd.Text("email"), Phone: rd.Text("phone")},
		ShipTo: form.ReadAddress(rd, "ship_to."), SameNumber: rd.Ticked("same_number"), Another: rd.Ticked("another"),
		Postage: rd.Amount("postage", cur), Tax: rd.Amount("tax", cur), Paid: rd.Amount("paid", cur), PaidNote: rd.Text("paid_note"),
		Note: rd.Text("note"), GiftMessage: rd.Text("gift_message"), InPerson: rd.Ticked("in_person"),
	}
	for i := range rows {
		at := fmt.Sprintf("lines[%d].", i)
		l := book.SaleLine{Edition: rd.ID(at + "edition"), Number: rd.Text(at + "number")}
		if rd.Text(at+"price") != "" {
			price := rd.Amount(at+"price", cur)
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
		return in, form.Once(errors.Join(err, in.Validate())) // all that is wrong at once
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
