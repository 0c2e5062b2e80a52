// Package hledger lets a general accounting program work out the balances of a journal, for tests: hledger of Debian, which shares nothing with
// this one and reads the plain text that many such programs do.
package hledger

import (
	"bytes"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Balances are the balances of a journal as it works them out, by the name of the account and the currency: "Bank USD" is "110.00". What is at
// nothing is left out. It fails when the program is not here, or does not take the journal.
func Balances(t testing.TB, text []byte) map[string]string {
	t.Helper()
	program, err := exec.LookPath("hledger")
	if err != nil {
		t.Fatal("the program hledger (package hledger of Debian) is not here: ", err)
	}
	file := filepath.Join(t.TempDir(), "studio.journal")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.CommandContext(t.Context(), program, "-f", file, "check", "--strict").CombinedOutput(); err != nil || len(out) > 0 {
		t.Fatalf("it does not take the journal: %v\n%s", err, out)
	}
	out, err := exec.CommandContext(t.Context(), program, "-f", file, "balance", "--flat", "--no-total", "--layout=bare", "-O", "csv").Output()
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(out)).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("no balances: %q (%v)", out, err)
	}
	got := map[string]string{}
	for _, r := range rows[1:] {
		_, name, _ := strings.Cut(r[0], ":")
		if strings.Trim(r[2], "0.-") != "" {
			got[name+" "+r[1]] = r[2]
		}
	}
	return got
}
