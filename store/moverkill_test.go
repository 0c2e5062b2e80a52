package store

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"solander/edition"
	"solander/house"
	"solander/intake/csvfile"
	"solander/intake/guess"
	"solander/measure"
	"solander/money"
	"solander/movein"
	"solander/order"
	"solander/studio"
)

// moverPlace tells a test binary started anew that it is to bring a file in there.
const moverPlace = "SOLANDER_TEST_MOVER"

// movedRows is how many orders the file makes.
const movedRows = 400

// mover does the mover's work in the process that was started for it.
func mover() bool {
	place := os.Getenv(moverPlace)
	if place == "" {
		return false
	}
	err := func() error {
		s, err := Open(context.Background(), place, Options{})
		if err != nil {
			return err
		}
		os.Stdout.WriteString("begun\n")
		return bringIn(context.Background(), s)
	}()
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Stdout.WriteString("done\n")
	return true
}

func bringIn(ctx context.Context, s studio.Store) error {
	var b strings.Builder
	b.WriteString("Sold,Buyer,Address,Picture,No.,Price,Paid,Sent\n")
	for i := range movedRows {
		fmt.Fprintf(&b, "2025-03-%02d,Buyer %d,\"%d Oak Street, Denver, CO 80202\",Heron at dusk,%d/%d,90.00,90.00,2025-04-02\n", i%28+1, i/3, i/3, i+1, movedRows)
	}
	table, err := csvfile.Read("sales.csv", []byte(b.String()), nil)
	if err != nil {
		return err
	}
	m := guess.New(table).Mapping
	m.Name, m.Currency, m.Outlet, m.Country = "sales", "USD", "Own shop", "US"
	got, err := movein.TakeIn(ctx, studio.New(s, studio.Options{}), movein.TakeInIn{FileTrialIn: movein.FileTrialIn{Table: table, Mapping: m}}, nil)
	if err == nil && got.Asked > 0 {
		err = fmt.Errorf("%d orders are asked about", got.Asked)
	}
	return err
}

// TestKilledWhileBringingIn kills the program at any moment of bringing a file in: then either all of it is there or nothing, and
// the same file brings in what is missing.
func TestKilledWhileBringingIn(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	whole, none := 0, 0
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			fresh := places(t)
			for round := range 6 {
				place := fresh(t)
				moveHouse(t, place)
				killMover(t, place, time.Duration(round*round)*12*time.Millisecond)
				s := opened(t, place)
				n := ordersOf(t, s)
				if n != 0 && n != movedRows {
					t.Fatalf("%d of %d orders are there", n, movedRows)
				}
				if n == 0 {
					none++
				} else {
					whole++
				}
				if err := bringIn(t.Context(), s); err != nil {
					t.Fatal(err)
				}
				if n := ordersOf(t, s); n != movedRows {
					t.Errorf("%d orders after the same file again", n)
				}
				if found, err := house.Check(t.Context(), studio.New(s, studio.Options{})); err != nil || len(found) > 0 {
					t.Errorf("check: %v (%v)", found, err)
				}
			}
		})
	}
	if none == 0 {
		t.Errorf("no kill came before the end (%d came after): nothing was tested", whole)
	}
}

func killMover(t *testing.T, place string, after time.Duration) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), moverPlace+"="+place)
	var failed strings.Builder
	cmd.Stderr = &failed
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if line, err := bufio.NewReader(out).ReadString('\n'); err != nil || line != "begun\n" {
		t.Fatalf("the mover said %q (%v) %s", line, err, failed.String())
	}
	time.Sleep(after)
	_ = cmd.Process.Kill() // it may have ended
	_ = cmd.Wait()
	if failed.Len() > 0 {
		t.Fatal(failed.String())
	}
}

// moveHouse sets up a studio with one edition that has room for all rows.
func moveHouse(t *testing.T, place string) {
	t.Helper()
	s, err := Open(t.Context(), place, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	st := studio.New(s, studio.Options{})
	d := house.Defaults(measure.Imperial)
	d.Settings.Studio, d.Settings.Artist = "Marsh Lane Press", "Ines Corrow"
	d.Settings.Address = order.Address{Name: "Marsh Lane Press", Line1: "4 Marsh Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
	d.Work = edition.Work{Title: "Heron at dusk"}
	d.Edition = edition.Edition{
		Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2, Grade: "standard", Limit: movedRows,
		Price: money.Of(9000, "USD"), PrintCost: money.Of(1100, "USD"),
	}
	if err := house.SetUp(t.Context(), st, d); err != nil {
		t.Fatal(err)
	}
}

func ordersOf(t *testing.T, s studio.Store) int {
	t.Helper()
	n := 0
	err := s.Read(t.Context(), func(tx studio.Tx) error {
		all, err := tx.Orders(studio.OrderQuery{Limit: 10 * movedRows})
		n = len(all)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}
