package ledger

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/fault"
)

// Class is what an account is.
type Class string

// The classes of accounts.
const (
	Asset     Class = "asset"
	Liability Class = "liability"
	Equity    Class = "equity"
	Income    Class = "income"
	Expense   Class = "expense"
)

// Account is one account. Its key never changes; its name is hers to choose.
type Account struct {
	Key   string `json:"key"`
	Code  string `json:"code"`
	Name  string `json:"name"`
	Class Class  `json:"class"`
	Own   bool   `json:"renamed,omitempty"` // she named it
}

// The accounts, by key. docs/formats/journal.md says what goes to each.
const (
	Bank           = "bank"
	Cash           = "cash"
	AtOutlets      = "at-outlets" // paid by buyers, and not seen in bank or cash box yet
	Buyers         = "buyers"     // owed by them
	Galleries      = "galleries"
	Sheets         = "sheets"
	Consigned      = "consigned"
	Supplies       = "supplies"
	Claims         = "claims"
	Deposits       = "deposits"
	Tax            = "tax"
	OutletTax      = "outlet-tax"
	OutletTaxGone  = "outlet-tax-passed-on"
	Labs           = "labs"
	Postal         = "postal"
	Opening        = "opening"
	KeptPrints     = "kept-prints"
	Wage           = "wage" // her minutes, as long as nobody pays them
	Sales          = "sales"
	PostageCharged = "postage-charged"
	GallerySales   = "gallery-sales"
	Returns        = "returns"
	Refunds        = "refunds"
	Exchange       = "exchange"
	OtherIncome    = "other-income"
	CostOfPrints   = "cost-of-prints"
	Spoilt         = "spoilt"
	Counted        = "count-differences"
	PackagingUsed  = "packaging"
	PostagePaid    = "postage"
	OutletFees     = "outlet-fees"
	PaymentFees    = "payment-fees"
	GalleryShare   = "gallery-share"
	CashOff        = "cash-differences"
	FairCosts      = "fair-costs"
	ClaimLosses    = "claim-losses"
	Minutes        = "minutes"
	OtherCosts     = "other-costs"
)

var chart = []Account{
	{Key: Bank, Code: "1000", Name: "Bank", Class: Asset},
	{Key: Cash, Code: "1010", Name: "Cash box", Class: Asset},
	{Key: AtOutlets, Code: "1100", Name: "Money at outlets", Class: Asset},
	{Key: Buyers, Code: "1200", Name: "Owed by buyers", Class: Asset},
	{Key: Galleries, Code: "1210", Name: "Owed by galleries", Class: Asset},
	{Key: Sheets, Code: "1300", Name: "Sheets in the drawer", Class: Asset},
	{Key: Consigned, Code: "1310", Name: "Prints on consignment", Class: Asset},
	{Key: Supplies, Code: "1320", Name: "Packaging on the shelf", Class: Asset},
	{Key: Claims, Code: "1400", Name: "Claims on parcels", Class: Asset},
	{Key: Deposits, Code: "2000", Name: "Deposits of buyers", Class: Liability},
	{Key: Tax, Code: "2100", Name: "Sales tax to pay on", Class: Liability},
	{Key: OutletTax, Code: "2110", Name: "Sales tax that outlets collect", Class: Liability},
	{Key: OutletTaxGone, Code: "2111", Name: "Sales tax that outlets pay on", Class: Liability},
	{Key: Labs, Code: "2200", Name: "Labs and suppliers to pay", Class: Liability},
	{Key: Postal, Code: "2210", Name: "Postage to pay", Class: Liability},
	{Key: Opening, Code: "3000", Name: "Opening balances", Class: Equity},
	{Key: KeptPrints, Code: "3100", Name: "Prints kept by the artist", Class: Equity},
	{Key: Wage, Code: "3200", Name: "Minutes put in by the artist", Class: Equity},
	{Key: Sales, Code: "4000", Name: "Sales of prints", Class: Income},
	{Key: PostageCharged, Code: "4010", Name: "Postage charged", Class: Income},
	{Key: GallerySales, Code: "4020", Name: "Sales through galleries", Class: Income},
	{Key: Returns, Code: "4100", Name: "Sales that came back", Class: Income},
	{Key: Refunds, Code: "4110", Name: "Paid back to buyers, or taken off", Class: Income},
	{Key: Exchange, Code: "4900", Name: "Gains and losses by rates of exchange", Class: Income},
	{Key: OtherIncome, Code: "4990", Name: "Other income", Class: Income},
	{Key: CostOfPrints, Code: "5000", Name: "Cost of prints sold", Class: Expense},
	{Key: Spoilt, Code: "5010", Name: "Sheets spoilt and withdrawn", Class: Expense},
	{Key: Counted, Code: "5020", Name: "Differences when counted", Class: Expense},
	{Key: CashOff, Code: "5030", Name: "Differences of the cash box", Class: Expense},
	{Key: PackagingUsed, Code: "5100", Name: "Packaging used", Class: Expense},
	{Key: PostagePaid, Code: "5200", Name: "Postage paid", Class: Expense},
	{Key: OutletFees, Code: "5300", Name: "Fees of outlets", Class: Expense},
	{Key: PaymentFees, Code: "5310", Name: "Payment fees", Class: Expense},
	{Key: GalleryShare, Code: "5320", Name: "Shares of galleries", Class: Expense},
	{Key: FairCosts, Code: "5330", Name: "Stall fees and costs of fairs", Class: Expense},
	{Key: ClaimLosses, Code: "5400", Name: "Parcels damaged and lost", Class: Expense},
	{Key: Minutes, Code: "5500", Name: "Minutes at her wage", Class: Expense},
	{Key: OtherCosts, Code: "5990", Name: "Other costs", Class: Expense},
}

