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

// TestOneSaleOnPostgreSQL takes a sale from intake to hand-over with --store postgres://…, and brings
// the studio back to an SQLite file: the copies are of one form.
func TestOneSaleOnPostgreSQL(t *testing.T) {
	place, dir := pgtest.New(t), t.TempDir()
	run := func(want int, args ...string) string {
		t.Helper()
		var out, errs bytes.Buffer
		env := wiring.Env(func(string) string { return "" }, func() time.Time { return storyNow })
		if got := cli.Run(context.Background(), args, strings.NewReader(""), &out, &errs, env); got != want {
			t.Fatalf("%v ended with %d, not %d: %s", args, got, want, errs.String())
		}
		return out.String() + errs.String()
	}
	pg := func(want int, args ...string) string { t.Helper(); return run(want, append(args, "--store", place)...) }

	pg(0, "set-up", "--file", "testdata/studio.json")
	for _, key := range []string{"sleeve-12.25x16.25", "board-13x17", "envelope-13x17", "envelope-14x18", "tissue-20x30", "tube-18x3"} {
		pg(0, "shelf", "count", key, "20")
	}
	sale := []string{
		"sale", "--outlet", "own", "--ref", "W-77", "--buyer", "Åsa Strömhagen", "--print", "heron:17", "--line1", "8 Quince Lane",
		"--city", "Pinfold", "--region", "PA", "--postcode", "19103", "--paid", "120",
	}
	pg(0, sale...)
	if text := pg(2, sale...); !strings.Contains(text, "in the book already") {
		t.Errorf("the same reference again: %s", text)
	}
	for _, step := range [][]string{{"sign", "S-1001"}, {"pack", "S-1001"}, {"label", "S-1001", "--paid", "9.10"}, {"hand-over"}} {
		pg(0, step...)
	}
	if text := pg(0, "find", "17/250", "heron"); !strings.Contains(text, "sent, S-1001 Åsa Strömhagen") {
		t.Errorf("who has it: %s", text)
	}
	if text := pg(0, "check"); !strings.Contains(text, "sound") {
		t.Errorf("check: %s", text)
	}

	copied, lite := filepath.Join(dir, "studio.copy"), filepath.Join(dir, "studio.db")
	pg(0, "backup", copied)
	run(0, "restore", copied, "--store", lite)
	again := filepath.Join(dir, "again.copy")
	run(0, "backup", again, "--store", lite)
	first, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	second, err := os.ReadFile(again)
	if err != nil {
		t.Fatal(err)
	}
	if len(first) == 0 || !bytes.Equal(first, second) {
		t.Error("the copies of the two engines differ")
	}
	if text := pg(2, "restore", copied); !strings.Contains(text, "hint: ") {
		t.Errorf("restore over a studio: %s", text)
	}
}
