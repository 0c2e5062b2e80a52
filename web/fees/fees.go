// Package fees is the fee table of an outlet in a browser: its rows, each with its fields, and what the table would keep of a sale, charge by
// charge. Each exported method of Fees answers one route of package web.
package fees

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/charging"
	"solander/fault"
	"solander/house"
	"solander/money"
	"solander/order"
	"solander/web/form"
	"solander/web/page"
)

// Fees is the handlers of this room.
type Fees struct {
	*page.Kit
}

// FeesPage is the fee table of an outlet.
type FeesPage struct {
	page.Frame
	Outlet order.Outlet
	Now    string // what holds today, in words
	Form   *form.Form
	Rows   []tableRow
	Try    *form.Form
	Tried  *tried
}

// tableRow is the fields of one row.
type tableRow struct {
	Title  string
	Fields []*form.Field
}

// tried is what the table keeps of a sale.
type tried struct {
	Sale, Payment []tellPart
	Sum, Left     money.Amount
}

type tellPart struct {
	Name, Words string
	Amount      money.Amount
}

// spare is how many empty rows stand below those that there are.
const spare = 2

// outletOf is the outlet that a request is about.
func (f *Fees) outletOf(r *http.Request) (order.Outlet, error) {
	id, err := page.PathID(r, "outlet")
	if err != nil {
		return order.Outlet{}, err
	}
	all, err := house.Outlets(r.Context(), f.Seen(r))
	if err != nil {
		return order.Outlet{}, err
	}
	i := slices.IndexFunc(all, func(u order.Outlet) bool { return u.ID == id })
	if i < 0 {
		return order.Outlet{}, page.Missing("outlet", id)
	}
	return all[i], nil
}

// Table shows the fee table of an outlet.
func (f *Fees) Table(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	u, err := f.outletOf(r)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "studio", "Fees: "+u.Name)
	if err != nil {
		return err
	}
	set := page.Settings(r)
	p := &FeesPage{Frame: fr, Outlet: u, Now: u.Fees.Tells(fr.Today)}
	p.Form = p.Put(tableForm(&u, set.Currency), fail)
	for i := 0; ; i++ {
		fields := p.Form.Fields(fmt.Sprintf("fees[%d].", i))
		if len(fields) == 0 {
			break
		}
		title := "A new row"
		if i < len(u.Fees) {
			title = fmt.Sprintf("Row %d: %s", i+1, u.Fees[i].Name)
		}
		p.Rows = append(p.Rows, tableRow{title, fields})
	}
	wrong := error(nil)
	if p.Try, p.Tried, wrong = try(r, u, set.Currency, fr.Today); wrong != nil {
		p.Try.Blame(wrong)
	}
	return f.Show(w, r, page.StatusOf(fail), "fees", p)
}

// tableForm asks for the rows of a fee table, and for some more. A row of which nothing is typed is none.
func tableForm(u *order.Outlet, currency string) *form.Form {
	fm := form.New("fees", fmt.Sprintf("/studio/outlets/%d/fees", u.ID))
	var kept charging.Table
	stands := u.Fees
	for i := range min(len(stands)+spare, charging.MostRows) {
		row := charging.Row{What: charging.Sale, Of: charging.Postage}
		if i < len(stands) {
			row = stands[i]
		}
		askRow(fm, fmt.Sprintf("fees[%d].", i), row, currency, func(r charging.Row) { kept = append(kept, r) })
	}
	fm.Then(func(*fault.List) {
		slices.SortStableFunc(kept, func(a, b charging.Row) int {
			return cmp.Or(a.From.Sub(b.From), strings.Compare(string(b.What), string(a.What)), strings.Compare(a.Name, b.Name), cmp.Compare(a.Over.Minor, b.Over.Minor))
		})
		u.Fees = kept
	})
	return fm.Sealed()
}