// Chart returns the accounts by code, under the names that were chosen for some by key.
func Chart(names map[string]string) []Account {
	out := slices.Clone(chart)
	for i := range out {
		if n := names[out[i].Key]; n != "" {
			out[i].Name, out[i].Own = n, true
		}
	}
	return out
}

// Known finds an account of the trade by its key or its code.
func Known(text string) (Account, bool) {
	i := slices.IndexFunc(chart, func(a Account) bool { return a.Key == text || a.Code == text })
	if i < 0 {
		return Account{}, false
	}
	return chart[i], true
}

// MayName refuses what a name of an account may not be: another account's, or what the plain text could not be read back by. "" is the
// trade's own. Faults: Invalid, Taken.
func MayName(account, name string, names map[string]string) error {
	switch {
	case name == "":
		return nil
	case !utf8.ValidString(name) || utf8.RuneCountInString(name) > 80 || strings.TrimSpace(name) != name || strings.Contains(name, "  "):
		return fault.Invalidf("name", "the name is longer than 80 characters, or has spaces at its ends or two in a row").ToMend("write it like \"Owed by buyers\"")
	case strings.ContainsAny(name, ":;|()[]\"*!=@{}~") || strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }) || !unicode.IsLetter(first(name)):
		return fault.Invalidf("name", "%.60q begins with no letter, or holds a sign that parts the columns of a journal", name).ToMend("use letters, digits, and signs such as - , . & /")
	}
	for _, a := range Chart(names) {
		if a.Key != account && strings.EqualFold(a.Name, name) {
			return fault.New(fault.Taken, "account %s is called %q", a.Code, a.Name).In("name").ToMend("choose another name")
		}
	}
	return nil
}

func first(s string) rune {
	r, _ := utf8.DecodeRuneInString(s)
	return r
}

// Balance is what stands on an account in one currency.
type Balance struct {
	Account
	Debit  int64  `json:"debit"` // minor units; one of the two is 0
	Credit int64  `json:"credit"`
	Of     string `json:"currency"`
}

// Trial is the trial balance of sums: what stands on each account that moved, by code and currency. The debits of a currency are its credits.
func Trial(sums []Sum, names map[string]string) []Balance {
	type at struct{ account, currency string }
	all := map[at]int64{}
	for _, s := range sums {
		all[at{s.Account, s.Amount.Currency}] += s.Amount.Minor
	}
	var out []Balance
	for k, n := range all {
		b := Balance{Account: Named(k.account, names), Debit: max(n, 0), Credit: max(-n, 0), Of: k.currency}
		out = append(out, b)
	}
	slices.SortFunc(out, func(a, b Balance) int {
		return cmp.Or(cmp.Compare(a.Code, b.Code), cmp.Compare(a.Key, b.Key), cmp.Compare(a.Of, b.Of))
	})
	return out
}

// Named is the account of a key under the name that was chosen for it; what is no account of the trade is told by its key alone.
func Named(account string, names map[string]string) Account {
	a, ok := Known(account)
	if !ok {
		return Account{Key: account, Code: "9999", Name: account, Class: Expense}
	}
	if n := names[account]; n != "" {
		a.Name, a.Own = n, true
	}
	return a
}
