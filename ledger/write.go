package ledger

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"solander/export"
	"solander/money"
)

// Journal writes the journal as plain text, in the form that docs/formats/journal.md describes; general accounting programs read it. each calls
// its argument for every entry, in order.
func Journal(w io.Writer, studio string, names map[string]string, currencies []string, each func(func(Entry) error) error) error {
	p := printer{w: w, names: names, called: map[string]string{}}
	p.line("; Journal of %s", plain(studio))
	p.line("; Amounts with a minus are credits. This is no advice: ask an adviser what a return needs.")
	for _, c := range currencies {
		p.line("\ncommodity %s", shape(c))
	}
	p.line("")
	for _, a := range Chart(names) {
		p.line("account %s  ; type:%s, code:%s", p.account(a.Key), strings.ToUpper(letter(a.Class)), a.Code)
	}
	err := each(func(e Entry) error {
		p.entry(e)
		return p.err
	})
	if err != nil {
		return err
	}
	return p.err
}

type printer struct {
	w      io.Writer
	names  map[string]string
	called map[string]string // how accounts are written, by key
	err    error
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format+"\n", args...)
	}
}

// account is how an account is written: "assets:Bank".
func (p *printer) account(key string) string {
	if s := p.called[key]; s != "" {
		return s
	}
	a := Named(key, p.names)
	group := map[Class]string{Asset: "assets", Liability: "liabilities", Equity: "equity", Income: "income", Expense: "expenses"}[a.Class]
	p.called[key] = group + ":" + a.Name
	return p.called[key]
}

func letter(c Class) string {
	return map[Class]string{Asset: "a", Liability: "l", Equity: "e", Income: "r", Expense: "x"}[c]
}

// shape is an amount by which a reader knows how many digits a currency has.
func shape(currency string) string {
	if d := money.Digits(currency); d > 0 {
		return "1000." + strings.Repeat("0", d) + " " + currency
	}
	return "1000. " + currency
}

func (p *printer) entry(e Entry) {
	tags := fmt.Sprintf("entry:%d, %s:%d", e.ID, e.Subject.Kind, e.Subject.ID)
	if !e.True.IsZero() {
		tags += ", happened:" + e.True.String()
	}
	p.line("\n%s %s  ; %s", e.Day, plain(e.Text), tags)
	for _, l := range e.Lines {
		p.line("    %s  %s%s", p.account(l.Account), l.Amount, l.tags())
	}
}

func (l Line) tags() string {
	var out []string
	for _, t := range l.named() {
		if t.id != 0 {
			out = append(out, t.name+":"+strconv.FormatInt(t.id, 10))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "  ; " + strings.Join(out, ", ")
}

type named struct {
	name string
	id   int64
}

func (r Refs) named() []named {
	return []named{{"order", r.Order}, {"line", r.Line}, {"edition", r.Edition}, {"outlet", r.Outlet}, {"run", r.Run}}
}

// plain is a text that ends no description early.
func plain(s string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case r == ';' || r == '|':
			return ','
		case unicode.IsSpace(r) || !unicode.IsPrint(r):
			return ' '
		}
		return r
	}, strings.TrimLeft(s, "*!(")))
}

// Rows writes the journal as CSV (RFC 4180): a row a line of an entry.
func Rows(w io.Writer, names map[string]string, each func(func(Entry) error) error) error {
	c := export.NewWriter(w, ',')
	head := []string{"entry", "day", "true_day", "subject", "subject_id", "part", "text", "code", "account", "class", "amount", "currency"}
	for _, t := range (Refs{}).named() {
		head = append(head, t.name)
	}
	if err := c.Write(head...); err != nil {
		return err
	}
	err := each(func(e Entry) error {
		for _, l := range e.Lines {
			if err := c.Write(row(e, l, names)...); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	return c.Flush()
}

func row(e Entry, l Line, names map[string]string) []string {
	a := Named(l.Account, names)
	out := []string{
		strconv.FormatInt(e.ID, 10), e.Day.String(), e.True.String(), e.Subject.Kind, strconv.FormatInt(e.Subject.ID, 10), e.Part, export.Guard(e.Text),
		a.Code, export.Guard(a.Name), string(a.Class), l.Amount.Plain(), l.Amount.Currency,
	}
	for _, t := range l.named() {
		id := ""
		if t.id != 0 {
			id = strconv.FormatInt(t.id, 10)
		}
		out = append(out, id)
	}
	return out
}
