// Package earnings knows what sales earn: of what an amount of the journal is, sums of it by any grouping, what was earned of the income in
// per cent, which sales earned less than they cost, from how many prints on a run has paid for itself, and what price steps earned or would.
//
// What is earned is more than nothing, what it costs less. It is in minor units of one currency a table; amounts of another stand in a table
// of their own. Nothing is left out: what refers to no edition, outlet or order has a group of its own, so the sum over any grouping is that of
// the income and costs of the journal. It knows no store and no clock.
package earnings

import (
	"cmp"
	"slices"

	"solander/ledger"
	"solander/money"
)

// Part is of what an amount is.
type Part string

// The parts, in the order in which they are told.
const (
	Price      Part = "price"           // of prints, as sold
	Charged    Part = "postage-charged" //
	OtherIn    Part = "other-income"    //
	CameBack   Part = "came-back"       // sales that came back
	PaidBack   Part = "paid-back"       // to buyers who keep what they have
	Sheet      Part = "sheets"          // of the layers that they were taken from: rejected ones are in the good ones
	Reprints   Part = "reprints"        // sheets spoilt, withdrawn, or missing when counted
	Packaging  Part = "packaging"       //
	Postage    Part = "postage"         // with surcharges, as paid
	OutletFee  Part = "outlet-fees"     //
	PaymentFee Part = "payment-fees"    //
	Gallery    Part = "gallery-shares"  //
	Fairs      Part = "fair-costs"      // stall fees, travel
	CashBox    Part = "cash-box"        // what it was off when it was counted
	Claims     Part = "claims"          // parcels damaged and lost, less what was made good
	Minutes    Part = "minutes"         // at her wage
	OtherOut   Part = "other-costs"     //
)

// parts are all of them with their words, and which accounts of the journal they are.
var parts = []struct {
	part     Part
	words    string
	income   bool
	accounts []string
}{
	{Price, "Prints", true, []string{ledger.Sales, ledger.GallerySales}},
	{Charged, "Postage charged", true, []string{ledger.PostageCharged}},
	{OtherIn, "Other income", true, []string{ledger.OtherIncome, ledger.Exchange}},
	{CameBack, "Sales that came back", true, []string{ledger.Returns}},
	{PaidBack, "Paid back", true, []string{ledger.Refunds}},
	{Sheet, "Sheets", false, []string{ledger.CostOfPrints}},
	{Reprints, "Spoilt, or missing when counted", false, []string{ledger.Spoilt, ledger.Counted}},
	{Packaging, "Packaging", false, []string{ledger.PackagingUsed}},
	{Postage, "Postage paid", false, []string{ledger.PostagePaid}},
	{OutletFee, "Fees of outlets", false, []string{ledger.OutletFees}},
	{PaymentFee, "Payment fees", false, []string{ledger.PaymentFees}},
	{Gallery, "Shares of galleries", false, []string{ledger.GalleryShare}},
	{Fairs, "Stall fees and costs of fairs", false, []string{ledger.FairCosts}},
	{CashBox, "Differences of the cash box", false, []string{ledger.CashOff}},
	{Claims, "Damaged and lost", false, []string{ledger.ClaimLosses}},
	{Minutes, "Minutes at her wage", false, []string{ledger.Minutes}},
	{OtherOut, "Other costs", false, []string{ledger.OtherCosts}},
}

// Parts returns all parts in the order in which they are told.
func Parts() []Part {
	var out []Part
	for _, p := range parts {
		out = append(out, p.part)
	}
	return out
}

// Words says a part as people read it.
func (p Part) Words() string {
	for _, x := range parts {
		if x.part == p {
			return x.words
		}
	}
	return string(p)
}

// Income reports a part that is told as income, be it less of it.
func (p Part) Income() bool {
	for _, x := range parts {
		if x.part == p {
			return x.income
		}
	}
	return false
}

// PartOf is of which part an account of the journal is; false of one that says what there is or is owed, not what was earned. Income and
// costs that the program does not know by name are other income, other costs.
func PartOf(account string) (Part, bool) {
	for _, x := range parts {
		if slices.Contains(x.accounts, account) {
			return x.part, true
		}
	}
	switch ledger.Named(account, nil).Class {
	case ledger.Income:
		return OtherIn, true
	case ledger.Expense:
		return OtherOut, true
	}
	return "", false
}

// Fact is an amount that was earned, or that it cost, with what it belongs to; 0 = to nothing in particular.
type Fact struct {
	Month     string // "2031-04"; "" = not told by month
	Edition   int64
	Outlet    int64
	Order     int64
	Line      int64
	Part      Part
	Amount    money.Amount // earned: a cost is less than nothing
	Estimated bool         // not in the journal yet
}

