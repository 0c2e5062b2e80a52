// Package consign knows prints at galleries: what was agreed of each, what became of it, how a sale is split, what the gallery owes, and what
// it all earned. A print on consignment stays the artist's own until the gallery sells it; what is sold outright to a gallery is an ordinary
// sale at the wholesale price.
//
// Amounts are exact, in one currency a gallery. A gallery's share is rounded to the minor unit, half away from nothing; the rest is the
// artist's, so that both are the price. It knows no store and no clock, and gives no legal advice.
package consign

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/order"
)

// Bearer is who bears the loss of a print at a gallery.
type Bearer string

// Who bears a loss.
const (
	Gallery Bearer = "gallery" // it owes the artist's share of the price that was agreed
	Artist  Bearer = "artist"
)

// House is a gallery, or another place that sells for her.
type House struct {
	ID        int64  `json:"id"`
	Name      string `json:"name"`
	Address   string `json:"address,omitempty"` // in lines
	Email     string `json:"email,omitempty"`
	Outlet    int64  `json:"outlet"`    // under which its sales count
	Share     int64  `json:"share"`     // of the price that it keeps, in thousandths
	Wholesale int64  `json:"wholesale"` // of the price that it pays when it buys outright, in thousandths
	Bears     Bearer `json:"bears"`
	PayDays   int    `json:"pay_days"` // within which it pays after a sale
	Note      string `json:"note,omitempty"`
	Closed    bool   `json:"closed,omitempty"`
}

// MostDays bounds the days to pay.
const MostDays = 365

// Validate looks at a gallery alone. Faults: Invalid.
func (h House) Validate() error {
	var l fault.List
	l.Add(order.Text("name", h.Name, 100, true))
	l.Add(order.Note("address", h.Address))
	l.Add(order.Text("email", h.Email, 200, false))
	l.Add(order.Note("note", h.Note))
	l.Check(h.Share >= 0 && h.Share <= 1000, "share", "a share is from 0 to 100 %", "write it like 40")
	l.Check(h.Wholesale >= 0 && h.Wholesale <= 1000, "wholesale", "a wholesale price is from 0 to 100 % of the price", "write it like 50")
	l.Check(h.Bears == Gallery || h.Bears == Artist, "bears", "it is not said who bears a loss", "use gallery or artist")
	l.Check(h.PayDays >= 0 && h.PayDays <= MostDays, "pay_days", "the days to pay are negative, or more than a year", "write them like 30")
	return l.Err()
}

// State is what became of a print at a gallery.
type State string

// The states. Void: it never went there; it was noted wrongly.
const (
	Out  State = "out"
	Sold State = "sold"
	Back State = "back"
	Lost State = "lost"
	Void State = "void"
)

// Print is one print at a gallery, from when it went there.
type Print struct {
	ID      int64          `json:"id"`
	Gallery int64          `json:"gallery"`
	Edition int64          `json:"edition"`
	Number  edition.Number `json:"number"`
	Turn    int            `json:"turn"`  // of the register's entry by which it went
	Price   money.Amount   `json:"price"` // at which it is offered
	Share   int64          `json:"share"` // as agreed when it went
	Bears   Bearer         `json:"bears"`
	Went    calendar.Day   `json:"went"`
	Due     calendar.Day   `json:"due,omitzero"` // by which it comes back unless it is sold; no day = not agreed
	State   State          `json:"state"`
	Ended   calendar.Day   `json:"ended,omitzero"` // sold, back or lost
	Sold    money.Amount   `json:"sold"`           // for how much; of a lost one that the gallery bears, the price agreed
	Kept    money.Amount   `json:"kept"`           // of that, by the gallery
	Why     string         `json:"why,omitempty"`
	At      time.Time      `json:"at"`
	Who     string         `json:"who"`
}

// Hers is what the gallery owes her for the print; nothing while it is out or back.
func (p Print) Hers() money.Amount { return money.Of(p.Sold.Minor-p.Kept.Minor, p.Sold.Currency) }

// Late reports whether the print should be back.
func (p Print) Late(today calendar.Day) bool {
	return p.State == Out && !p.Due.IsZero() && p.Due.Before(today)
}

// Split divides a price: the gallery keeps its share, rounded half away from nothing, and the rest is the artist's.
func Split(price money.Amount, share int64) (hers, kept money.Amount, err error) {
	if kept, err = price.Share(share, 1000); err != nil {
		return hers, kept, err
	}
	hers, err = price.Sub(kept)
	return hers, kept, err
}

// WholesalePrice is what a gallery pays for a print that it buys outright.
func (h House) WholesalePrice(price money.Amount) (money.Amount, error) {
	return price.Share(h.Wholesale, 1000)
}

// SoldFor is a print that the gallery sold. Faults: Refused when it is not there any more; Invalid for a day before it went.
func (p Print) SoldFor(price money.Amount, on calendar.Day) (Print, error) {
	if err := p.ends(on); err != nil {
		return p, err
	}
	if price.Currency != p.Price.Currency || price.Sign() <= 0 || price.Minor > money.MaxMinor {
		return p, fault.Invalidf("price", "it cannot be sold for %s", price).ToMend("give an amount in %s", p.Price.Currency)
	}
	_, kept, err := Split(price, p.Share)
	p.State, p.Ended, p.Sold, p.Kept = Sold, on, price, kept
	return p, err
}

// CameBack is a print that the gallery gave back. Faults as SoldFor.
func (p Print) CameBack(on calendar.Day) (Print, error) {
	if err := p.ends(on); err != nil {
		return p, err
	}
	p.State, p.Ended = Back, on
	return p, nil
}

