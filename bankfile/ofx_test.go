package bankfile_test

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/bankfile"
	"solander/fault"
	"solander/money"
)

// told is a statement as the other parser tells it.
type told struct {
	Account  string     `json:"account"`
	Currency string     `json:"currency"`
	Lines    []toldLine `json:"lines"`
}

type toldLine struct{ Ref, Day, Amount, Name string }

// Source: the same files as an independent parser reads them (Debian: python3-ofxparse; testdata/read.py).
func TestAnotherParserReadsTheSame(t *testing.T) {
	python := "/usr/bin/python3"
	if exec.Command(python, "-c", "import ofxparse").Run() != nil {
		t.Fatal("no python3-ofxparse: nothing is compared; scripts/install-test-tools.sh installs it")
	}
	files, err := filepath.Glob("testdata/*.ofx")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d files, %v: too little was tested", len(files), err)
	}
	for _, file := range files {
		out, err := exec.Command(python, "testdata/read.py", file).Output()
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		var want []told
		if err := json.Unmarshal(out, &want); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		got, err := bankfile.ReadOFX(data)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		if diff := cmp.Diff(asTold(t, want), asTold(t, tell(got))); diff != "" {
			t.Errorf("%s: %s", file, diff)
		}
	}
}

func tell(all []bankfile.Statement) []told {
	var out []told
	for _, s := range all {
		x := told{Account: s.Account, Currency: s.Currency}
		for _, l := range s.Lines {
			x.Lines = append(x.Lines, toldLine{l.Ref, l.Day.String(), l.Amount.Plain(), l.Name})
		}
		out = append(out, x)
	}
	return out
}

// asTold writes amounts alike: the other parser keeps the digits of the file.
func asTold(t *testing.T, all []told) []told {
	t.Helper()
	for i := range all {
		for j := range all[i].Lines {
			a, err := money.Parse(all[i].Lines[j].Amount, all[i].Currency)
			if err != nil {
				t.Fatal(err)
			}
			all[i].Lines[j].Amount = a.String()
		}
	}
	return all
}

// file makes an OFX file of one account from its lines.
func file(currency string, lines ...string) string {
	return "OFXHEADER:100\nDATA:OFXSGML\n\n<OFX><BANKMSGSRSV1><STMTTRNRS><STMTRS><CURDEF>" + currency +
		"<BANKACCTFROM><ACCTID>12345678</BANKACCTFROM><BANKTRANLIST>\n" + strings.Join(lines, "\n") + "</BANKTRANLIST></STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>"
}

func line(day, amount, more string) string {
	return "<STMTTRN><TRNTYPE>OTHER<DTPOSTED>" + day + "<TRNAMT>" + amount + "<FITID>x" + more + "</STMTTRN>"
}

func one(t *testing.T, text string) bankfile.Line {
	t.Helper()
	all, err := bankfile.ReadOFX([]byte(text))
	if err != nil || len(all) != 1 || len(all[0].Lines) != 1 {
		t.Fatalf("%v, %v", all, err)
	}
	return all[0].Lines[0]
}

