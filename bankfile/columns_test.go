package bankfile_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/bankfile"
	"solander/calendar"
	"solander/fault"
	"solander/intake"
	"solander/intake/csvfile"
	"solander/money"
)

func read(t *testing.T, text string, m *bankfile.Mapping) (bankfile.Statement, bankfile.Mapping, error) {
	t.Helper()
	table, err := csvfile.Read("bank.csv", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	if m == nil {
		guessed, ok := bankfile.Guess(table)
		if !ok {
			t.Fatalf("no mapping is guessed of %q", text)
		}
		m = &guessed
	}
	return bankfile.ReadTable(table, *m, "EUR")
}

func shown(s bankfile.Statement) []string {
	var out []string
	for _, l := range s.Lines {
		out = append(out, fmt.Sprintf("%s %s %s|%s|%s", l.Day, l.Amount.Plain(), l.Name, l.Note, l.Ref))
	}
	return out
}

// The headings and the ways to write are common practice, no source.
func TestTablesOfBanks(t *testing.T) {
	for name, tt := range map[string]struct {
		text string
		want []string
	}{
		"signed amounts, headings below a heading": {
			"Statement of account\n\nDate,Description,Amount\n2025-10-13,T Pettibone,120.00\n2025-10-14,\"Paper, mill\",-45.50\n,Sum,74.50\n",
			[]string{"2025-10-13 120.00 T Pettibone||", "2025-10-14 -45.50 Paper, mill||"},
		},
		"in and out apart, decimals with a comma": {
			"Buchungstag;Name Zahlungsbeteiligter;Verwendungszweck;Soll;Haben\n13.10.2025;Jürgen Groß;S-1001;;1.120,00\n02.11.2025;Bank;Gebühr;12,50;\n",
			[]string{"2025-10-13 1120.00 Jürgen Groß|S-1001|", "2025-11-02 -12.50 Bank|Gebühr|"},
		},
		"months first": {
			"Date,Name,Amount,Transaction ID\n10/31/2025,A,1.00,r1\n11/02/2025,B,2.00,r2\n",
			[]string{"2025-10-31 1.00 A||r1", "2025-11-02 2.00 B||r2"},
		},
		"money out with a sign in a column of its own": {
			"Date,Name,Debit,Credit\n2025-11-01,A,-3.00,\n2025-11-02,B,,4.00\n",
			[]string{"2025-11-01 -3.00 A||", "2025-11-02 4.00 B||"},
		},
	} {
		s, _, err := read(t, tt.text, nil)
		if diff := cmp.Diff(tt.want, shown(s)); err != nil || diff != "" {
			t.Errorf("%s: %v %s", name, err, diff)
		}
	}
}

func TestTablesThatCannotBeRead(t *testing.T) {
	m := bankfile.Mapping{Day: "Day", Amount: "Amount", Name: "Who", Account: "Account", Currency: "Money"}
	head := "Day,Amount,Who,Account,Money\n"
	for name, tt := range map[string]struct {
		text  string
		field string
		says  string
	}{
		"days both ways":          {head + "4/6/2025,1.00,A,,\n", "days", "two ways"},
		"decimals both ways":      {head + "2025-06-04,\"1,234\",A,,\n", "decimal", "two ways"},
		"a day without its year":  {head + "4 June,1.00,A,,\n", "file", "year"},
		"another currency":        {head + "2025-06-04,1.00,A,,USD\n", "file", "USD"},
		"two accounts":            {head + "2025-06-04,1.00,A,1,\n2025-06-05,1.00,A,2,\n", "file", "another account"},
		"no heading of the name":  {"Day,Amount\n2025-06-04,1.00\n", "file", "Who"},
		"other headings":          {"Wharf Bank\nWann,Wer,Wieviel\n2025-06-04,A,1.00\n", "file", `the headings there are "Wann, Wer, Wieviel" (say under which of these day,`},
		"some other headings":     {"Wharf Bank,of,Saltmarsh,since,1911\nDay,Wer,Amount\n2025-06-04,A,1.00\n", "file", `the headings there are "Day, Wer, Amount"`},
		"nothing in it":           {",,\n", "file", "and none at all"},
		"no line at all":          {head + ",,,,\n", "file", "no row"},
		"an amount that is none":  {head + "2025-06-04,abc,A,,\n", "file", "no amount"},
		"too many decimals":       {head + "2025-06-04,1.005,A,,\n", "", ""},
		"a day that no month has": {head + "2025-06-31,1.00,A,,\n", "file", "no day"},
	} {
		_, _, err := read(t, tt.text, &m)
		if err == nil {
			t.Errorf("%s: was read", name)
			continue
		}
		f := fault.All(err)[0]
		if tt.field != "" && f.Field != tt.field || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: in %s: %v", name, f.Field, err)
		}
	}
	if err := (bankfile.Mapping{Day: "Day", Amount: "A", In: "I", Name: "N"}).Validate(); !fault.Is(err, fault.Invalid) {
		t.Errorf("signed and unsigned amounts together: %v", err)
	}
}

// A mapping that she gave decides where the file does not; what it decides is found again in another file.
func TestWhatSheSaidDecides(t *testing.T) {
	m := bankfile.Mapping{Day: "Day", Amount: "Amount", Name: "Who", Days: intake.MonthDay, Decimal: ",", Turned: true}
	s, used, err := read(t, "Day;Amount;Who\n4/6/2025;1.234;A\n", &m)
	if diff := cmp.Diff([]string{"2025-04-06 -1234.00 A||"}, shown(s)); err != nil || diff != "" || used != m {
		t.Errorf("%v %s", err, diff)
	}
	m.Days = intake.DayMonth
	if _, _, err := read(t, "Day;Amount;Who\n4/6/2025;5.00;A\n", &m); err == nil || fault.All(err)[0].Field != "decimal" || !strings.Contains(err.Error(), "by a point") {
		t.Errorf("a file with another decimal sign than those before: %v", err)
	}
	_, used, err = read(t, "Day;Amount;Who\n13.10.2025;1,50;A\n", &bankfile.Mapping{Day: "Day", Amount: "Amount", Name: "Who"})
	if err != nil || used.Days != intake.DayMonth || used.Decimal != "," {
		t.Errorf("%+v, %v", used, err)
	}
}

// Lines are known again whatever stands around them; two that are the same on one day are two.
func TestLinesAreKnownAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.Custom(func(t *rapid.T) bankfile.Line {
			l := bankfile.Line{
				Day: calendar.Date(2025, 11, rapid.IntRange(1, 3).Draw(t, "day")), Amount: money.Of(rapid.Int64Range(-2, 2).Draw(t, "amount"), "EUR"),
				Name: rapid.SampledFrom([]string{"A", "B"}).Draw(t, "name"),
			}
			return l
		})
		first := bankfile.Statement{Lines: rapid.SliceOfN(draw, 0, 12).Draw(t, "first")}
		more := bankfile.Statement{Lines: append(append([]bankfile.Line(nil), first.Lines...), rapid.SliceOfN(draw, 0, 12).Draw(t, "more")...)}
		before, after := first.Keys(), more.Keys()
		seen := map[string]bool{}
		for i, k := range after {
			if seen[k] {
				t.Fatalf("line %d has the key of another one", i)
			}
			seen[k] = true
			if i < len(before) && k != before[i] {
				t.Fatalf("line %d is not known again in a longer file", i)
			}
		}
	})
}

func TestNumbersOfAccountsAreMasked(t *testing.T) {
	for in, want := range map[string]string{"DE89 3704 0044 0532 0130 00": "…3000", "123": "123", "": ""} {
		if got := bankfile.Masked(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}
