package cli_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/bankfile"
	"solander/cli"
)

// ofx is a file of a bank (Open Financial Exchange 1.6) with one line, of an account.
func ofx(account string) string {
	return "OFXHEADER:100\nDATA:OFXSGML\nVERSION:160\n\n<OFX><BANKMSGSRSV1><STMTTRNRS><STMTRS><CURDEF>USD<BANKACCTFROM><ACCTID>" + account +
		"</BANKACCTFROM><BANKTRANLIST><STMTTRN><TRNTYPE>OTHER<DTPOSTED>20251103<TRNAMT>5.00<FITID>1<NAME>X</STMTTRN></BANKTRANLIST></STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>"
}

// linesOf is a table of a bank with so many lines.
func linesOf(n int) []byte {
	return append([]byte("Date,Amount,Name\n"), bytes.Repeat([]byte("2025-11-03,1,a\n"), n)...)
}

// What is wrong about money is refused: it is said what, and how to mend it, and nothing of it is written.
func TestWhatIsWrongAboutMoney(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	place, dir := makeStudio(t, nil), t.TempDir()
	run := func(args ...string) (code int, wrong string) {
		var said, told bytes.Buffer
		code = cli.Run(t.Context(), append(args, "--store", place), strings.NewReader(""), &said, &told, storyEnv(func(string) string { return "" }))
		return code, told.String()
	}
	must := func(args ...string) {
		t.Helper()
		if code, wrong := run(args...); code != 0 {
			t.Fatalf("%q ended with %d: %s", args, code, wrong)
		}
	}
	file := func(name string, body []byte) string {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, body, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	for range 2 {
		must("sale", "--outlet", "fair", "--buyer", "Tobias Pettibone", "--print", "heron", "--in-person", "--paid", "120", "--placed", "2025-09-15")
	}
	must("owed", "invoice", "S-1001", "--number", "57")
	must("bank", "account", "Current")
	must("bank", "bring", "current", file("a.ofx", []byte(ofx("12345678"))))
	must("fair", "begin", "Quay fair", "--outlet", "fair", "--float", "50")
	must("earnings", "close", "2025-09-30", "--sure")
	if code, wrong := run("fair", "count", "quay", "50", "--hours=-1"); code == 0 || !strings.Contains(wrong, "hint: ") {
		t.Errorf("hours less than nothing: %d %s", code, wrong)
	}
	kept := func() string {
		t.Helper()
		path := filepath.Join(dir, "copy.gz")
		os.Remove(path)
		must("backup", path)
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	before := kept()
	for what, tt := range map[string]struct {
		says string
		args []string
	}{
		"more back than was paid":         {"120.00", []string{"pay", "S-1001", "120.01", "--kind", "refund"}},
		"more paid than is owed":          {"owed", []string{"pay", "S-1001", "0.01"}},
		"a payment in another currency":   {"EUR", []string{"pay", "S-1001", "5 EUR"}},
		"a refund in another currency":    {"EUR", []string{"pay", "S-1001", "5 EUR", "--kind", "refund"}},
		"a balance in another currency":   {"EUR", []string{"earnings", "opening", "account", "1000", "5 EUR", "--day", "2025-10-31"}},
		"a payout in another currency":    {"EUR", []string{"earnings", "payout", "fair", "5 EUR", "S-1001"}},
		"cash in another currency":        {"EUR", []string{"fair", "carry", "quay", "5 EUR"}},
		"more cash than there is":         {"of its takings", []string{"fair", "carry", "quay", "5"}},
		"a period that is closed":         {"closed already", []string{"earnings", "close", "2025-08-31", "--sure"}},
		"a period that is not over":       {"not over", []string{"earnings", "close", "2025-11-30", "--sure"}},
		"a number that was given":         {"I-57 was given already", []string{"owed", "invoice", "S-1002", "--number", "57"}},
		"a number that leaves a gap":      {"would leave a gap", []string{"owed", "invoice", "S-1002", "--number", "59"}},
		"a second invoice":                {"stands for it", []string{"owed", "invoice", "S-1001"}},
		"a file with a million lines":     {"larger than", []string{"bank", "bring", "current", file("million.csv", linesOf(1_000_000))}},
		"a line more than are taken":      {fmt.Sprint(bankfile.MostLines), []string{"bank", "bring", "current", file("many.csv", linesOf(bankfile.MostLines+1))}},
		"a file of another account":       {"another account", []string{"bank", "bring", "current", file("b.ofx", []byte(ofx("87654321")))}},
		"a file that came before":         {"this very file", []string{"bank", "bring", "current", filepath.Join(dir, "a.ofx")}},
		"hours less than nothing":         {"hours", []string{"fair", "count", "quay", "50", "--hours=-1"}},
		"more hours than a day has":       {"hours", []string{"fair", "count", "quay", "50", "--hours", "24.5"}},
		"a box that is off without a why": {"ought to be there", []string{"fair", "count", "quay", "51"}},
	} {
		code, wrong := run(tt.args...)
		if code != 2 && code != 4 {
			t.Errorf("%s: ended with %d", what, code)
		}
		if !strings.Contains(wrong, tt.says) || !strings.Contains(wrong, "hint: ") || strings.Contains(wrong, "goroutine") {
			t.Errorf("%s: %q, want %q and a hint", what, wrong, tt.says)
		}
	}
	if kept() != before {
		t.Error("something of what was refused is kept")
	}
}
