// Package bank is the bank's lines in a browser: the accounts, a file brought in, and what each line is, by her word. Each exported method of
// Bank answers one route of package web.
package bank

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"solander/bankfile"
	"solander/banking"
	"solander/intake"
	"solander/matching"
	"solander/money"
	"solander/web/form"
	"solander/web/page"
)

// Bank is the handlers of this room.
type Bank struct{ *page.Kit }

// AccountsPage lists the accounts.
type AccountsPage struct {
	page.Frame
	Accounts []accountLine
	New      *form.Form
}

type accountLine struct {
	banking.AccountView
	Open, Matched, Aside int
	Ends                 string // the last signs of its number
}

func lineOf(v banking.AccountView) accountLine {
	return accountLine{v, v.Lines(bankfile.Open), v.Lines(bankfile.Matched), v.Lines(bankfile.Aside), bankfile.Masked(v.Number)}
}

func accountForm(a *bankfile.Account) *form.Form {
	to := "/earnings/bank"
	if a.ID != 0 {
		to = address(a.ID) + "/name"
	}
	fm := form.New("account", to)
	fm.Text("name", "Name", &a.Name).Must().Half().WithHint("what you call it")
	fm.Text("number", "Number", &a.Number).Half().WithHint("as the bank’s files write it; empty: the first file says it")
	if a.ID == 0 {
		var picks []form.Choice
		for _, c := range money.Currencies() {
			picks = append(picks, form.Pick(c.Code, c.Code+", "+c.Name))
		}
		form.Select(fm, "currency", "Money", &a.Currency, picks...).Half()
	}
	return fm
}

func address(id int64) string { return "/earnings/bank/" + strconv.FormatInt(id, 10) }

// List shows the accounts.
func (f *Bank) List(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "earnings", "Bank lines")
	if err != nil {
		return err
	}
	all, err := banking.Accounts(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p := &AccountsPage{Frame: fr}
	for _, v := range all {
		p.Accounts = append(p.Accounts, lineOf(v))
	}
	p.New = p.Put(accountForm(&bankfile.Account{Currency: page.Settings(r).Currency}), fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "bank", p)
}

// Add adds an account.
func (f *Bank) Add(w http.ResponseWriter, r *http.Request) error {
	var a bankfile.Account
	err := accountForm(&a).Take(r.PostForm)
	id := int64(0)
	if err == nil {
		id, err = banking.SaveAccount(r.Context(), f.Studio, a)
	}
	if err != nil {
		return f.ShowAgain(w, r, "account", err, f.List)
	}
	return f.DoneSaying(w, r, address(id), "bank-account")
}

// AccountPage is one account: a file to bring in, and its lines.
type AccountPage struct {
	page.Frame
	Account accountLine
	Bring   *form.Form
	Rename  *form.Form
	Open    []openRow
	Sure    int // of them, proposed
	More    int // open lines that are not shown
	Settled []saidRow
	Earlier []saidRow // folded
}

type openRow struct {
	banking.OpenLine
	Words   string
	May     []mayBe // the proposal first
	Propose *mayBe
	Pick    *form.Form // which order it is; nil for money out of nothing
	Aside   *form.Form
	Payout  string // the address at which it is taken apart as a payout that was not entered yet; "" for money out
}

// Blamed reports whether something is wrong with what was typed of the line: then it is not folded.
func (r openRow) Blamed() bool { return r.Aside.Blamed || r.Pick != nil && r.Pick.Blamed }

// mayBe is one thing that a line may be.
type mayBe struct {
	Value string // as it is sent: valueOf
	Text  string
	To    string
	Why   string
	Buyer string
}

type saidRow struct {
	bankfile.Kept
	Action string
	To     string // what it is; "" = nothing
}

// toOf is the address of what a line was matched to.
func toOf(l bankfile.Kept) string {
	switch {
	case l.Mark != "":
		return "/orders/" + l.Mark
	case l.Payout != 0:
		return fmt.Sprintf("/earnings/payouts/%d", l.Payout)
	case l.House != 0:
		return fmt.Sprintf("/earnings/galleries/%d", l.House)
	case l.Claim != 0:
		return fmt.Sprintf("/claims/%d", l.Claim)
	case l.Fair != 0:
		return fmt.Sprintf("/earnings/fairs/%d", l.Fair)
	}
	return ""
}

// mostSaid is how many of those lines are listed of which something was said.
const mostSaid = 40

// unfolded is how many of them stand on the page at once.
const unfolded = 5

