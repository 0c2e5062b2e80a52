// Package bankfile reads what a bank gives out of an account: a table with a mapping of its columns, or an OFX file in its older form
// (1.x, SGML) and in its newer one (2.x, XML). Amounts are exact, in the account's currency, money in positive and money out negative;
// days are those that the bank writes, never carried to another zone. It matches nothing and keeps nothing.
//
// Source of the form: Open Financial Exchange, specifications 1.0.2 and 2.1.1 (header, 2.2; dates and amounts, 3.2.8 and 3.2.9; statement
// download, 11), from memory; the tests read the same files with an independent parser.
package bankfile

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// Limits of what is read; beyond, a file is refused.
const (
	MostBytes = 64 << 20
	MostLines = 200_000
	mostText  = 500 // characters of a name or a note; what is longer is cut
)

// The kinds of files.
const (
	OFX   = "ofx"
	Table = "table"
)

// Line is one line of a bank's statement of an account.
type Line struct {
	Ref    string       `json:"ref,omitempty"` // the bank's own mark of it; "" = it gives none
	Day    calendar.Day `json:"day"`
	Amount money.Amount `json:"amount"` // money out is negative
	Name   string       `json:"name"`   // who paid, or was paid
	Note   string       `json:"note,omitempty"`
	Row    int          `json:"row"` // the line of the file where it begins
}

// Statement is what a file says of one account.
type Statement struct {
	Kind     string `json:"kind"`
	Account  string `json:"account,omitempty"` // its number at the bank; "" = the file names none
	Currency string `json:"currency"`
	Lines    []Line `json:"lines"`
	Skipped  int    `json:"skipped,omitempty"` // rows without a day and an amount: sums, empty ones
}

// Span is the first and the last day of the lines; zero without any.
func (s Statement) Span() (from, to calendar.Day) {
	for i, l := range s.Lines {
		if i == 0 || l.Day.Before(from) {
			from = l.Day
		}
		if i == 0 || l.Day.After(to) {
			to = l.Day
		}
	}
	return from, to
}

// Keys are by what each line is known again when it comes in another file: the bank's mark; without one, its day, amount and words, and
// how many the same came before it in the file. They are hashes and cannot be read back.
func (s Statement) Keys() []string {
	out, seen := make([]string, len(s.Lines)), map[string]int{}
	for i, l := range s.Lines {
		what := "ref\x00" + l.Ref
		if l.Ref == "" {
			what = "line\x00" + l.Day.String() + "\x00" + strconv.FormatInt(l.Amount.Minor, 10) + "\x00" + l.Name + "\x00" + l.Note
		}
		n := seen[what]
		seen[what]++
		sum := sha256.Sum256([]byte(what + "\x00" + strconv.Itoa(n)))
		out[i] = hex.EncodeToString(sum[:16])
	}
	return out
}

// tooMany refuses a file of too many lines.
func tooMany() *fault.Error {
	return fault.New(fault.TooLarge, "it has more than %d lines", MostLines).ToMend("ask the bank for a shorter span, and bring in one after the other").In("file")
}

// tidy joins the lines and spaces of a text, and cuts it.
func tidy(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > mostText {
		s = strings.TrimSpace(string(r[:mostText]))
	}
	return s
}

// wrongs gathers what is wrong with the rows of a file, the first few in full.
type wrongs struct {
	list fault.List
	n    int
}

const mostWrongs = 10

func (w *wrongs) add(row int, f *fault.Error) {
	if w.n++; w.n <= mostWrongs {
		w.list.Add(f.At("line %d", row))
	}
}

func (w *wrongs) err() error {
	if more := w.n - mostWrongs; more > 0 {
		w.list.Add(fault.New(fault.Invalid, "and %s more cannot be read", fault.Count(more, "line")).In("file"))
	}
	return w.list.Err()
}

// Of chooses the statement of an account by its number; any, when the account has none yet and the file tells of one account alone.
// Faults: Refused for a file of another account, or of several.
func Of(all []Statement, number string) (Statement, error) {
	var named []string
	for _, s := range all {
		if number != "" && SameAccount(s.Account, number) || s.Account == "" && len(all) == 1 {
			return s, nil
		}
		named = append(named, fmt.Sprintf("%.40q", Masked(s.Account)))
	}
	switch {
	case len(all) == 0:
		return Statement{}, fault.Invalidf("file", "it tells of no account").ToMend("choose the file that the bank gives out for its statement")
	case number == "" && len(all) == 1:
		return all[0], nil
	case number == "":
		return Statement{}, fault.New(fault.Refused, "it tells of several accounts: %s", strings.Join(named, ", ")).In("file").ToMend("write the account's number first")
	}
	return Statement{}, fault.New(fault.Refused, "it is of another account, %s, not of %q", strings.Join(named, ", "), Masked(number)).In("file").
		ToMend("choose the account of that number, or the right file")
}

// SameAccount compares numbers of accounts as they are written: spaces, hyphens and case do not count.
func SameAccount(a, b string) bool { return bare(a) == bare(b) }

func bare(number string) string {
	return strings.ToUpper(strings.NewReplacer(" ", "", "-", "", ".", "", "\u00a0", "").Replace(number))
}

// Masked is a number of an account as it is told: its last four signs.
func Masked(number string) string {
	b := bare(number)
	if len(b) <= 4 || strings.Trim(b, "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		return b
	}
	return "…" + b[len(b)-4:]
}
