// Package years is what a year came to, in a browser, each row traced to its entries; the closing of periods, and opening balances. Each
// exported method of Years answers one route of package web.
package years

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"solander/banking"
	"solander/book"
	"solander/calendar"
	"solander/fault"
	"solander/journal"
	"solander/ledger"
	"solander/money"
	"solander/web/form"
	"solander/web/page"
	"solander/yearly"
	"solander/years"
)

// Years is the handlers of this room.
type Years struct{ *page.Kit }

// YearPage is what a year came to.
type YearPage struct {
	page.Frame
	View   years.View
	Parts  []part
	Left   string
	Others []yearly.Year // in other currencies
	Before int
	After  int // 0 = it is not there yet
	Close  *form.Form
	Closed []ledger.Closing
}

// part is a part of a year, with its rows.
type part struct {
	Part yearly.Part
	Rows []row
	Sum  string
}

type row struct {
	yearly.Row
	To string
}

func closeForm(until *calendar.Day, sure *bool, year int) *form.Form {
	fm := form.New("close", fmt.Sprintf("/earnings/year/%d/close", year))
	fm.Day("until", "Close everything up to", until).Half().Must()
	fm.Tick("sure", "I know that it cannot be opened again", sure).Half()
	return fm
}

// asked is the year that the address names.
func asked(r *http.Request) (int, error) {
	year, err := strconv.Atoi(r.PathValue("year"))
	if err != nil || year < 1970 || year > 2200 {
		return 0, fault.New(fault.Missing, "there is no year %.10q here", r.PathValue("year")).ToMend("look at this year's page")
	}
	return year, nil
}

// ThisYear is the year of today.
func (f *Years) ThisYear(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "earnings", "The year")
	if err != nil {
		return err
	}
	year, _, _ := fr.Today.Civil()
	r.SetPathValue("year", strconv.Itoa(year))
	return f.Year(w, r, nil)
}

// Year is the page.
func (f *Years) Year(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	year, err := asked(r)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", fmt.Sprintf("The year %d", year))
	if err != nil {
		return err
	}
	v, err := years.Year(r.Context(), f.Seen(r), year)
	if err != nil {
		return err
	}
	p := &YearPage{Frame: fr, View: v, Others: v.Years[1:], Before: year - 1}
	p.Tell(fail)
	if now, _, _ := fr.Today.Civil(); year < now {
		p.After = year + 1
	}
	home := v.Years[0]
	p.Left = home.Left.String()
	for _, x := range yearly.Parts() {
		out := part{Part: x}
		for _, y := range home.In(x) {
			out.Rows = append(out.Rows, row{y, fmt.Sprintf("/earnings/year/%d/entries?of=%s", year, y.Key)})
		}
		switch x {
		case yearly.Income:
			out.Sum = home.Income.String()
		case yearly.Costs:
			out.Sum = home.Costs.String()
		}
		p.Parts = append(p.Parts, out)
	}
	until, sure := calendar.Date(year, time.December, 31), false
	if !until.Before(fr.Today) {
		until = calendar.Day{}
	}
	p.Close = p.Put(closeForm(&until, &sure, year), fail)
	if p.Closed, err = journal.Closed(r.Context(), f.Seen(r)); err != nil {
		return err
	}
	return f.Show(w, r, page.StatusOf(fail), "year", p)
}

// Close closes a period.
func (f *Years) Close(w http.ResponseWriter, r *http.Request) error {
	year, err := asked(r)
	if err != nil {
		return err
	}
	var until calendar.Day
	sure := false
	err = closeForm(&until, &sure, year).TakeAnd(r.PostForm, func() error {
		if !sure {
			return fault.Invalidf("sure", "you have not said that you are sure").ToMend("tick that it cannot be opened again")
		}
		_, err := journal.Close(r.Context(), f.Studio, until)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "close", err, f.Year)
	}
	return f.DoneSaying(w, r, fmt.Sprintf("/earnings/year/%d", year), "period")
}

// EntriesPage is the entries of a row.
type EntriesPage struct {
	page.Frame
	Year   int
	Traced years.Traced
	Months []page.Link
	Newer  string
	Older  string
}

