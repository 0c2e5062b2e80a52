// Package newsale is a sale before it stands in the book, in a browser: typed, pasted or chosen by picture, with what it comes to; and the till.
// Each exported method of Sales answers one route of package web.
package newsale

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/book"
	"solander/buyers"
	"solander/dispatch"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/measure"
	"solander/order"
	"solander/register"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// Sales is the handlers of this room.
type Sales struct {
	*page.Kit
}

// SalePage takes a new sale.
type SalePage struct {
	page.Frame
	Form  *form.Form
	Rows  []saleRow
	Like  string // name of the known buyer
	Again string // mark of the order it is like
	Free  bool   // there is something to sell
	Sheet []toSell
	// Chosen says that a print is chosen already: the sheet is folded then.
	Chosen   bool
	Pasted   *pasted   // nil: no mail was taken apart
	Foreseen *foreseen // nil: no print is chosen yet
	Offered  []offeredBuyer
	Sought   bool // the book was looked at for the buyer
	Doubts   []string

	Many     int // prints that may be sold, when they are too many for a list; 0 = all stand in it
	takesIt  bool
	holds    string // what a title must hold to stand in the lists
	works    []register.WorkView
	sellable []form.Choice
}

// mostListed is how many prints stand in the list of a row: a page stays small. With more of them she says what the title holds.
const mostListed = 120

// listed are the prints that the list of a row offers: all, or when they are too many those whose title holds what she typed, and those that are
// chosen by now.
func (p *SalePage) listed(chosen []string) []form.Choice {
	if len(p.sellable) <= mostListed {
		return p.sellable
	}
	p.Many = len(p.sellable) - 1 // without "none"
	out := p.sellable[:1:1]
	for _, c := range p.sellable[1:] {
		if slices.Contains(chosen, c.Value) || len(out) < mostListed && holds(c.Text, p.holds) {
			out = append(out, c)
		}
	}
	return out
}

// holds reports whether a text holds another, in whatever case.
func holds(text, part string) bool {
	return strings.Contains(strings.ToLower(text), strings.ToLower(strings.TrimSpace(part)))
}

// offer puts what a field was filled with into its list.
func (p *SalePage) offer(fd *form.Field) {
	is := func(c form.Choice) bool { return c.Value == fd.Value }
	if at := slices.IndexFunc(p.sellable, is); at >= 0 && !slices.ContainsFunc(fd.Options, is) {
		fd.Options = append(slices.Clip(fd.Options), p.sellable[at])
	}
}

// saleRow is the fields of one print, with the work of the edition that is chosen; 0 = none.
type saleRow struct {
	Work                   int64
	Edition, Number, Price *form.Field
}

// toSell is a work with the editions of which something is left, to be chosen by its picture.
type toSell struct {
	Work     int64
	Title    string
	Editions []editionToSell
}

// editionToSell is one of them: "12 × 16 in, fine, 195.00".
type editionToSell struct {
	ID          int64
	Title, Text string
}

// mostSheet bounds the works that are shown to choose from: a page stays small; the others are found by their titles.
const mostSheet = 60

// shown are the first of what may be sold.
func shown(all []toSell) []toSell { return all[:min(len(all), mostSheet)] }

// sheetOf lays out what may be sold of works whose title holds a text.
func sheetOf(works []register.WorkView, units measure.System, title string) []toSell {
	var out []toSell
	for _, w := range works {
		if !holds(w.Title, title) {
			continue
		}
		s := toSell{Work: w.ID, Title: w.Title}
		for _, e := range w.Editions {
			if sellable(e) {
				s.Editions = append(s.Editions, editionToSell{e.ID, w.Title, fmt.Sprintf("%s, %s, %s", e.Size(units), e.Grade, e.PriceNow.Plain())})
			}
		}
		if len(s.Editions) > 0 {
			out = append(out, s)
		}
	}
	return out
}

func sellable(e studio.EditionRow) bool { return !e.Closed && (e.Open() || mayHave(e)) }