func mayBeOf(p matching.Pair) mayBe {
	var why []string
	for _, r := range p.Reasons {
		why = append(why, r.Text)
	}
	m := mayBe{valueOf(banking.Yes(p.Line, p.Candidate)), "a payment of " + p.Mark, "/orders/" + p.Mark, strings.Join(why, "; "), p.Buyer}
	switch {
	case p.Payout != 0:
		m.Text, m.To = fmt.Sprintf("payout %d", p.Payout), fmt.Sprintf("/earnings/payouts/%d", p.Payout)
	case p.Money != 0:
		m.Text, m.To = "money of a gallery", "/earnings/galleries"
	case p.Gallery != 0:
		m.Text, m.To = "what a gallery owes", fmt.Sprintf("/earnings/galleries/%d", p.Gallery)
	case p.Claim != 0 && p.Owed:
		m.Text, m.To = fmt.Sprintf("what was granted for claim %d", p.Claim), fmt.Sprintf("/claims/%d", p.Claim)
	case p.Claim != 0:
		m.Text, m.To = fmt.Sprintf("the payment of claim %d", p.Claim), fmt.Sprintf("/claims/%d", p.Claim)
	case p.Carry != 0:
		m.Text, m.To = "cash carried to the bank", "/earnings/fairs"
	case p.Fair != 0:
		m.Text, m.To = "cash of a day at a table", fmt.Sprintf("/earnings/fairs/%d", p.Fair)
	case p.Payment == 0 && p.Amount.Sign() < 0:
		m.Text = "what is to be paid back of " + p.Mark
	case p.Payment == 0:
		m.Text = "what " + p.Mark + " owes"
	}
	return m
}

func bringForm(m *bankfile.Mapping, account int64) *form.Form {
	fm := form.New("bring", address(account)+"/files")
	fm.Ask("file", "File of the bank").As("file").Wide().Must().WithHint("OFX, CSV or a workbook. What came before is known again and left.").Accept = ".ofx,.qfx,.csv,.txt,.xlsx"
	from := len(fm.Fields())
	fm.Text("day", "Heading over the days", &m.Day).Half().WithHint("of a table; empty: it is guessed")
	fm.Text("amount", "Over amounts with a sign", &m.Amount).Half()
	fm.Text("in", "Or over money in", &m.In).Half()
	fm.Text("out", "and over money out", &m.Out).Half()
	fm.Text("name", "Over who paid", &m.Name).Half()
	fm.Text("note", "Over the bank’s note", &m.Note).Half()
	fm.Text("ref", "Over the bank’s mark of a line", &m.Ref).Half()
	form.Select(fm, "days", "4/6 is", &m.Days, form.Pick("", "as the file shows"), form.Pick(string(intake.DayMonth), "4 June"), form.Pick(string(intake.MonthDay), "April 6")).Half()
	form.Select(fm, "decimal", "Decimals stand behind", &m.Decimal, form.Pick("", "what the file shows"), form.Pick(".", "a point"), form.Pick(",", "a comma")).Half()
	fm.Tick("turned", "Money in is written with a minus", &m.Turned).Half()
	for _, fd := range fm.Fields()[from:] {
		fd.Apart = true
	}
	return fm
}

// Account shows one account.
func (f *Bank) Account(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	id, err := page.PathID(r, "account")
	if err != nil {
		return err
	}
	v, err := banking.Account(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", v.Name)
	if err != nil {
		return err
	}
	open, err := banking.Open(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	p := &AccountPage{Frame: fr, Account: lineOf(v)}
	p.Tell(fail)
	for _, l := range open {
		row := rowOf(l)
		p.Put(row.Aside, fail)
		p.Put(row.Pick, fail)
		p.Open = append(p.Open, row)
		if l.Proposal != nil {
			p.Sure++
		}
	}
	p.More = p.Account.Open - len(p.Open)
	for _, state := range []bankfile.State{bankfile.Matched, bankfile.Aside} {
		lines, err := banking.Lines(r.Context(), f.Seen(r), bankfile.Query{Account: id, State: state, Limit: mostSaid})
		if err != nil {
			return err
		}
		for _, l := range lines {
			p.Settled = append(p.Settled, saidRow{l, lineAddress(l.ID) + "/reopen", toOf(l)})
		}
	}
	slices.SortStableFunc(p.Settled, func(a, b saidRow) int { return b.Day.Sub(a.Day) })
	if len(p.Settled) > 2*unfolded {
		p.Settled, p.Earlier = p.Settled[:unfolded], p.Settled[unfolded:]
	}
	p.Bring = p.Put(bringForm(&v.Mapping, id), fail)
	p.Rename = p.Put(accountForm(&v.Account), fail)
	return f.Kit.Show(w, r, page.StatusOf(fail), "bankaccount", p)
}

func lineAddress(id int64) string { return "/earnings/bank/lines/" + strconv.FormatInt(id, 10) }

func rowOf(l banking.OpenLine) openRow {
	out := openRow{OpenLine: l, Words: intake.Clean(l.Name + " " + l.Kept.Note)}
	if l.Proposal != nil {
		m := mayBeOf(*l.Proposal)
		out.Propose = &m
	}
	for _, p := range l.Others {
		out.May = append(out.May, mayBeOf(p))
	}
	if l.Kept.Amount.Sign() > 0 {
		out.Payout = "/earnings/payouts/new?" + url.Values{"net": {l.Kept.Amount.Plain()}, "day": {l.Kept.Day.String()}}.Encode()
	}
	id := strconv.FormatInt(l.ID, 10)
	out.Aside = form.New("aside-"+id, lineAddress(l.ID)+"/aside")
	out.Aside.Ask("why", "What it is").Must().Half().Is("")
	out.Pick = form.New("order-"+id, lineAddress(l.ID)+"/order")
	out.Pick.Ask("order", "Order").Must().Half().WithHint("its mark, like S-1042")
	return out
}
