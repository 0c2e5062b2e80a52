package banking

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"path"
	"strings"

	"solander/bankfile"
	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/money"
	"solander/studio"
)

// MaxFile is how many bytes one file of a bank may have.
const MaxFile = 24 << 20

// BringIn is a file of the bank as it comes in.
type BringIn struct {
	Account int64
	Name    string // of the file
	Body    []byte
	Mapping *bankfile.Mapping // of a table; nil: the account's, or else one that is guessed
	Try     bool              // nothing is kept
}

// BroughtIn is what a file came to, or would.
type BroughtIn struct {
	bankfile.Brought
	Skipped int               `json:"skipped"`           // rows that are no lines
	Mapping *bankfile.Mapping `json:"mapping,omitempty"` // by which a table was read
	From    calendar.Day      `json:"from"`
	To      calendar.Day      `json:"to"`
	In      money.Amount      `json:"in"` // of the new lines
	Out     money.Amount      `json:"out"`
	New     []bankfile.Kept   `json:"new"` // the new lines as they stand in the file
	Tried   bool              `json:"tried,omitempty"`
}

// Bring reads a file of an account and keeps the lines that did not come before; what is known already is counted and left. None is matched
// by that.
// Faults: Invalid, Refused and TooLarge as rooms bankfile and intake/csvfile say them; Taken for the same file again; Missing.
func Bring(ctx context.Context, s *studio.Studio, in BringIn) (BroughtIn, error) {
	var out BroughtIn
	switch {
	case len(in.Body) == 0:
		return out, fault.Invalidf("file", "there is nothing in the file").ToMend("choose another one")
	case len(in.Body) > MaxFile:
		return out, fault.New(fault.TooLarge, "the file has more than %d MB", MaxFile>>20).In("file").ToMend("ask the bank for a shorter span, and bring in one after the other")
	}
	account, err := studio.Got(ctx, s, read, func(t *Banking) (bankfile.Account, error) { return t.BankAccount(in.Account) })
	if err != nil {
		return out, err
	}
	st, mapping, err := statement(s, account, in)
	if err != nil {
		return out, err
	}
	sum := sha256.Sum256(in.Body)
	name := fileName(in.Name)
	door := write
	if in.Try {
		door = read
	}
	err = door(ctx, s, func(t *Banking) error {
		is, err := t.BankAccount(account.ID)
		if err != nil {
			return err
		}
		if is.Currency != account.Currency || is.Number != account.Number {
			return fault.New(fault.Refused, "the account was changed meanwhile").In("account").ToMend("bring the file in again")
		}
		out = BroughtIn{Brought: bankfile.Brought{Account: is.ID, Name: name, Hash: hex.EncodeToString(sum[:]), Kind: st.Kind, Day: t.Today, At: t.Now, Who: t.Who}}
		out.Skipped, out.Mapping, out.Tried = st.Skipped, mapping, in.Try
		if err := t.sort(&out, st); err != nil || in.Try {
			return err
		}
		if is.Number == "" {
			is.Number = st.Account
		}
		if mapping != nil {
			is.Mapping = *mapping
		}
		if _, err := t.SaveBankAccount(is); err != nil {
			return err
		}
		out.ID, err = t.AddBankFile(out.Brought, out.New)
		return err
	})
	return out, err
}

// statement reads a file as one of an account.
func statement(s *studio.Studio, a bankfile.Account, in BringIn) (st bankfile.Statement, used *bankfile.Mapping, err error) {
	if bankfile.IsOFX(in.Body) {
		all, err := bankfile.ReadOFX(in.Body)
		if err != nil {
			return st, nil, err
		}
		if st, err = bankfile.Of(all, a.Number); err != nil {
			return st, nil, err
		}
		if st.Currency != a.Currency {
			return st, nil, fault.New(fault.Refused, "it is in %.10s, the account is in %s", st.Currency, a.Currency).In("file").ToMend("choose the account in %.10s", st.Currency)
		}
		return st, nil, nil
	}
	if s.Files == nil {
		return st, nil, fault.New(fault.Internal, "no tables are read here")
	}
	t, err := s.Files(in.Name, in.Body, nil)
	if err != nil {
		return st, nil, fault.InField(err, "file")
	}
	m := a.Mapping
	if in.Mapping != nil {
		m = *in.Mapping
	}
	if m == (bankfile.Mapping{}) {
		guessed, ok := bankfile.Guess(t)
		if !ok {
			return st, nil, fault.Invalidf("file", "no headings in it say where day, amount and name stand").ToMend("name the headings as they stand in the file")
		}
		m = guessed
	}
	st, m, err = bankfile.ReadTable(t, m, a.Currency)
	if err != nil {
		return st, nil, err
	}
	if st, err = bankfile.Of([]bankfile.Statement{st}, a.Number); err != nil {
		return st, nil, err
	}
	return st, &m, nil
}

// sort tells the lines that are new from those that came before.
func (t *Banking) sort(out *BroughtIn, st bankfile.Statement) error {
	keys := st.Keys()
	known, err := t.KnownBankKeys(out.Account, keys)
	if err != nil {
		return err
	}
	out.From, out.To = st.Span()
	out.In, out.Out = money.Of(0, st.Currency), money.Of(0, st.Currency)
	for i, l := range st.Lines {
		if known[keys[i]] {
			out.Known++
			continue
		}
		out.New = append(out.New, bankfile.Kept{
			Account: out.Account, Key: keys[i], Ref: l.Ref, Day: l.Day, Amount: l.Amount, Name: l.Name, Note: l.Note, State: bankfile.Open,
		})
		to := &out.In
		if l.Amount.Sign() < 0 {
			to = &out.Out
		}
		if *to, err = to.Add(l.Amount); err != nil {
			return err
		}
	}
	out.Lines = len(out.New)
	return nil
}

// fileName is the last part of a path, in words that can be shown.
func fileName(name string) string {
	name = path.Base(strings.ReplaceAll(strings.ToValidUTF8(name, ""), `\`, "/"))
	name = strings.TrimSpace(strings.Map(func(r rune) rune {
		if edition.Unprintable(r) {
			return -1
		}
		return r
	}, name))
	if r := []rune(name); len(r) > 200 {
		name = string(r[len(r)-200:])
	}
	return name
}

// TakeOut forgets a file and its lines, as if it had never been brought in.
// Faults: Missing; Refused while one of its lines is matched.
func TakeOut(ctx context.Context, s *studio.Studio, file int64) (bankfile.Brought, error) {
	return studio.Got(ctx, s, write, func(t *Banking) (bankfile.Brought, error) {
		f, err := t.BankFile(file)
		if err != nil {
			return f, err
		}
		matched, err := t.BankLines(bankfile.Query{Account: f.Account, State: bankfile.Matched, File: f.ID, Limit: 1})
		if err != nil {
			return f, err
		}
		if len(matched) > 0 {
			return f, fault.New(fault.Refused, "its line of %s is %s", matched[0].Day.Long(), matched[0].Is()).In("file").ToMend("part its lines from what they are first")
		}
		return f, t.DropBankFile(f.ID)
	})
}