// Of is the fact that a sum of the journal says; false when it is none of what was earned.
func Of(account string, booked money.Amount) (Fact, bool) {
	part, ok := PartOf(account)
	return Fact{Part: part, Amount: booked.Neg()}, ok
}

// Sum is what a part comes to: what the journal says, and what is estimated beside it.
type Sum struct {
	Part      Part  `json:"part"`
	Known     int64 `json:"known"` // minor units
	Estimated int64 `json:"estimated"`
}

// Both is all of it.
func (s Sum) Both() int64 { return s.Known + s.Estimated }

// Group is what belongs together, with what it earned.
type Group struct {
	Key      string `json:"key"` // by which it is asked for
	Name     string `json:"name"`
	Prints   int    `json:"prints,omitempty"`
	Currency string `json:"currency"`
	Sums     []Sum  `json:"sums"` // of the parts that there are, in their order
}

// Add adds a fact to the group.
func (g *Group) Add(f Fact) {
	g.Currency = cmp.Or(g.Currency, f.Amount.Currency)
	i := slices.IndexFunc(g.Sums, func(s Sum) bool { return s.Part == f.Part })
	if i < 0 {
		g.Sums = append(g.Sums, Sum{Part: f.Part})
		i = len(g.Sums) - 1
	}
	if f.Estimated {
		g.Sums[i].Estimated += f.Amount.Minor
	} else {
		g.Sums[i].Known += f.Amount.Minor
	}
}

// sum adds up the parts of which which is true.
func (g Group) sum(which func(Part) bool) (s Sum) {
	for _, x := range g.Sums {
		if which(x.Part) {
			s.Known, s.Estimated = s.Known+x.Known, s.Estimated+x.Estimated
		}
	}
	return s
}

// Of is what one part of it comes to.
func (g Group) Of(p Part) Sum { return g.sum(func(q Part) bool { return q == p }) }

// Income is what came in: prices and postage charged, less what went back.
func (g Group) Income() Sum { return g.sum(Part.Income) }

// Costs is what it cost, less than nothing.
func (g Group) Costs() Sum { return g.sum(func(p Part) bool { return !p.Income() }) }

// Left is what is left of the income.
func (g Group) Left() Sum { return g.sum(func(Part) bool { return true }) }

// BelowCost reports whether something was sold, and for less than it cost.
func (g Group) BelowCost() bool { return g.Income().Both() > 0 && g.Left().Both() < 0 }

// PerMille is what is left of so much income, in thousandths, rounded half away from zero; false without income.
func PerMille(left, income int64) (int64, bool) {
	if income <= 0 {
		return 0, false
	}
	share, err := money.Of(left, "").Share(1000, income)
	return share.Minor, err == nil
}

// Key says to which group a fact belongs, and what the group is called.
type Key func(Fact) (key, name string)

// By groups facts of one currency by a key, by what is left, the most first; of groups that are alike by name. Facts of other currencies
// are not in it.
func By(facts []Fact, currency string, key Key) []Group {
	at := map[string]int{}
	var out []Group
	for _, f := range facts {
		if f.Amount.Currency != currency {
			continue
		}
		k, name := key(f)
		i, known := at[k]
		if !known {
			i = len(out)
			at[k], out = i, append(out, Group{Key: k, Name: name, Currency: currency})
		}
		out[i].Add(f)
	}
	for i := range out {
		out[i].Sorted()
	}
	slices.SortFunc(out, Compare)
	return out
}

// Compare puts the group of which more is left before the other; of groups that are alike by name.
func Compare(a, b Group) int {
	return cmp.Or(cmp.Compare(b.Left().Both(), a.Left().Both()), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Key, b.Key))
}

// State is the lot of an order by where it goes: its country, and its state where the country has some that tax is told by.
func State(country, region string) string {
	if region == "" || country == "" {
		return country
	}
	return country + " " + region
}

// Sorted puts the parts of a group in their order.
func (g *Group) Sorted() {
	all := Parts()
	slices.SortFunc(g.Sums, func(a, b Sum) int { return cmp.Compare(slices.Index(all, a.Part), slices.Index(all, b.Part)) })
}

// Together is what groups come to.
func Together(groups []Group, currency string) Group {
	all := Total(nil, currency)
	for _, g := range groups {
		for _, s := range g.Sums {
			all.Add(Fact{Part: s.Part, Amount: money.Of(s.Known, currency)})
			all.Add(Fact{Part: s.Part, Amount: money.Of(s.Estimated, currency), Estimated: true})
		}
	}
	all.Sorted()
	return all
}

// Total is all facts of a currency as one group.
func Total(facts []Fact, currency string) Group {
	g := Group{Key: "all", Name: "All", Currency: currency}
	for _, f := range facts {
		if f.Amount.Currency == currency {
			g.Add(f)
		}
	}
	g.Sorted()
	return g
}
