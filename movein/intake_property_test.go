package movein_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/edition"
	"solander/house"
	"solander/internal/bed"
	"solander/movein"
	"solander/stockroom"
)

// anyRows makes rows of one known edition of five and one that is declared by the file: each number at most once, but for what
// came back; states, payments and days as they come.
func anyRows(t *rapid.T) string {
	var b strings.Builder
	b.WriteString("Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note\n")
	free := map[string][]int{"Heron at dusk,11 x 14 in": {1, 2, 3, 4, 5}, "Low tide,8 x 10 in": {1, 2, 3, 4, 5, 6, 7, 8, 9, 10}}
	of := map[string]int{"Heron at dusk,11 x 14 in": 5, "Low tide,8 x 10 in": 50}
	for i := range rapid.IntRange(1, 9).Draw(t, "rows") {
		print := rapid.SampledFrom([]string{"Heron at dusk,11 x 14 in", "Low tide,8 x 10 in"}).Draw(t, "print")
		state := rapid.SampledFrom([]string{"posted", "waits", "called off", "came back"}).Draw(t, "state")
		left := free[print]
		number := ""
		if len(left) > 0 && (state != "waits" || rapid.Bool().Draw(t, "numbered")) {
			at := rapid.IntRange(0, len(left)-1).Draw(t, "number")
			number = fmt.Sprintf("%d/%d", left[at], of[print])
			free[print] = append(append([]int{}, left[:at]...), left[at+1:]...)
		} else if len(left) == 0 || state != "waits" {
			continue
		} else {
			free[print] = left[:len(left)-1] // the one that it will be given
		}
		day := rapid.IntRange(1, 27).Draw(t, "day")
		paid := rapid.SampledFrom([]string{"", "30", "90"}).Draw(t, "paid")
		sent := ""
		if state == "posted" || state == "came back" {
			sent = rapid.SampledFrom([]string{"", fmt.Sprintf("2/%d/2026", day+1)}).Draw(t, "sent")
		}
		who := rapid.SampledFrom([]string{"Ada Quill", "Bo Fenn", "Cy Dunn"}).Draw(t, "who")
		fmt.Fprintf(&b, "2/%d/2026,%s,\"12 Reed Lane, Roanoke, VA 24011\",%s,%s,90,%s,%s,%s,R-%d,\n", day, who, print, number, paid, state, sent, i)
	}
	return b.String()
}

// TestTakingBackIsTheOpposite holds for any file that bringing it in and taking it back leaves all numbers, counts, stocks and lists
// as they were, and that the books are sound in between and after.
func TestTakingBackIsTheOpposite(t *testing.T) {
	b := bed.MovingIn(t)
	b.Clock.Set(2026, 3, 30)
	asked, took := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		asked++
		rows := anyRows(rt)
		table, err := movein.ReadFile(b.Ctx, b.Studio, "any.csv", []byte(rows), nil)
		if err != nil {
			rt.Fatal(err)
		}
		in := movein.FileTrialIn{Table: table, Mapping: bed.HerMapping()}
		tr, err := movein.TryFile(b.Ctx, b.Studio, in, nil)
		if err != nil {
			rt.Fatal(err)
		}
		in.Answers = bed.Confirm(tr, nil)
		before := b.Standings()
		got, err := movein.TakeIn(b.Ctx, b.Studio, movein.TakeInIn{FileTrialIn: in}, nil)
		if err != nil {
			rt.Fatalf("%v\n%s", err, rows)
		}
		if got.Intake == nil {
			return
		}
		took++
		if found, err := house.Check(b.Ctx, b.Studio); err != nil || len(found) > 0 {
			rt.Fatalf("brought in: %v (%v)\n%s", found, err, rows)
		}
		if err := movein.UndoIntake(b.Ctx, b.Studio, got.Intake.ID, "property"); err != nil {
			rt.Fatalf("%v\n%s", err, rows)
		}
		if after := b.Standings(); after != before {
			rt.Fatalf("before:\n%s\nafter:\n%s\nof\n%s", before, after, rows)
		}
		if found, err := house.Check(b.Ctx, b.Studio); err != nil || len(found) > 0 {
			rt.Fatalf("taken back: %v (%v)\n%s", found, err, rows)
		}
	})
	if took == 0 || took < asked/2 {
		t.Errorf("only %d of %d files were brought in: too little was tested", took, asked)
	}
	for _, e := range bed.Must(stockroom.Drawer(b.Ctx, b.Studio)) {
		if e.Counts[edition.Free] != e.Total() && !e.Open() {
			t.Errorf("%s: %v", e.Title, e.Counts)
		}
	}
}

func TestMain(m *testing.M) { bed.Properties(m) }
