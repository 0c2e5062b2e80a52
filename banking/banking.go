// Package banking is the use cases of the bank's lines: an account kept, its files brought in, and each line matched to a payment, a payout, money of a gallery, an operator's payment or cash of a fair, noted as a
// new payment, or set aside. What a line may be is proposed by room matching; nothing is taken without her yes.
package banking

import (
	"context"
	"slices"

	"solander/bankfile"
	"solander/calendar"
	"solander/charging"
	"solander/claim"
	"solander/consign"
	"solander/exchange"
	"solander/fair"
	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	bankfile.BankStore
	Outlet(id int64) (order.Outlet, error)
	Payout(id int64) (charging.Payout, error)
	PayoutOf(orders []int64) (map[int64]int64, error)
	PayoutParts(id int64) ([]charging.PaidOut, error)
	CameOf(orders ...int64) ([]exchange.Came, error)
	Gallery(id int64) (consign.House, error)
	GalleryMoney(id int64) (consign.Money, error)
	Galleries() ([]consign.House, error)
	Claim(id int64) (claim.Claim, error)
	Claims(q claim.Query) ([]claim.Claim, error)
	FairDay(id int64) (fair.Day, error)
	FairCarry(id int64) (fair.Carry, error)
	OpenOrders() ([]order.Order, error)
	Order(id int64) (order.Order, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	Unsettled() ([]int64, error)
}

// Banking is one transaction as this room sees it.
type Banking struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Banking { return &Banking{t, t.Tx} }

var write, read = studio.Doors(In)

// AccountView is an account with what there is of it.
type AccountView struct {
	bankfile.Account
	Sums  []bankfile.Sums    `json:"sums"`
	Files []bankfile.Brought `json:"files"`
	// Opened is the day of the opening balance that holds for it: lines up to it are in that balance, and are not entered again. No day: none does.
	Opened calendar.Day `json:"opened,omitzero"`
}

// Lines is how many lines are in a state.
func (v AccountView) Lines(s bankfile.State) int {
	n := 0
	for _, x := range v.Sums {
		if x.State == s {
			n += x.Lines
		}
	}
	return n
}

// Last is the file that was brought in last; nil when there is none.
func (v AccountView) Last() *bankfile.Brought {
	if len(v.Files) == 0 {
		return nil
	}
	return &v.Files[0]
}

// Accounts returns all accounts, by name.
func Accounts(ctx context.Context, s *studio.Studio) ([]AccountView, error) {
	return studio.Got(ctx, s, read, func(t *Banking) ([]AccountView, error) {
		all, err := t.BankAccounts()
		if err != nil {
			return nil, err
		}
		sums, err := t.BankSums()
		if err != nil {
			return nil, err
		}
		out := make([]AccountView, len(all))
		for i, a := range all {
			out[i] = AccountView{Account: a, Sums: slices.DeleteFunc(slices.Clone(sums), func(x bankfile.Sums) bool { return x.Account != a.ID })}
			if out[i].Files, err = t.BankFiles(a.ID); err != nil {
				return nil, err
			}
			if out[i].Opened, err = t.BankOpened(a.ID); err != nil {
				return nil, err
			}
		}
		return out, nil
	})
}

// Account returns one. Faults: Missing.
func Account(ctx context.Context, s *studio.Studio, id int64) (AccountView, error) {
	all, err := Accounts(ctx, s)
	if err != nil {
		return AccountView{}, err
	}
	if i := slices.IndexFunc(all, func(v AccountView) bool { return v.ID == id }); i >= 0 {
		return all[i], nil
	}
	return AccountView{}, fault.New(fault.Missing, "there is no account %d", id).ToMend("choose one of the list")
}

// SaveAccount adds an account (ID 0), or changes its name, number and mapping.
// Faults: Invalid; Missing; Taken; Refused when its currency is changed while it has files.
func SaveAccount(ctx context.Context, s *studio.Studio, in bankfile.Account) (int64, error) {
	var l fault.List
	l.Add(order.Text("name", in.Name, 100, true))
	l.Add(order.Text("number", in.Number, 60, false))
	l.Check(in.Currency == "" || money.Known(in.Currency), "currency", "there is no such currency", "use an ISO 4217 code such as USD")
	if in.Mapping != (bankfile.Mapping{}) {
		l.Add(in.Mapping.Validate())
	}
	if err := l.Err(); err != nil {
		return 0, err
	}
	return studio.Got(ctx, s, write, func(t *Banking) (int64, error) {
		if in.ID != 0 {
			was, err := t.BankAccount(in.ID)
			if err != nil {
				return 0, err
			}
			if in.Currency == "" {
				in.Currency = was.Currency
			}
			files, err := t.BankFiles(in.ID)
			if err != nil {
				return 0, err
			}
			if in.Currency != was.Currency && len(files) > 0 {
				return 0, fault.New(fault.Refused, "its lines are in %s", was.Currency).At("%s", was.Name).In("currency").ToMend("add another account for %s", in.Currency)
			}
		}
		if in.Currency == "" {
			in.Currency = t.Set.Currency
		}
		return t.SaveBankAccount(in)
	})
}