// firstRows is how many prints a new form asks for; "another print" adds two more.
const (
	firstRows = 2
	mostRows  = 40
)

// salePage lays the form out. rows is how many prints it asks for.
func (f *Sales) salePage(r *http.Request, in *book.Sale, rows int) (*SalePage, error) {
	ctx := r.Context()
	outlets, err := house.Outlets(ctx, f.Seen(r))
	if err != nil {
		return nil, err
	}
	works, err := register.Works(ctx, f.Seen(r))
	if err != nil {
		return nil, err
	}
	set := page.Settings(r)
	p := &SalePage{works: works, holds: r.PostFormValue("holds"), sellable: editionChoices(works, set.Units)}
	listed := p.listed(linesTyped(r.PostForm))
	fm := form.New("sale", "/orders")
	p.Form = fm
	var paste string
	fm.Area("paste", "A mail or an address, as it is", &paste).Wide().WithHint("what is understood goes into the fields below, where you see and correct it; nothing is kept before you save")
	fm.ID("outlet", "Outlet", &in.Outlet, outletChoices(outlets)...).Must()
	fm.Text("ref", "Reference", &in.Ref).WithHint("as the outlet writes it; empty for none").WithAuto("off")
	fm.Day("placed", "Sold on", &in.Placed)
	fm.Day("promised", "Hand over by", &in.Promised).WithHint("empty: as the outlet promises")
	fm.Day("arrive_by", "Arrive by", &in.ArriveBy).WithHint("empty: any day")
	fm.ID("buyer_id", "", &in.Buyer.ID).As("hidden")
	fm.Text("buyer", "Buyer", &in.Buyer.Name).WithAuto("off")
	fm.Text("email", "E-mail", &in.Buyer.Email).As("email").WithAuto("off")
	fm.Text("phone", "Phone", &in.Buyer.Phone).WithAuto("off").WithMode("tel")
	fm.Tick("another", "Somebody else than the one in the book", &in.Another).Wide().WithHint("without it, the same e-mail and name, or the same name and address, is the same buyer")
	fm.Tick("takes_it", "She takes it with her", &p.takesIt).Wide().WithHint("all of it is paid now, signed and in her hands: no address, no parcel, no postage; a name may stay empty")
	fm.Tick("in_person", "Handed over in person: it needs no address", &in.InPerson).Wide()
	fm.Then(func(*fault.List) { in.InPerson = in.InPerson || p.takesIt })
	askGoesTo(fm, in)
	if p.Many > 0 {
		fm.Text("holds", "Title holds", &p.holds).WithAuto("off").WithHint(fmt.Sprintf("%d prints may be sold: the lists show up to %d", p.Many, mostListed))
	}
	askLines(fm, in, listed, rows, set.Currency)
	fm.Tick("same_number", "The same number in every edition", &in.SameNumber).Wide()
	fm.Amount("postage", "Postage charged", &in.Postage, set.Currency).OrEmpty().WithHint("empty: none")
	fm.Amount("tax", "Tax", &in.Tax, set.Currency).OrEmpty().WithHint("empty: none")
	askAgreed(fm, in, set.Currency)
	fm.Text("paid_note", "Note on the payment", &in.PaidNote).Half()
	fm.Area("note", "Note to the studio", &in.Note).Half()
	fm.Area("gift_message", "Gift message", &in.GiftMessage).Half().WithHint("stands on the packing slip, then without prices")
	return p, nil
}

// askGoesTo asks for an address; none is needed in person.
func askGoesTo(fm *form.Form, in *book.Sale) {
	fm.Then(func(*fault.List) {
		for _, fd := range fm.Fields("ship_to.") {
			fd.Required = fd.Required && !in.InPerson
		}
	})
	fm.Address("ship_to.", &in.ShipTo)
	name := fm.Find("ship_to.name").WithHint("empty: the buyer")
	name.Required = false
	fm.Then(func(*fault.List) {
		switch {
		case in.InPerson:
			in.ShipTo = noneTyped(in.ShipTo)
		case in.ShipTo.Name == "":
			in.ShipTo.Name = in.Buyer.Name
		}
	})
}

