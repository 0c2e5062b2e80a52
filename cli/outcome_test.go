package cli_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/cli"
	"solander/internal/pgtest"
	"solander/internal/wiring"
)

// command runs one command and returns its exit code and all that it said.
func command(args ...string) (code int, said string) {
	var out, errs bytes.Buffer
	env := wiring.Env(func(string) string { return "" }, func() time.Time { return storyNow })
	code = cli.Run(context.Background(), args, strings.NewReader(""), &out, &errs, env)
	return code, out.String() + errs.String()
}

// TestOutcomeUnknownToACommand cuts the connection between COMMIT and its answer, and takes the server away: each has
// an exit code and words of its own, and neither says that nothing was changed.
func TestOutcomeUnknownToACommand(t *testing.T) {
	line := pgtest.NewLine(t, pgtest.New(t))
	if code, said := command("set-up", "--file", "testdata/studio.json", "--store", line.DSN); code != 0 {
		t.Fatalf("%d: %s", code, said)
	}
	sale := []string{
		"sale", "--outlet", "own", "--buyer", "Ada Quill", "--print", "heron", "--line1", "8 Quince Lane",
		"--city", "Pinfold", "--region", "PA", "--postcode", "19103", "--store", line.DSN,
	}
	line.CutAtCommit(true)
	code, said := command(sale...)
	if code != 5 || !strings.Contains(said, "it is not known whether it stands") || !strings.Contains(said, "hint: look whether it is there before you do it again") || strings.Contains(said, "nothing was changed") {
		t.Errorf("a commit that was cut ends with %d: %s", code, said)
	}
	code, said = command("orders", "--store", line.DSN) // the line is still cut
	if code != 3 || !strings.Contains(said, "the database server does not answer") {
		t.Errorf("a server that is away ends with %d: %s", code, said)
	}
	if err := line.Mend(); err != nil {
		t.Fatal(err)
	}
	if code, said = command("orders", "--store", line.DSN); code != 0 || !strings.Contains(said, "S-1001") {
		t.Errorf("the order that was committed: %d: %s", code, said)
	}
}

// TestCheckOfADamagedFile ends with 1 and a finding, also when the file can hardly be opened.
func TestCheckOfADamagedFile(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	if code, said := command("set-up", "--file", "testdata/studio.json", "--store", place); code != 0 {
		t.Fatalf("%d: %s", code, said)
	}
	whole, err := os.ReadFile(place)
	if err != nil {
		t.Fatal(err)
	}
	const firstPage = 4096
	for what, at := range map[string]int{"the head of the first page": 100, "the pages behind the first": 2 * firstPage} {
		broken := bytes.Clone(whole)
		for i := range 64 {
			broken[at+i] ^= 0x5a
		}
		if err := os.WriteFile(place, broken, 0o600); err != nil {
			t.Fatal(err)
		}
		if code, said := command("check", "--store", place); code != 1 || strings.Contains(said, "are sound") {
			t.Errorf("%s: check ends with %d: %s", what, code, said)
		}
	}
}