// WasLost is a print that was lost or spoilt at the gallery: where it bears the loss it owes the artist's share of the price agreed.
// Faults as SoldFor; Invalid without a reason.
func (p Print) WasLost(on calendar.Day, why string) (Print, error) {
	if err := p.ends(on); err != nil {
		return p, err
	}
	if err := order.Text("why", why, 200, true); err != nil {
		return p, err
	}
	p.State, p.Ended, p.Why = Lost, on, why
	if p.Bears != Gallery {
		return p, nil
	}
	var err error
	p.Sold = p.Price
	_, p.Kept, err = Split(p.Price, p.Share)
	return p, err
}

func (p Print) ends(on calendar.Day) error {
	switch {
	case p.State != Out:
		return fault.New(fault.Refused, "it is not at the gallery any more: %s on %s", p.State.Words(), p.Ended.Long()).In("print").ToMend("take that back first")
	case on.Before(p.Went):
		return fault.Invalidf("day", "%s is before the day on which it went there, %s", on, p.Went).ToMend("look at both days")
	}
	return nil
}

// Words is a state as it is read.
func (s State) Words() string {
	switch s {
	case Out:
		return "there"
	case Back:
		return "came back"
	case Void:
		return "noted wrongly"
	case Sold:
		return "sold"
	}
	return "lost"
}

// Kind is what money of a gallery is.
type Kind string

// The kinds of money. Freight is the artist's own cost: the gallery owes nothing less for it.
const (
	Paid    Kind = "paid"    // by the gallery to the artist
	Costs   Kind = "costs"   // of the gallery, which it may take off
	Freight Kind = "freight" // of the artist, to send prints there
)

// Kinds returns all kinds.
func Kinds() []Kind { return []Kind{Paid, Costs, Freight} }

// Words is a kind as it is read.
func (k Kind) Words() string {
	switch k {
	case Paid:
		return "paid by the gallery"
	case Costs:
		return "costs of the gallery, taken off"
	}
	return "sent there, at her own cost"
}

// Money is money of a gallery.
type Money struct {
	ID       int64        `json:"id"`
	Gallery  int64        `json:"gallery"`
	Kind     Kind         `json:"kind"`
	Amount   money.Amount `json:"amount"` // more than nothing
	Day      calendar.Day `json:"day"`
	Note     string       `json:"note,omitempty"`
	Reversed bool         `json:"reversed,omitempty"`
	At       time.Time    `json:"at"`
	Who      string       `json:"who"`
}

// AtBank is what it is at her bank: what a gallery paid comes in, freight goes out. Costs that a gallery took off never come there.
func (m Money) AtBank() (a money.Amount, ok bool) {
	switch m.Kind {
	case Paid:
		return m.Amount, true
	case Freight:
		return m.Amount.Neg(), true
	}
	return a, false
}

// Owed is what a gallery owes: her part of what it sold or lost, less its costs and what it paid. Less than nothing: it paid ahead.
func Owed(prints []Print, moneys []Money, currency string) (money.Amount, error) {
	sum := money.Of(0, currency)
	var err error
	for _, p := range prints {
		if sum, err = sum.Add(p.Hers()); err != nil {
			return sum, err
		}
	}
	for _, m := range moneys {
		if m.Reversed || m.Kind == Freight {
			continue
		}
		if sum, err = sum.Sub(m.Amount); err != nil {
			return sum, err
		}
	}
	return sum, nil
}

// Unpaid is what is still owed for one print, and by when it was to be paid.
type Unpaid struct {
	Print Print        `json:"print"`
	Owed  money.Amount `json:"owed"`
	By    calendar.Day `json:"by"`
	Late  int          `json:"late"` // days; 0 = in time
}

// Debts are the prints whose money is still owed, the oldest first: what was paid or taken off is of the oldest. days are those within which
// the gallery pays.
func Debts(prints []Print, moneys []Money, days int, today calendar.Day) []Unpaid {
	paid := int64(0)
	for _, m := range moneys {
		if !m.Reversed && m.Kind != Freight {
			paid += m.Amount.Minor
		}
	}
	due := slices.DeleteFunc(slices.Clone(prints), func(p Print) bool { return p.Hers().Sign() <= 0 })
	slices.SortStableFunc(due, func(a, b Print) int { return cmp.Or(a.Ended.Sub(b.Ended), cmp.Compare(a.ID, b.ID)) })
	var out []Unpaid
	for _, p := range due {
		owed := p.Hers()
		part := min(paid, owed.Minor)
		paid -= part
		if owed.Minor -= part; owed.Minor > 0 {
			by := p.Ended.Add(days)
			out = append(out, Unpaid{p, owed, by, max(0, today.Sub(by))})
		}
	}
	return out
}

// Label names a print of an edition: "17/250, Heron at dusk".
func Label(n edition.Number, e edition.Edition) string {
	return fmt.Sprintf("%s, %s", n.Of(e), e.Title)
}

// ParseShare reads a share in per cent with at most one decimal: "40", "33.5 %". Faults: Invalid.
func ParseShare(text string) (int64, error) {
	s := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	whole, tenth, _ := strings.Cut(strings.Replace(s, ",", ".", 1), ".")
	n, err := strconv.ParseInt(whole+(tenth + "0")[:1], 10, 64)
	if err != nil || whole == "" || len(tenth) > 1 || n < 0 || n > 1000 || s[0] == '+' || s[0] == '-' {
		return 0, fault.New(fault.Invalid, "%q is no share from 0 to 100 %%", fault.Clip(text)).ToMend("write it like 40 or 33.5")
	}
	return n, nil
}
