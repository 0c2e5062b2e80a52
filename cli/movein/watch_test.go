package movein

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"solander/book"
	"solander/edition"
	"solander/house"
	"solander/intake"
	"solander/intake/csvfile"
	"solander/intake/guess"
	"solander/intake/kept"
	"solander/measure"
	"solander/money"
	"solander/movein"
	"solander/order"
	"solander/store"
	"solander/studio"
)

// fair is what a fair's own program writes.
const fair = "Date,Buyer,Address,Title,Size,Number,Price,Paid,Ref\n" +
	"2026-03-02,Edda Quill,\"12 Oak Street, Denver, CO 80202\",Heron at dusk,12 x 16 in,17/50,90.00,90.00,F-1\n"

// eye watches a folder by a clock of its own.
type eye struct {
	*Watched
	mu     sync.Mutex
	now    time.Time
	during func() // is run whenever a file is being read into rows
}

func (w *eye) pass(d time.Duration) { w.mu.Lock(); w.now = w.now.Add(d); w.mu.Unlock() }
func (w *eye) time() time.Time      { w.mu.Lock(); defer w.mu.Unlock(); return w.now }

// watching is a studio with a watched folder.
func watching(t *testing.T) (*eye, *studio.Studio) {
	t.Helper()
	w := &eye{now: time.Now()}
	st := fairStudio(t, filepath.Join(t.TempDir(), "studio.db"), func() {
		if w.during != nil {
			w.during()
		}
	})
	w.Watched = watch(t, st, t.TempDir())
	w.clock = w.time
	return w, st
}

