// Package yearly knows what a year came to: what was sold and what that cost, by the accounts of the journal, what the stock is worth and what
// stands open at its end. Every row names its accounts, so that it can be traced to its entries. Amounts stand as they are read: income
// and costs are more than nothing. It computes all of it from sums that the journal keeps.
package yearly

import (
	"fmt"
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/ledger"
	"solander/money"
)

// Part is where on the page a row stands.
type Part string

// The parts.
const (
	Income Part = "income"
	Costs  Part = "costs"
	Stock  Part = "stock" // at the end of the year
	Open   Part = "open"  // at the end of the year
)

// Words says the part.
func (p Part) Words() string {
	return map[Part]string{Income: "Came in by sales", Costs: "Cost", Stock: "Stock at the end of the year", Open: "Open at the end of the year"}[p]
}

// Parts returns all parts.
func Parts() []Part { return []Part{Income, Costs, Stock, Open} }

// kind is one row before it has an amount. sign turns a debit into what is read.
type kind struct {
	key, name string
	part      Part
	sign      int64
	accounts  []string
}

var kinds = []kind{
	{"sales", "Sales of prints", Income, -1, []string{ledger.Sales, ledger.GallerySales}},
	{"postage-charged", "Postage charged", Income, -1, []string{ledger.PostageCharged}},
	{"refunds", "Came back, and paid back", Income, -1, []string{ledger.Returns, ledger.Refunds}},
	{"other-income", "Other income, gains and losses by rates of exchange", Income, -1, []string{ledger.OtherIncome, ledger.Exchange}},
	{"cost-of-goods", "Cost of prints sold", Costs, 1, []string{ledger.CostOfPrints}},
	{"spoilt", "Spoilt, and differences when counted", Costs, 1, []string{ledger.Spoilt, ledger.Counted}},
	{"supplies", "Packaging used", Costs, 1, []string{ledger.PackagingUsed}},
	{"postage", "Postage paid", Costs, 1, []string{ledger.PostagePaid}},
	{"fees", "Fees of outlets and payments", Costs, 1, []string{ledger.OutletFees, ledger.PaymentFees}},
	{"galleries", "Shares of galleries", Costs, 1, []string{ledger.GalleryShare}},
	{"fairs", "Stall fees, costs of fairs, differences of the cash box", Costs, 1, []string{ledger.FairCosts, ledger.CashOff}},
	{"claims", "Parcels damaged and lost", Costs, 1, []string{ledger.ClaimLosses}},
	{"minutes", "Minutes at her wage", Costs, 1, []string{ledger.Minutes}},
	{"other-costs", "Other costs", Costs, 1, []string{ledger.OtherCosts}},
	{"sheets", "Sheets in the drawer, and on consignment", Stock, 1, []string{ledger.Sheets, ledger.Consigned}},
	{"shelf", "Packaging on the shelf", Stock, 1, []string{ledger.Supplies}},
	{"tax", "Sales tax to pay on", Open, -1, []string{ledger.Tax}},
	{"deposits", "Deposits of buyers", Open, -1, []string{ledger.Deposits}},
	{"buyers", "Owed by buyers, galleries and operators", Open, 1, []string{ledger.Buyers, ledger.Galleries, ledger.Claims}},
	{"to-pay", "Labs, suppliers and postage to pay", Open, -1, []string{ledger.Labs, ledger.Postal}},
	{"money", "Money in bank, cash box and at outlets", Open, 1, []string{ledger.Bank, ledger.Cash, ledger.AtOutlets}},
}

// Accounts are those of a row. Faults: Missing.
func Accounts(key string) (name string, accounts []string, atEnd bool, err error) {
	i := slices.IndexFunc(kinds, func(k kind) bool { return k.key == key })
	if i < 0 {
		return "", nil, false, fault.New(fault.Missing, "the year has no row %.30q", key).In("of").ToMend("take one of the year's page, such as sales")
	}
	return kinds[i].name, kinds[i].accounts, kinds[i].part == Stock || kinds[i].part == Open, nil
}

// RowOf is the key of the row to which an account belongs; false when it is in none.
func RowOf(account string) (key string, ok bool) {
	i := slices.IndexFunc(kinds, func(k kind) bool { return slices.Contains(k.accounts, account) })
	if i < 0 {
		return "", false
	}
	return kinds[i].key, true
}

