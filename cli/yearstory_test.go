package cli_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/cli"
	"solander/internal/hledger"
	"solander/money"
	"solander/yearly"
)

// From a sale to the page of its year by the commands alone: an edition and a run, a sale with tax, paid by a payout of its outlet with fees, packed,
// postage paid, a part paid back; another whose parcel came damaged, claimed and paid back; a print sold by a gallery; the bank's lines, and the month
// closed. What the year says is held, account by account, against what another program makes of the journal.
func TestFromASaleToItsYear(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	place, dir := makeStudio(t, stock), t.TempDir()
	day := ""
	run := func(args ...string) string {
		t.Helper()
		var said, wrong bytes.Buffer
		env := storyEnv(func(name string) string {
			if name == "STORY_DAY" {
				return day
			}
			return ""
		})
		if code := cli.Run(t.Context(), append(args, "--store", place), strings.NewReader(""), &said, &wrong, env); code != 0 {
			t.Fatalf("%q ended with %d: %s", args, code, wrong.String())
		}
		return said.String()
	}
	file := func(name, text string) string {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	run("fees", "own", "--file", file("fees.json", `[{"what": "sale", "name": "commission", "share": 1000, "of": "postage"}, {"what": "payment", "name": "card", "share": 300}]`))
	run("earnings", "tax-rates", "enter", "US", "OH", "5.75", "--from", "2025-01-01")
	run("works", "--add", "Reeds in wind", "--year", "2025")
	run("declare", "--work", "reeds", "--width", "12 in", "--height", "16 in", "--paper", "cotton rag", "--grammage", "310 gsm", "--caliper", "20 pt", "--grade", "fine", "--technique", "pigment print",
		"--limit", "50", "--price", "80", "--print-cost", "9", "--tightest-roll", "3 in")
	run("runs", "order", "reeds", "6", "--lab", "Saltmarsh Print Room", "--unit-cost", "11")
	run("runs", "receive", "1", "5", "--rejected", "1")

	day = "2025-11-05"
	to := []string{"--line1", "3 Weir Road", "--city", "Olentine", "--region", "OH", "--postcode", "43202"}
	run(append([]string{"sale", "--outlet", "own", "--buyer", "Tobias Pettibone", "--print", "heron:17", "--postage", "10", "--tax", "6.90"}, to...)...)
	run(append([]string{"sale", "--outlet", "own", "--buyer", "Noor Ashgrove", "--print", "reeds:1", "--postage", "8", "--paid", "88"}, to...)...)
	run("sign", "S-1002")

	day = "2025-11-07"
	run("earnings", "payout", "own", "119", "S-1001", "--note", "first week")
	run("sign", "S-1001")
	for _, mark := range []string{"S-1001", "S-1002"} {
		run("pack", mark)
		run("label", mark, "--paid", "7.45")
	}
	run("hand-over")

	day = "2025-11-20"
	run("pay", "S-1001", "10", "--kind", "refund")
	run("claim", "open", "S-1002", "--kind", "damaged")
	run("claim", "file", "1")
	run("claim", "answer", "1", "60")
	run("claim", "refund", "1", "88", "--reason", "crushed on the way")
	run("claim", "paid", "1")
	run("claim", "close", "1")
	run("register", "sign", "reeds", "2")
	run("gallery", "save", "Harbour Room", "--share", "40", "--bears", "gallery")
	run("gallery", "send", "harbour", "reeds", "2")
	run("gallery", "sold", "1")
	run("gallery", "money", "harbour", "48")
	run("bank", "account", "Current")
	run("bank", "bring", "current", file("november.csv", "Date,Amount,Name\n2025-11-08,119.00,Own site payout\n2025-11-20,-88.00,Noor Ashgrove S-1002\n2025-11-20,48.00,Harbour Room\n"))
	if out := run("bank", "yes", "current", "--proposed"); !strings.Contains(out, "3 lines matched") {
		t.Errorf("of three lines: %s", out)
	}

	day = "2025-12-02"
	run("earnings", "close", "2025-11-30", "--sure")
	if out := run("check"); !strings.Contains(out, "sound") {
		t.Error(out)
	}
	var v struct{ Years []yearly.Year }
	if err := json.Unmarshal([]byte(run("earnings", "year", "2025", "--json")), &v); err != nil {
		t.Fatal(err)
	}
	if len(v.Years) != 1 {
		t.Fatalf("%d currencies, want one", len(v.Years))
	}
	books := filepath.Join(dir, "books.journal")
	run("earnings", "journal", "-o", books)
	text, err := os.ReadFile(books)
	if err != nil {
		t.Fatal(err)
	}
	balances := hledger.Balances(t, text)
	hledger.SameYear(t, v.Years[0], balances)

	// By hand: 120 + 80 by an outlet and 80 by a gallery; 88 and 10 went back; the gallery keeps 32; the outlet takes 13.00 and 8.80 and, of the payments,
	// 4.11 and 2.64, and kept 0.79 more in its payout; the bank has 119 − 88 + 48.
	for account, want := range map[string]int64{
		"Sales of prints": -200_00, "Sales through galleries": -80_00, "Shares of galleries": 32_00, "Sales tax to pay on": -6_90, "Bank": 79_00, "Postage to pay": -14_90,
	} {
		if got, err := money.Parse(balances[account+" USD"], "USD"); err != nil || got.Minor != want {
			t.Errorf("%s: hledger says %q, want %d (%v)", account, balances[account+" USD"], want, err)
		}
	}
}