// Source: OFX 1.0.2, 3.2.8.2 and 3.2.9.1, from memory: a day with a time and a zone, a comma or a point before the decimals. That the day is
// not carried to another zone is ours; the other parser carries it.
func TestDaysAndAmountsAsWritten(t *testing.T) {
	for text, want := range map[string]string{
		line("20251031233000.000[-5:EST]", "1234.50", ""): "2025-10-31 1234.50 USD",
		line("20240229", "-0,05", ""):                     "2024-02-29 -0.05 USD",
		line("20251101120000", "+7", ""):                  "2025-11-01 7.00 USD",
		line("20251101", "12.5000", ""):                   "2025-11-01 12.50 USD",
		line("20251101", "-.5", ""):                       "2025-11-01 -0.50 USD",
	} {
		l := one(t, file("USD", text))
		if got := l.Day.String() + " " + l.Amount.String(); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
	// Source: ISO 4217, digits of the minor unit (trade facts, 6.6).
	for currency, want := range map[string]int64{"JPY": 1500, "USD": 150000, "KWD": 1500000, "CLF": 15000000} {
		if l := one(t, file(currency, line("20251101", "1500", ""))); l.Amount.Minor != want {
			t.Errorf("1500 %s are %d minor units, want %d", currency, l.Amount.Minor, want)
		}
	}
}

func TestFilesThatCannotBeRead(t *testing.T) {
	for name, tt := range map[string]struct {
		text string
		code fault.Code
		says string
	}{
		"no such day":           {file("USD", line("20250229", "1.00", "")), fault.Invalid, "no day"},
		"no day":                {file("USD", line("", "1.00", "")), fault.Invalid, "no day"},
		"too many decimals":     {file("USD", line("20250228", "1.005", "")), fault.Invalid, "no amount"},
		"decimals of yen":       {file("JPY", line("20250228", "1.5", "")), fault.Invalid, "no amount"},
		"no amount":             {file("USD", line("20250228", "-", "")), fault.Invalid, "no amount"},
		"an absurd amount":      {file("USD", line("20250228", strings.Repeat("9", 30), "")), fault.Invalid, "no amount"},
		"no currency":           {file("XXY", line("20250228", "1", "")), fault.Invalid, "currency"},
		"another currency":      {file("USD", "<STMTTRN><DTPOSTED>20250228<TRNAMT>1<FITID>1<CURRENCY><CURRATE>1.1<CURSYM>EUR</CURRENCY></STMTTRN>"), fault.Refused, "EUR"},
		"cut off in an element": {strings.TrimSuffix(file("USD", line("20250228", "1", "")), "</STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>") + "<ST", fault.Invalid, "cut off"},
		"cut off between":       {strings.TrimSuffix(file("USD", line("20250228", "1", "")), "</OFX>"), fault.Invalid, "cut off"},
		"not the UTF-8 it says": {"<?xml version=\"1.0\" encoding=\"UTF-8\"?><OFX>\xff</OFX>", fault.Invalid, "UTF-8"},
		"too many lines":        {file("USD", strings.Repeat(line("20250228", "1", ""), bankfile.MostLines+1)), fault.TooLarge, "more than"},
	} {
		_, err := bankfile.ReadOFX([]byte(tt.text))
		if !fault.Is(err, tt.code) || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A file of a thousand bad lines tells ten of them, and how many more there are.
func TestManyWrongLinesAreTold(t *testing.T) {
	_, err := bankfile.ReadOFX([]byte(file("USD", strings.Repeat(line("2025", "1", ""), 1000))))
	if all := fault.All(err); len(all) != 11 || !strings.Contains(all[10].What, "990 lines") {
		t.Errorf("%d faults: %v", len(all), all[len(all)-1])
	}
}

// What stands before the day of a currency conversion, an account of the other side, a balance and a charset is no line.
func TestWhatElseStandsInAFile(t *testing.T) {
	text := file("USD", "<STMTTRN><TRNTYPE>XFER<DTPOSTED>20251101<TRNAMT>5<FITID>1<PAYEE><NAME>Jos\xe9<ADDR1>A<CITY>B</PAYEE>"+
		"<BANKACCTTO><ACCTID>999</BANKACCTTO><MEMO>a  b</STMTTRN>")
	all, err := bankfile.ReadOFX([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if l := all[0].Lines[0]; all[0].Account != "12345678" || l.Name != "José" || l.Note != "a b" {
		t.Errorf("%s: %+v", all[0].Account, l)
	}
}

func TestWhichAccount(t *testing.T) {
	a, b := bankfile.Statement{Account: "12-345 678"}, bankfile.Statement{Account: "999"}
	for name, tt := range map[string]struct {
		all    []bankfile.Statement
		number string
		want   string
		says   string
	}{
		"the one of two":        {[]bankfile.Statement{b, a}, "12345678", "12-345 678", ""},
		"the only one":          {[]bankfile.Statement{a}, "", "12-345 678", ""},
		"one that names none":   {[]bankfile.Statement{{}}, "12345678", "", ""},
		"another one":           {[]bankfile.Statement{b}, "12345678", "", "another account"},
		"one of two, not said":  {[]bankfile.Statement{a, b}, "", "", "several"},
		"none":                  {nil, "1", "", "no account"},
		"two that are not hers": {[]bankfile.Statement{a, b}, "777", "", "another account"},
	} {
		got, err := bankfile.Of(tt.all, tt.number)
		if tt.says == "" && (err != nil || got.Account != tt.want) || tt.says != "" && (err == nil || !strings.Contains(err.Error(), tt.says)) {
			t.Errorf("%s: %q, %v", name, got.Account, err)
		}
	}
}

func FuzzReadOFX(f *testing.F) {
	f.Add(file("USD", line("20250228", "1", "")))
	f.Add("<OFX><STMTTRN></STMTTRN></OFX>")
	f.Add("<OFX><CURRENCY><CURSYM>EUR<PAYEE><NAME>x</OFX>")
	f.Fuzz(func(t *testing.T, text string) {
		all, err := bankfile.ReadOFX([]byte(text))
		if err != nil {
			if fault.CodeOf(err) == fault.Internal {
				t.Fatal(err)
			}
			return
		}
		for _, s := range all {
			for i, k := range s.Keys() {
				if len(k) != 32 || s.Lines[i].Amount.Currency != s.Currency {
					t.Fatalf("%s: %+v", k, s.Lines[i])
				}
			}
		}
	})
}

func ExampleReadOFX() {
	all, _ := bankfile.ReadOFX([]byte(file("EUR", line("20250228", "-12,50", "<NAME>Paper mill"))))
	fmt.Println(all[0].Lines[0].Day, all[0].Lines[0].Amount, all[0].Lines[0].Name)
	// Output: 2025-02-28 -12.50 EUR Paper mill
}
