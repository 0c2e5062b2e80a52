package bankfile

import (
	"fmt"
	"time"

	"solander/calendar"
	"solander/charging"
	"solander/claim"
	"solander/consign"
	"solander/fair"
	"solander/money"
	"solander/order"
)

// Account is an account of the studio at a bank.
type Account struct {
	ID       int64   `json:"id"`
	Name     string  `json:"name"`
	Number   string  `json:"number,omitempty"` // as the bank's files write it; "" = not said, the first file that names one says it
	Currency string  `json:"currency"`
	Mapping  Mapping `json:"mapping,omitzero"` // of its tables; none: guessed at the first
}

// Brought is a file of an account that was brought in.
type Brought struct {
	ID      int64        `json:"id"`
	Account int64        `json:"account"`
	Name    string       `json:"name"` // of the file
	Hash    string       `json:"hash"` // SHA-256 of its bytes, in hexadecimal digits
	Kind    string       `json:"kind"`
	Lines   int          `json:"lines"` // that were new
	Known   int          `json:"known"` // that had come before
	Day     calendar.Day `json:"day"`
	At      time.Time    `json:"at"`
	Who     string       `json:"who"`
}

// State is where a line of the bank stands.
type State string

// The states of a line.
const (
	Open    State = "open"    // nothing was said of it
	Matched State = "matched" // it is a payment of the book, by her word
	Aside   State = "aside"   // it has nothing to do with a payment, by her word
)

// States returns all states.
func States() []State { return []State{Open, Matched, Aside} }

// Kept is a line as it is kept, with what was said of it. What the bank says of it is never changed.
type Kept struct {
	ID      int64        `json:"id"`
	Account int64        `json:"account"`
	File    int64        `json:"file"`
	Key     string       `json:"key"` // by which it is known again
	Ref     string       `json:"ref,omitempty"`
	Day     calendar.Day `json:"day"`
	Amount  money.Amount `json:"amount"`
	Name    string       `json:"name"`
	Note    string       `json:"note,omitempty"`
	State   State        `json:"state"`
	Payment int64        `json:"payment,omitempty"`       // that it is
	Payout  int64        `json:"payout,omitempty"`        // of an outlet that it is
	Money   int64        `json:"gallery_money,omitempty"` // money of a gallery that it is
	Claim   int64        `json:"claim,omitempty"`         // that its operator paid by it
	Carry   int64        `json:"fair_carry,omitempty"`    // cash of a day at a table that it is
	Why     string       `json:"why,omitempty"`           // why it was set aside
	At      time.Time    `json:"at,omitzero"`             // when it was said
	Who     string       `json:"who,omitempty"`
	Order   int64        `json:"order,omitempty"` // of the payment, read along
	Mark    string       `json:"mark,omitempty"`  // of that order
	From    string       `json:"from,omitempty"`  // the outlet that paid out, the gallery, or the day at the table, read along
	House   int64        `json:"house,omitempty"` // that gallery
	Fair    int64        `json:"fair,omitempty"`  // that day at the table
}

// Is says in words what a line was matched to; "" = to nothing.
func (k Kept) Is() string {
	switch {
	case k.Mark != "":
		return "the payment of " + k.Mark
	case k.Payout != 0:
		return fmt.Sprintf("payout %d of %s", k.Payout, k.From)
	case k.Money != 0:
		return "money of " + k.From
	case k.Claim != 0:
		return fmt.Sprintf("paid for claim %d", k.Claim)
	case k.Carry != 0:
		return "cash of " + k.From
	}
	return ""
}

// Query says which lines are wanted, the newest first.
type Query struct {
	Account int64
	State   State // "" = any
	File    int64 // 0 = any
	Skip    int   // that many are passed over
	Limit   int   // 0 = 100
}

// Sums are how many lines of an account are in a state, and what they come to.
type Sums struct {
	Account int64        `json:"account"`
	State   State        `json:"state"`
	Lines   int          `json:"lines"`
	Amount  money.Amount `json:"amount"`
}

// BankStore keeps accounts, files and lines of banks. A line that was matched to a payment is open again once that payment is reversed; so it is of payouts that are taken back, and of money of galleries.
type BankStore interface {
	BankAccounts() ([]Account, error) // by name
	BankAccount(id int64) (Account, error)
	SaveBankAccount(Account) (int64, error) // ID 0 adds one; Taken when the name is in use
	BankFiles(account int64) ([]Brought, error)
	BankFile(id int64) (Brought, error)
	// AddBankFile adds a file with the lines that are new. Faults: Taken when the same bytes came before.
	AddBankFile(Brought, []Kept) (int64, error)
	// DropBankFile forgets a file and its lines. The caller has looked that none of them is matched.
	DropBankFile(id int64) error
	// KnownBankKeys returns which of these keys lines of an account have.
	KnownBankKeys(account int64, keys []string) (map[string]bool, error)
	BankLines(Query) ([]Kept, error)
	BankLine(id int64) (Kept, error)
	BankSums() ([]Sums, error) // by account and state
	// SayBankLine keeps what was said of a line. Faults: Missing; Taken when the payment is another line's.
	SayBankLine(Kept) error
	// Unbanked returns payments that stand, of days from and to, that no line is matched to.
	Unbanked(from, to calendar.Day) ([]order.Payment, error)
	Payment(id int64) (order.Payment, error)
	// UnbankedPayouts and UnbankedMoneys return payouts and money of galleries that stand, of days from and to, that no line is matched to.
	UnbankedPayouts(from, to calendar.Day) ([]charging.Payout, error)
	UnbankedMoneys(from, to calendar.Day) ([]consign.Money, error)
	// UnbankedClaims and UnbankedCarries return claims that were paid, and cash that was carried to the bank, of days from and to, that no line is matched to.
	UnbankedClaims(from, to calendar.Day) ([]claim.Claim, error)
	UnbankedCarries(from, to calendar.Day) ([]fair.Carry, error)
	// BankedAbroad returns what the bank made of payments that came in another currency, by payment, where a line in the book's currency is one.
	BankedAbroad() (map[int64]money.Amount, error)
	// BankOpened returns the day of the opening balance that holds for an account: lines up to it are in that balance. No day: none does.
	BankOpened(account int64) (calendar.Day, error)
	// Reopened says that an opening balance was entered, of an account or, 0, of all that have none of their own.
	Reopened(account int64) error
	// BankedOrders returns which of these orders have a payment that a line is matched to.
	BankedOrders(ids []int64) ([]int64, error)
}
