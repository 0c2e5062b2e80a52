package ledger_test

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/export"
	"solander/fault"
	"solander/ledger"
	"solander/money"
)

var (
	day   = calendar.Date(2026, 4, 14)
	today = calendar.Date(2026, 6, 1)
)

func usd(n int64) money.Amount { return money.Of(n, "USD") }

// events are some events of a subject, each in balance.
func events(t *rapid.T, name string) []ledger.Event {
	var out []ledger.Event
	for _, part := range []string{"sale 1", "sale 2", "payment 1"} {
		if rapid.Bool().Draw(t, name+" has "+part) {
			e := ledger.Event{Part: part, Day: day, Text: part}
			for range rapid.IntRange(1, 3).Draw(t, "moves") {
				cur := rapid.SampledFrom([]string{"USD", "EUR"}).Draw(t, "currency")
				accounts := []string{ledger.Sales, ledger.Buyers, ledger.Deposits}
				e.Move(rapid.SampledFrom(accounts).Draw(t, "to"), rapid.SampledFrom(accounts).Draw(t, "from"), money.Of(rapid.Int64Range(-5, 5).Draw(t, "amount"), cur), ledger.Refs{Order: 1})
			}
			out = append(out, e)
		}
	}
	return out
}

func linesOf(events []ledger.Event) (out []ledger.Line) {
	for _, e := range events {
		out = append(out, e.Lines...)
	}
	return out
}

func standing(lines []ledger.Line) map[string]int64 {
	out := map[string]int64{}
	for _, l := range ledger.Compact(lines) {
		out[fmt.Sprint(l.Account, l.Amount.Currency, l.Refs)] += l.Amount.Minor
	}
	return out
}

// Whatever a subject had and ought to have: what is entered of the difference balances, comes to what it ought to have, and nothing is left to enter.
func TestTheDifferenceIsEntered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		of := ledger.Subject{Kind: ledger.Order, ID: 1}
		var entered []ledger.Entry
		for i := range rapid.IntRange(1, 4).Draw(t, "times") {
			want := events(t, fmt.Sprint(i))
			for _, e := range ledger.Difference(of, want, entered, today) {
				if err := ledger.Balanced(e.Lines); err != nil {
					t.Fatal(err)
				}
				if len(e.Lines) < 2 || e.Day.IsZero() || e.Subject != of {
					t.Fatalf("an entry of %d lines on %v", len(e.Lines), e.Day)
				}
				entered = append(entered, e)
			}
			var all []ledger.Line
			for _, e := range entered {
				all = append(all, e.Lines...)
			}
			if got, want := standing(all), standing(linesOf(want)); !maps.Equal(got, want) {
				t.Fatalf("entered %v, want %v", got, want)
			}
			if more := ledger.Difference(of, want, entered, today); len(more) != 0 {
				t.Fatalf("there is still to be entered %v", more)
			}
		}
	})
}

// A sale is entered on its day, put right and taken back today, and entered on its day when it is made again.
func TestDaysOfEntries(t *testing.T) {
	of := ledger.Subject{Kind: ledger.Order, ID: 1}
	sale := func(n int64) []ledger.Event {
		e := ledger.Event{Part: "sale 1", Day: day, Text: "S-1001, a print sold"}
		e.Move(ledger.Buyers, ledger.Sales, usd(n), ledger.Refs{})
		return []ledger.Event{e}
	}
	var entered []ledger.Entry
	for i, c := range []struct {
		events []ledger.Event
		day    calendar.Day
		text   string
		amount int64
	}{
		{sale(100), day, "S-1001, a print sold", 100},
		{sale(90), today, "S-1001, a print sold, put right", -10},
		{nil, today, "S-1001, a print sold, taken back", -90},
		{sale(90), day, "S-1001, a print sold", 90},
	} {
		got := ledger.Difference(of, c.events, entered, today)
		if len(got) != 1 || got[0].Day != c.day || got[0].Text != c.text || got[0].Lines[0].Amount != usd(c.amount) {
			t.Errorf("%d: %+v, want %+v", i, got, c)
		}
		entered = append(entered, got...)
	}
}

// The first open day is the one after the last that is closed.
func TestClosedPeriods(t *testing.T) {
	e := ledger.Entry{Day: day}
	for until, want := range map[calendar.Day]ledger.Entry{
		{}:           {Day: day},
		day.Add(-1):  {Day: day},
		day:          {Day: day.Add(1), True: day},
		day.Add(200): {Day: day.Add(201), True: day},
	} {
		if got := e.Opened(until); got.Day != want.Day || got.True != want.True {
			t.Errorf("closed until %v: on %v (%v), want %v (%v)", until, got.Day, got.True, want.Day, want.True)
		}
	}
	for _, c := range []struct {
		until, closed calendar.Day
		allowed       bool
	}{
		{day, calendar.Day{}, true}, {day, day.Add(-1), true}, {day, day, false}, {day, day.Add(9), false}, {today, calendar.Day{}, false}, {today.Add(1), calendar.Day{}, false}, {calendar.Day{}, calendar.Day{}, false},
	} {
		if err := (ledger.Closing{Until: c.until}).May(c.closed, today); (err == nil) != c.allowed || err != nil && !fault.Is(err, fault.Invalid) {
			t.Errorf("closing %v after %v: %v", c.until, c.closed, err)
		}
	}
}