func watch(t *testing.T, st *studio.Studio, folder string) *Watched {
	t.Helper()
	w, err := NewWatched(st, folder, "fair takings", t.Logf)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// fairStudio is a studio that reads what a fair's program writes; during is run whenever it reads a file.
func fairStudio(t *testing.T, place string, during func()) *studio.Studio {
	t.Helper()
	clock := func() time.Time { return time.Date(2026, 4, 14, 16, 0, 0, 0, time.UTC) }
	kept, err := store.Open(t.Context(), place, store.Options{Clock: clock})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { kept.Close() })
	read := func(name string, data []byte, tell func(done, total int)) (intake.Table, error) {
		during()
		return csvfile.Read(name, data, tell)
	}
	st := studio.New(kept, studio.Options{Clock: clock, Files: read})
	if set, err := st.Settings(t.Context()); err != nil || set.Ready() {
		return st
	}
	d := house.Defaults(measure.Imperial)
	d.Settings.Studio, d.Settings.Artist = "Marsh Lane Press", "Ines Corrow"
	d.Settings.Address = order.Address{Name: "Marsh Lane Press", Line1: "4 Marsh Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
	d.Work = edition.Work{Title: "Heron at dusk"}
	d.Edition = edition.Edition{
		Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2, Grade: "standard", Limit: 50,
		Price: money.Of(9000, "USD"), PrintCost: money.Of(1100, "USD"),
	}
	if err := house.SetUp(t.Context(), st, d); err != nil {
		t.Fatal(err)
	}
	table, err := csvfile.Read("fair.csv", []byte(fair), nil)
	if err != nil {
		t.Fatal(err)
	}
	m := guess.New(table).Mapping
	m.Name, m.Currency, m.Outlet, m.Country, m.Unit = "fair takings", "USD", "In person", "US", "in"
	if err := movein.SaveMapping(t.Context(), st, m); err != nil {
		t.Fatal(err)
	}
	return st
}

func (w *eye) drop(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(w.folder, name), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// looks looks so often.
func (w *eye) looks(t *testing.T, n int) {
	t.Helper()
	for range n {
		w.pass(standsStill)
		if err := w.look(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
}

// files lists what lies in a folder of the watched one.
func (w *eye) files(t *testing.T, folder string) []string {
	t.Helper()
	entries, err := os.ReadDir(filepath.Join(w.folder, folder))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names
}

func orders(t *testing.T, st *studio.Studio) int {
	t.Helper()
	page, err := book.Orders(t.Context(), st, studio.OrderQuery{Limit: 500}, "")
	if err != nil {
		t.Fatal(err)
	}
	return len(page.Rows)
}

func TestAFileIsReadWhenItStandsStill(t *testing.T) {
	w, st := watching(t)
	w.drop(t, "fair.csv", fair[:60])
	w.looks(t, 1)
	w.drop(t, "fair.csv", fair) // it grew meanwhile
	w.looks(t, 1)
	if n := orders(t, st); n != 0 {
		t.Fatalf("%d orders of half a file", n)
	}
	w.looks(t, 1)
	if n := orders(t, st); n != 1 {
		t.Errorf("%d orders", n)
	}
	if got := w.files(t, broughtFolder); !slices.Equal(got, []string{"fair.csv"}) || len(w.files(t, ".")) != 0 {
		t.Errorf("brought in: %v", got)
	}
	w.drop(t, "fair.csv", fair) // the same again, as after an end between writing and moving
	w.looks(t, 2)
	if n := orders(t, st); n != 1 {
		t.Errorf("%d orders after the same file again", n)
	}
	if got := w.files(t, broughtFolder); !slices.Equal(got, []string{"fair-2.csv", "fair.csv"}) {
		t.Errorf("brought in: %v", got)
	}
}

// A column that the saved reading does not know is never ignored: the file waits until it is said what it is.
func TestAFileWithANewColumnIsLeftAside(t *testing.T) {
	w, st := watching(t)
	lines := strings.SplitN(fair, "\n", 2)
	w.drop(t, "fair.csv", lines[0]+",Voucher\n"+strings.TrimSuffix(lines[1], "\n")+",20.00\n")
	w.looks(t, 2)
	if n := orders(t, st); n != 0 {
		t.Errorf("%d orders of a file with a new column", n)
	}
	report, err := os.ReadFile(filepath.Join(w.folder, asideFolder, "fair.csv.report.txt"))
	if err != nil || !strings.Contains(string(report), "does not know 1 column: Voucher") || !strings.Contains(string(report), "say what the columns are") {
		t.Errorf("%v: %s", err, report)
	}
	waiting, err := movein.Arrivals(t.Context(), st)
	if err != nil || len(waiting) != 1 || waiting[0].Mapping != nil || !strings.Contains(waiting[0].Note, "Voucher") {
		t.Errorf("waiting: %+v (%v)", waiting, err)
	}
	w.drop(t, "empty.csv", lines[0]+",Voucher\n"+strings.TrimSuffix(lines[1], "\n")+",\n")
	w.looks(t, 2)
	if n := orders(t, st); n != 1 {
		t.Errorf("%d orders: a heading without values is nothing to ask about", n)
	}
}

func TestAFileWithAProblemIsLeftAsideWhole(t *testing.T) {
	w, st := watching(t)
	w.drop(t, "fair.csv", fair+"2026-03-03,Odo Marsh,\"9 Elm Street, Denver, CO 80202\",Heron at dusk,12 x 16 in,77/50,90.00,90.00,F-2\n")
	w.drop(t, "other.csv", "a,b\n1,2\n")
	w.looks(t, 2)
	if n := orders(t, st); n != 0 {
		t.Errorf("%d orders of a file with a problem", n)
	}
	if got := w.files(t, asideFolder); !slices.Equal(got, []string{"fair.csv", "fair.csv.report.txt", "other.csv", "other.csv.report.txt"}) {
		t.Fatalf("left aside: %v", got)
	}
	report, err := os.ReadFile(filepath.Join(w.folder, asideFolder, "fair.csv.report.txt"))
	if err != nil || !strings.Contains(string(report), "row 3") || !strings.Contains(string(report), "Nothing was made of it") {
		t.Errorf("%v: %s", err, report)
	}
	for _, line := range strings.Split(string(report), "\n") {
		if len([]rune(line)) > textWidth && !strings.Contains(line, `"`) {
			t.Errorf("a line is longer than %d: %s", textWidth, line)
		}
	}
	waiting, err := movein.Arrivals(t.Context(), st)
	if err != nil || len(waiting) != 2 || waiting[1].Source != kept.FromFolder || waiting[1].Mapping == nil || waiting[1].Note == "" {
		t.Errorf("waiting: %+v (%v)", waiting, err)
	}
}

func TestLinksAndHugeFilesAreRefused(t *testing.T) {
	w, st := watching(t)
	outside := filepath.Join(t.TempDir(), "secret.csv")
	if err := os.WriteFile(outside, []byte(fair), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(w.folder, "link.csv")); err != nil {
		t.Fatal(err)
	}
	huge := filepath.Join(w.folder, "huge.csv")
	w.drop(t, "huge.csv", "")
	if err := os.Truncate(huge, movein.MaxFile+1); err != nil {
		t.Fatal(err)
	}
	w.drop(t, ".hidden.csv", fair)
	w.drop(t, "~$fair.xlsx", fair)
	w.drop(t, "readme.pdf", fair)
	w.looks(t, 2)
	if n := orders(t, st); n != 0 {
		t.Errorf("%d orders", n)
	}
	if got := w.files(t, asideFolder); !slices.Equal(got, []string{"huge.csv", "huge.csv.report.txt", "link.csv", "link.csv.report.txt"}) {
		t.Errorf("left aside: %v", got)
	}
	if got := w.files(t, "."); !slices.Equal(got, []string{".hidden.csv", "readme.pdf", "~$fair.xlsx"}) {
		t.Errorf("left alone: %v", got)
	}
	if _, err := os.Stat(outside); err != nil {
		t.Errorf("what the link led to: %v", err)
	}
}

// TestWatchingEnds holds that a folder is looked at by every tick, and no more once the context has ended.
func TestWatchingEnds(t *testing.T) {
	w, st := watching(t)
	w.drop(t, "fair.csv", fair)
	ctx, stop := context.WithCancel(t.Context())
	tick, done := make(chan time.Time), make(chan struct{})
	go func() { w.Run(ctx, tick); close(done) }()
	tick <- time.Time{} // the first look is done
	w.pass(standsStill)
	tick <- time.Time{}
	tick <- time.Time{}
	if n := orders(t, st); n != 1 {
		t.Errorf("%d orders after three looks", n)
	}
	stop()
	<-done
}