// askLines asks for prints; rows that say something are taken.
func askLines(fm *form.Form, in *book.Sale, prints []form.Choice, rows int, cur string) {
	lines := make([]book.SaleLine, rows)
	for i := range lines {
		at, l := fmt.Sprintf("lines[%d].", i), &lines[i]
		fm.ID(at+"edition", "Print "+strconv.Itoa(i+1), &l.Edition, prints...)
		fm.Text(at+"number", "Number", &l.Number).WithHint("empty: the lowest").WithAuto("off")
		fm.AmountIf(at+"price", "Price", &l.Price, cur).WithHint("empty: the price now")
		fm.Then(func(*fault.List) {
			if *l != (book.SaleLine{}) {
				in.Lines = append(in.Lines, *l)
			}
		})
	}
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
			if !sellable(e) {
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

func (f *Sales) NewSale(w http.ResponseWriter, r *http.Request) error {
	today, err := house.Today(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	in := book.Sale{Placed: today, ShipTo: order.Address{Country: page.Settings(r).Address.Country}}
	if like := r.URL.Query().Get("like"); like != "" {
		v, err := book.OrderByMark(r.Context(), f.Seen(r), like)
		if err != nil {
			return err
		}
		in.Outlet, in.Buyer, in.ShipTo = v.Outlet, v.BuyerData, v.ShipTo
	}
	p, err := f.salePage(r, &in, firstRows)
	if err != nil {
		return err
	}
	if ed := r.URL.Query().Get("edition"); ed != "" {
		p.Form.Find("lines[0].edition").Is(ed)
	}
	return f.showSale(w, r, p, nil)
}

func (f *Sales) showSale(w http.ResponseWriter, r *http.Request, p *SalePage, fail *page.Failure) error {
	fr, err := f.Frame(r, "orders", "New sale")
	if err != nil {
		return err
	}
	if err := f.HangAll(r, &fr); err != nil {
		return err
	}
	p.Frame = fr
	p.Tell(fail)
	p.Put(p.Form, fail)
	p.Sheet = shown(sheetOf(p.works, fr.Units, p.holds))
	for i := 0; p.Form.Find(fmt.Sprintf("lines[%d].edition", i)) != nil; i++ {
		at := fmt.Sprintf("lines[%d].", i)
		row := saleRow{0, p.Form.Find(at + "edition"), p.Form.Find(at + "number"), p.Form.Find(at + "price")}
		p.offer(row.Edition)
		row.Work = workOf(p.works, row.Edition.Value)
		p.Rows, p.Chosen = append(p.Rows, row), p.Chosen || row.Work != 0
	}
	p.Free = len(p.Form.Find("lines[0].edition").Options) > 1
	if p.Form.Find("buyer_id").Value != "" {
		p.Like = p.Form.Find("buyer").Value
	}
	return f.Show(w, r, page.StatusOf(fail), "sale", p)
}

// workOf is the work of an edition as a choice has it; 0 when it is none.
func workOf(works []register.WorkView, edition string) int64 {
	for _, w := range works {
		for _, e := range w.Editions {
			if form.Text64(e.ID) == edition {
				return w.ID
			}
		}
	}
	return 0
}

// addPrint puts an edition that was chosen by its picture into the first free row, of which the form then has at least one more.
func addPrint(typed url.Values, edition string, rows int) int {
	n := 0
	for n < rows && typed.Get(fmt.Sprintf("lines[%d].edition", n)) != "" {
		n++
	}
	if n == mostRows {
		return rows
	}
	typed.Set(fmt.Sprintf("lines[%d].edition", n), edition)
	return max(rows, n+1)
}

// TakeOrder takes a sale into the book; by the buttons that only help to fill it in, it shows the form again, with what the sale comes to.
func (f *Sales) TakeOrder(w http.ResponseWriter, r *http.Request) error {
	closeRanks(r.PostForm)
	p, in, rows, err := f.saleTyped(r)
	if err != nil {
		return err
	}
	fm := p.Form
	if helps(r.PostForm) {
		if err := f.helpFill(r, p, rows); err != nil {
			return err
		}
		again := form.Values(fm)
		if err := fm.Take(again); err == nil || len(in.Lines) > 0 {
			f.foresee(r, p, *in)
		}
		p.Doubts = doubtsOf(in.ShipTo)
		return f.showSale(w, r, p, nil)
	}
	if err = fm.Take(r.PostForm); err != nil {
		err = form.Once(errors.Join(err, in.Validate())) // all that is wrong at once
	}
	var v studio.OrderView
	said := "taken"
	switch {
	case err != nil:
	case p.takesIt:
		said = "handedin"
		v, err = dispatch.SellInPerson(r.Context(), f.Studio, *in)
	default:
		v, err = book.TakeOrder(r.Context(), f.Studio, *in)
	}
	if err != nil {
		return f.ShowAgain(w, r, fm.Name, err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
			return f.showSale(w, r, p, fail)
		})
	}
	return f.DoneSaying(w, r, "/orders/"+url.PathEscape(v.Mark), said)
}

// helping are the buttons of the form that fill it in, and keep nothing.
var helping = []string{"more", "narrow", "add", "apart", "look", "find", "known"}

func helps(typed url.Values) bool {
	return slices.ContainsFunc(helping, func(b string) bool { return typed.Get(b) != "" })
}

// saleTyped lays out the form that was sent, with as many rows as it asked for or needs.
func (f *Sales) saleTyped(r *http.Request) (*SalePage, *book.Sale, int, error) {
	typed := r.PostForm
	rows := max(firstRows, rowsTyped(typed))
	if typed.Get("more") != "" {
		rows = min(rows+2, mostRows)
	}
	if add := typed.Get("add"); add != "" {
		rows = addPrint(typed, add, rows)
	}
	if typed.Get("apart") != "" {
		works, err := register.Works(r.Context(), f.Seen(r))
		if err != nil {
			return nil, nil, 0, err
		}
		rows = min(mostRows, max(rows, len(linesTyped(typed))+printsIn(r, typed, works)))
	}
	in := new(book.Sale)
	p, err := f.salePage(r, in, rows)
	return p, in, rows, err
}

// linesTyped are the editions that are chosen by now.
func linesTyped(typed url.Values) []string {
	var out []string
	for i := range rowsTyped(typed) {
		if e := typed.Get(at(i, "edition")); e != "" {
			out = append(out, e)
		}
	}
	return out
}

// helpFill does what a button asks that only fills the form in.
func (f *Sales) helpFill(r *http.Request, p *SalePage, rows int) error {
	typed := r.PostForm
	if id, err := strconv.ParseInt(typed.Get("known"), 10, 64); err == nil {
		b, err := buyers.OfferOne(r.Context(), f.Studio, id)
		if err != nil {
			return err
		}
		p.knownBuyer(typed, b.Buyer, b.Place)
	}
	p.Form.Read(typed)
	if typed.Get("apart") != "" {
		p.takeApart(r, rows)
	}
	if name := p.Form.Find("buyer").Value; p.Form.Find("buyer_id").Value == "" && name != "" && (typed.Get("find") != "" || typed.Get("apart") != "") {
		all, err := buyers.Offer(r.Context(), f.Studio, name)
		if err != nil {
			return err
		}
		p.Offered, p.Sought = offers(all), typed.Get("find") != ""
	}
	return nil
}

// noneTyped is an address of which only the country was filled in by the form itself: none.
func noneTyped(a order.Address) order.Address {
	if a == (order.Address{Country: a.Country}) {
		return order.Address{}
	}
	return a
}