// Month is what moved on an account in a month of the year, or before it: then its Month is "".
type Month struct {
	Month   string
	Account string
	Amount  money.Amount
}

// Row is one row: of what a year came to, or of what stood at its end.
type Row struct {
	Key    string         `json:"key"`
	Name   string         `json:"name"`
	Part   Part           `json:"part"`
	Amount money.Amount   `json:"amount"`
	Months []money.Amount `json:"months,omitempty"` // of the twelve, where it is what the year came to
}

// Year is what a year came to, in one currency.
type Year struct {
	Year     int          `json:"year"`
	Currency string       `json:"currency"`
	Rows     []Row        `json:"rows"`
	Income   money.Amount `json:"income"`
	Costs    money.Amount `json:"costs"`
	Left     money.Amount `json:"left"` // of the income, after the costs
}

// Of makes the years of a year's sums: one a currency, the first of them home's. Faults: Invalid when a sum does not fit.
func Of(year int, sums []Month, home string) ([]Year, error) {
	currencies := []string{home}
	for _, s := range sums {
		if !slices.Contains(currencies, s.Amount.Currency) {
			currencies = append(currencies, s.Amount.Currency)
		}
	}
	slices.Sort(currencies[1:])
	var out []Year
	for _, c := range currencies {
		y, err := of(year, sums, c)
		if err != nil {
			return nil, err
		}
		out = append(out, y)
	}
	return out, nil
}

func of(year int, sums []Month, currency string) (Year, error) {
	none := money.Of(0, currency)
	y := Year{Year: year, Currency: currency, Income: none, Costs: none}
	for _, k := range kinds {
		r := Row{Key: k.key, Name: k.name, Part: k.part, Amount: none}
		flows := k.part == Income || k.part == Costs
		for range 12 {
			if flows {
				r.Months = append(r.Months, none)
			}
		}
		for _, s := range sums {
			if s.Amount.Currency != currency || !slices.Contains(k.accounts, s.Account) || flows && s.Month == "" {
				continue
			}
			a := s.Amount
			if a.Minor *= k.sign; flows {
				if err := add(&r.Months[monthOf(s.Month)], a); err != nil {
					return y, err
				}
			}
			if err := add(&r.Amount, a); err != nil {
				return y, err
			}
		}
		var err error
		switch k.part {
		case Income:
			err = add(&y.Income, r.Amount)
		case Costs:
			err = add(&y.Costs, r.Amount)
		}
		if err != nil {
			return y, err
		}
		y.Rows = append(y.Rows, r)
	}
	var err error
	y.Left, err = y.Income.Sub(y.Costs)
	return y, err
}

func add(to *money.Amount, a money.Amount) (err error) {
	*to, err = to.Add(a)
	return err
}

// monthOf is the place of "2026-04" among the twelve.
func monthOf(month string) int {
	var y, m int
	if _, err := fmt.Sscanf(month, "%d-%d", &y, &m); err != nil || m < 1 || m > 12 {
		return 0
	}
	return m - 1
}

// In are the rows of a part.
func (y Year) In(p Part) []Row {
	var out []Row
	for _, r := range y.Rows {
		if r.Part == p {
			out = append(out, r)
		}
	}
	return out
}

// Empty reports whether nothing moved and nothing stands.
func (y Year) Empty() bool {
	return !slices.ContainsFunc(y.Rows, func(r Row) bool { return r.Amount.Sign() != 0 })
}

// Traced is a line of the journal, by which a row is traced. Amount is as it stands on the account: a debit, or less than nothing.
type Traced struct {
	Entry   int64        `json:"entry"`
	Day     calendar.Day `json:"day"`
	True    calendar.Day `json:"true_day,omitzero"` // when it happened, where that lies in a closed period
	Text    string       `json:"text"`
	Account string       `json:"account"`
	Mark    string       `json:"mark,omitempty"` // of its order
	Amount  money.Amount `json:"amount"`
}

// Query says which lines are wanted: of accounts, or all; between two days, by day; Late alone those that put a closed period right.
type Query struct {
	Accounts    []string
	From, Until calendar.Day
	Late        bool
	Entry       int64 // of one alone; 0: of all
	Skip, Limit int
}

// Store answers what the journal keeps of a year.
type Store interface {
	// YearSums returns what moved on the accounts in each month of a year, and before it.
	YearSums(year int) ([]Month, error)
	// Trace returns lines of the journal by day and entry.
	Trace(q Query) ([]Traced, error)
}