// Entries lists the entries that a row of a year is made of.
func (f *Years) Entries(w http.ResponseWriter, r *http.Request) error {
	year, err := asked(r)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	in := years.TraceIn{Year: year, Of: q.Get("of")}
	for name, to := range map[string]*int{"month": &in.Month, "page": &in.Page} {
		if text := q.Get(name); text != "" {
			if *to, err = strconv.Atoi(text); err != nil {
				return fault.Invalidf(name, "%.20q is no number", text).ToMend("open it from the year's page")
			}
		}
	}
	if text := q.Get("entry"); text != "" {
		if in.Entry, err = strconv.ParseInt(text, 10, 64); err != nil {
			return fault.Invalidf("entry", "%.20q is no number", text).ToMend("open it from what an order earned")
		}
	}
	v, err := years.Trace(r.Context(), f.Seen(r), in)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", fmt.Sprintf("%s, %d", v.Name, year))
	if err != nil {
		return err
	}
	p := &EntriesPage{Frame: fr, Year: year, Traced: v}
	to := func(month, at int) string {
		out := url.Values{"of": {in.Of}}
		if month > 0 {
			out.Set("month", strconv.Itoa(month))
		}
		if at > 0 {
			out.Set("page", strconv.Itoa(at))
		}
		return fmt.Sprintf("/earnings/year/%d/entries?%s", year, out.Encode())
	}
	p.Months = append(p.Months, page.LinkTo(to(0, 0), "The whole year"))
	for m := time.January; m <= time.December; m++ {
		p.Months = append(p.Months, page.LinkTo(to(int(m), 0), m.String()))
	}
	if in.Page > 0 {
		p.Newer = to(in.Month, in.Page-1)
	}
	if v.More {
		p.Older = to(in.Month, in.Page+1)
	}
	return f.Show(w, r, http.StatusOK, "yearentries", p)
}

// OpeningPage asks for opening balances.
type OpeningPage struct {
	page.Frame
	Balance *form.Form
	Cost    *form.Form
}

const opening = "/earnings/opening"

func balanceForm(in *years.OpeningIn, accounts []ledger.Account, banks []banking.AccountView, currency string) *form.Form {
	fm := form.New("balance", opening)
	var picks []form.Choice
	for _, a := range accounts {
		if a.Class == ledger.Asset || a.Class == ledger.Liability {
			picks = append(picks, form.Pick(a.Key, a.Code+" "+a.Name))
		}
	}
	form.Select(fm, "account", "Account", &in.Account, picks...).Half()
	fm.Amount("amount", "What stood there", &in.Amount, currency).Half().Must().WithHint("what there was, or what you owed")
	fm.Day("day", "On the day", &in.Day).Half().Must().WithHint("the last before the program kept the books")
	fm.Text("text", "Where you have it from", &in.Text).Half()
	if len(banks) > 1 {
		of := []form.Choice{form.Pick("0", "all accounts at banks")}
		for _, b := range banks {
			of = append(of, form.PickID(b.ID, b.Name))
		}
		fm.ID("bank", "Of the account Bank: which it is", &in.Bank, of...).Half()
	}
	return fm
}

// costIn is what the form of a cost asks for.
type costIn struct {
	mark string
	cost money.Amount
}

func costForm(in *costIn, currency string) *form.Form {
	fm := form.New("cost", opening+"/cost")
	fm.Text("order", "Order", &in.mark).Half().Must().WithHint("its mark")
	fm.Amount("cost", "What its prints cost together", &in.cost, currency).Half().Must()
	return fm
}

// Opening is the page.
func (f *Years) Opening(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "earnings", "Opening balances")
	if err != nil {
		return err
	}
	accounts, err := journal.Accounts(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	banks, err := banking.Accounts(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &OpeningPage{Frame: fr}
	currency := page.Settings(r).Currency
	p.Balance = p.Put(balanceForm(&years.OpeningIn{}, accounts, banks, currency), fail)
	p.Cost = p.Put(costForm(&costIn{}, currency), fail)
	return f.Show(w, r, page.StatusOf(fail), "opening", p)
}

// Open enters an opening balance.
func (f *Years) Open(w http.ResponseWriter, r *http.Request) error {
	accounts, err := journal.Accounts(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	set, err := f.Studio.Settings(r.Context())
	if err != nil {
		return err
	}
	banks, err := banking.Accounts(r.Context(), f.Studio)
	if err != nil {
		return err
	}
	in := years.OpeningIn{}
	err = balanceForm(&in, accounts, banks, set.Currency).TakeAnd(r.PostForm, func() error { return years.Open(r.Context(), f.Studio, in) })
	if err != nil {
		return f.ShowAgain(w, r, "balance", err, f.Opening)
	}
	return f.DoneSaying(w, r, opening, "opened")
}

// Cost enters what the prints of an order cost that was moved in.
func (f *Years) Cost(w http.ResponseWriter, r *http.Request) error {
	set, err := f.Studio.Settings(r.Context())
	if err != nil {
		return err
	}
	in := costIn{}
	err = costForm(&in, set.Currency).TakeAnd(r.PostForm, func() error {
		o, err := orderMarked(r, f.Kit, in.mark)
		if err != nil {
			return err
		}
		return years.Cost(r.Context(), f.Studio, years.CostIn{Order: o, Cost: in.cost})
	})
	if err != nil {
		return f.ShowAgain(w, r, "cost", err, f.Opening)
	}
	return f.DoneSaying(w, r, opening, "opened")
}

// orderMarked is the order of a mark that was typed.
func orderMarked(r *http.Request, f *page.Kit, mark string) (int64, error) {
	o, err := book.OrderByMark(r.Context(), f.Studio, strings.ToUpper(strings.TrimSpace(mark)))
	if fault.Is(err, fault.Missing) {
		return 0, fault.New(fault.Missing, "there is no order %.30q", mark).In("order").ToMend("write its mark, like S-1042")
	}
	return o.ID, err
}