// askRow asks for one row; keep is told of it once it was read, unless nothing of it was typed.
func askRow(fm *form.Form, at string, row charging.Row, currency string, keep func(charging.Row)) {
	typed := func() bool { return fm.Typed(at+"name", at+"share", at+"fixed", at+"least", at+"from", at+"over") }
	fm.When(typed, func() {
		fm.Text(at+"name", "Charge", &row.Name).WithHint("as the outlet calls it; empty: no row")
		form.Select(fm, at+"what", "Charged on", &row.What, form.Pick(string(charging.Sale), "a sale, by the outlet"), form.Pick(string(charging.Payment), "a payment, on its way"))
		share := fm.Bind(at+"share", "Per cent", emptyAtZero(row.Share, charging.PerCent(row.Share)), func(text string) (err error) {
			row.Share, err = charging.ParseShare(text)
			return err
		}).WithMode("decimal")
		share.WithHint("up to two decimals")
		var of []form.Choice
		for _, o := range charging.Ofs() {
			of = append(of, form.Pick(string(o), o.Words()))
		}
		row.Of = cmp.Or(row.Of, charging.Prints)
		form.Select(fm, at+"of", "Of", &row.Of, of...)
		fm.Amount(at+"fixed", "and a fixed part", &row.Fixed, currency).OrEmpty()
		fm.Amount(at+"least", "At least", &row.Least, currency).OrEmpty()
		fm.Amount(at+"most", "At most", &row.Most, currency).OrEmpty().WithHint("empty: no end to it")
		fm.Day(at+"from", "From", &row.From).WithHint("empty: from the beginning")
		fm.Amount(at+"over", "For amounts over", &row.Over, currency).OrEmpty()
		fm.Amount(at+"up_to", "up to", &row.UpTo, currency).OrEmpty().WithHint("empty: any amount")
		fm.Tick(at+"parts", "Of the part between these two alone", &row.Parts)
		fm.Then(func(*fault.List) {
			if row.What == charging.Payment {
				row.Of = charging.Prints
			}
			keep(row)
		})
	})
}

func emptyAtZero(n int64, text string) string {
	if n == 0 {
		return ""
	}
	return text
}

// Save keeps the fee table of an outlet.
func (f *Fees) Save(w http.ResponseWriter, r *http.Request) error {
	u, err := f.outletOf(r)
	if err != nil {
		return err
	}
	currency := page.Settings(r).Currency
	build := func(u *order.Outlet) *form.Form { return tableForm(u, currency) }
	if _, err := house.ChangeOutlet(r.Context(), f.Studio, u.ID, form.Changing(r, build)); err != nil {
		return f.ShowAgain(w, r, "fees", err, f.Table)
	}
	return f.DoneSaying(w, r, "/studio/outlets/"+strconv.FormatInt(u.ID, 10)+"/fees", "fees")
}

// try is what the table keeps of a sale that the address names; none while it names none.
func try(r *http.Request, u order.Outlet, currency string, today calendar.Day) (*form.Form, *tried, error) {
	var b charging.Basis
	var price money.Amount
	b.Day = today
	fm := form.New("try", "")
	fm.Amount("price", "Price of the print", &price, currency).Must()
	fm.Amount("postage", "Postage charged", &b.Postage, currency)
	fm.Amount("tax", "Tax", &b.Tax, currency)
	fm.Day("on", "Sold on", &b.Day)
	asked := r.URL.Query()
	if asked.Get("price") == "" {
		return fm, nil, nil
	}
	if err := fm.Take(asked); err != nil {
		return fm, nil, err
	}
	b.Prints = []money.Amount{price}
	if b.Day.IsZero() {
		b.Day = today
	}
	t, err := tell(u, b)
	return fm, t, err
}

// tell is what an outlet keeps of a sale, and what is kept of the payment of the whole.
func tell(u order.Outlet, b charging.Basis) (*tried, error) {
	paid, err := money.Sum(b.Prints[0], b.Postage, b.Tax)
	if err != nil {
		return nil, err
	}
	sale, err := u.Fees.OnSale(b)
	if err != nil {
		return nil, err
	}
	payment, err := u.Fees.OnPayment(paid, b.Day)
	if err != nil {
		return nil, err
	}
	t := &tried{Sale: told(sale), Payment: told(payment)}
	if t.Sum, err = append(sale, payment...).Sum(); err != nil {
		return nil, err
	}
	t.Sum.Currency = paid.Currency
	t.Left, err = paid.Sub(t.Sum)
	return t, err
}

func told(bill charging.Bill) []tellPart {
	var out []tellPart
	for _, p := range bill {
		out = append(out, tellPart{p.Row.Name, p.Row.Tells() + ": of " + p.Of.String(), p.Amount})
	}
	return out
}