func TestChart(t *testing.T) {
	var keys, codes, names []string
	for _, a := range ledger.Chart(nil) {
		keys, codes, names = append(keys, a.Key), append(codes, a.Code), append(names, strings.ToLower(a.Name))
		if err := ledger.MayName(a.Key, a.Name, nil); err != nil {
			t.Errorf("%s may not have its own name: %v", a.Key, err)
		}
	}
	if !slices.IsSorted(codes) {
		t.Error("the codes do not ascend")
	}
	for _, list := range [][]string{keys, codes, names} {
		if slices.Sort(list); len(slices.Compact(slices.Clone(list))) != len(list) || len(list) < 20 {
			t.Errorf("two accounts have one key, code or name: %v", list)
		}
	}
	for name, allowed := range map[string]bool{
		"Till": true, "Säle & Kästen": true, "": true, "a:b": false, "a  b": false, " a": false, "a;b": false, "2 much": false, "(a)": false, "Bank": false, "a\nb": false,
		strings.Repeat("a", 81): false,
	} {
		if err := ledger.MayName(ledger.Cash, name, nil); (err == nil) != allowed {
			t.Errorf("%q: %v", name, err)
		}
	}
	if err := ledger.MayName(ledger.Cash, "Purse", map[string]string{ledger.Bank: "purse"}); !fault.Is(err, fault.Taken) {
		t.Errorf("a name that another account was given: %v", err)
	}
}

// Source: RFC 4180, section 2: a cell with a quote, a separator or a line end stands in quotes, quotes are doubled, lines end with CR LF.
func TestRows(t *testing.T) {
	e := ledger.Entry{ID: 1, Day: day, True: day.Add(-20), Subject: ledger.Subject{Kind: ledger.Order, ID: 4}, Part: "sale 1", Text: `=a "b", c`, Lines: []ledger.Line{
		{Account: ledger.Buyers, Amount: money.Of(-500, "JPY"), Refs: ledger.Refs{Order: 4}}, {Account: ledger.Sales, Amount: money.Of(1234, "KWD"), Refs: ledger.Refs{Line: 7}},
	}}
	var b bytes.Buffer
	if err := ledger.Rows(&b, map[string]string{ledger.Sales: "Sold"}, one(e)); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), `"'=a ""b"", c"`) || strings.Count(b.String(), "\r\n") != 3 {
		t.Errorf("%q", b.String())
	}
	r := export.NewReader(&b, ',')
	var rows []map[string]string
	head, err := r.Read()
	for ; err == nil; rows = append(rows, map[string]string{}) {
		var row []string
		if row, err = r.Read(); err == nil {
			m := map[string]string{}
			for i, c := range row {
				m[head[i]] = c
			}
			rows = append(rows, m)
		}
	}
	if err != io.EOF || len(rows) < 3 {
		t.Fatalf("%v %v", rows, err)
	}
	first, second := rows[0], rows[2]
	// ISO 4217: the yen has no minor unit, the dinar of Kuwait three digits.
	if first["amount"] != "-500" || first["currency"] != "JPY" || first["day"] != "2026-04-14" || first["true_day"] != "2026-03-25" || first["order"] != "4" || first["line"] != "" {
		t.Errorf("%v", first)
	}
	if second["amount"] != "1.234" || second["account"] != "Sold" || second["class"] != "income" || second["line"] != "7" {
		t.Errorf("%v", second)
	}
}

func one(e ledger.Entry) func(func(ledger.Entry) error) error {
	return func(f func(ledger.Entry) error) error { return f(e) }
}

func TestPlainText(t *testing.T) {
	e := ledger.Entry{ID: 9, Day: day, Subject: ledger.Subject{Kind: ledger.Order, ID: 4}, Text: "; (a | b\nc", Lines: []ledger.Line{
		{Account: ledger.Bank, Amount: money.Of(5, "KWD")}, {Account: ledger.Sales, Amount: money.Of(-5, "KWD"), Refs: ledger.Refs{Order: 4, Edition: 2}},
	}}
	var b bytes.Buffer
	if err := ledger.Journal(&b, "Quay\nStudio", map[string]string{ledger.Bank: "Purse"}, []string{"JPY", "KWD"}, one(e)); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"; Journal of Quay Studio\n", "\ncommodity 1000. JPY\n", "\ncommodity 1000.000 KWD\n", "\naccount assets:Purse  ; type:A, code:1000\n", "\naccount income:Sales of prints  ; type:R, code:4000\n",
		"\n2026-04-14 , (a , b c  ; entry:9, order:4\n", "\n    assets:Purse  0.005 KWD\n", "\n    income:Sales of prints  -0.005 KWD  ; order:4, edition:2\n",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is not in\n%s", want, b.String())
		}
	}
}
