package xlsx

import (
	"fmt"
	"runtime"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"solander/intake"
	"solander/intake/guess"
	"solander/intake/proposal"
	"solander/internal/speedtest"
)

// The aim: 50 000 rows of 15 columns are dry-run in at most 10 s and 400 MB.
const (
	aimRows   = 50_000
	aimTime   = 10 * time.Second
	aimMemory = 400 << 20
)

var headings = []any{"Date", "Order", "Buyer", "Email", "Street", "Town", "State", "Zip", "Picture", "Size", "Grade", "No.", "Price", "Paid", "Notes"}

// large is a workbook of invented sales, one a row, with a colour on every third.
func large(t testing.TB, rows int) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	style := func(s excelize.Style) int {
		id, err := f.NewStyle(&s)
		must(err)
		return id
	}
	day := style(excelize.Style{NumFmt: 14})
	green := style(excelize.Style{Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"C6EFCE"}}})
	priced := "$#,##0.00"
	money := style(excelize.Style{CustomNumFmt: &priced})
	w, err := f.NewStreamWriter("Sheet1")
	must(err)
	must(w.SetRow("A1", headings))
	notes := []string{"half paid, 60 still due", "", "a gift", "sheet from lab 4 June", "", "hold until 3 May", "met at the fair", ""}
	for i := range rows {
		paint := 0
		if i%3 == 0 {
			paint = green
		}
		c := func(v any) excelize.Cell { return excelize.Cell{StyleID: paint, Value: v} }
		must(w.SetRow(fmt.Sprintf("A%d", i+2), []any{
			excelize.Cell{StyleID: day, Value: 44_000 + i/40},
			c(fmt.Sprintf("R-%d", i)), c(fmt.Sprintf("Edda Quill %d", i/4)), c(fmt.Sprintf("edda%d@example.org", i/4)),
			c(fmt.Sprintf("%d Mill Lane", i%900)), c("Roanoke"), c("VA"), c(fmt.Sprintf("24%03d", i%1000)), c(fmt.Sprintf("Heron %d", i/200)), c("12x18"), c("fine"),
			c(fmt.Sprintf("%d/250", i%200+1)),
			excelize.Cell{StyleID: money, Value: 80 + float64(i%500)/10},
			c([]any{"yes", 40, nil}[i%3]), c(notes[i%len(notes)]),
		}))
	}
	must(w.Flush())
	b, err := f.WriteToBuffer()
	must(err)
	return b.Bytes()
}

func largeMapping(t testing.TB, table intake.Table) intake.Mapping {
	t.Helper()
	m := guess.New(table).Mapping
	m.Name, m.Outlet, m.Country, m.Unit, m.Currency, m.Days = "large", "Fair", "US", "in", "USD", intake.MonthDay
	m.Fills = []intake.FillMap{{Fill: intake.RGB(0xC6, 0xEF, 0xCE), Means: intake.Sent}}
	m.NoFill = intake.Waiting
	return m
}

// peak watches the memory that the program has from the system for its heap and stacks until stop is called.
func peak() (stop func() uint64) {
	done, result := make(chan bool), make(chan uint64)
	go func() {
		most := uint64(0)
		for {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			most = max(most, m.HeapInuse+m.StackInuse)
			select {
			case <-done:
				result <- most
				return
			case <-time.After(50 * time.Millisecond):
			}
		}
	}()
	return func() uint64 { close(done); return <-result }
}

func dryRun(t testing.TB, data []byte, rows int) {
	t.Helper()
	table, err := Read("large.xlsx", data, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := proposal.Read(intake.Input{Table: table, Mapping: largeMapping(t, table)})
	if err != nil {
		t.Fatal(err)
	}
	if r.Counts.Ready != rows || r.Counts.Facts == 0 {
		t.Fatalf("counts %+v, problems %+v", r.Counts, r.Problems[:min(len(r.Problems), 3)])
	}
}

// A tenth of the aim, so that it is quick; memory grows with the rows.
func TestLargeWorkbookKeepsToItsMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	data := large(t, aimRows/10)
	runtime.GC()
	stop := peak()
	dryRun(t, data, aimRows/10)
	if most := stop(); most > aimMemory/4 {
		t.Errorf("a tenth of the aim took %d MB, want at most a quarter of %d", most>>20, aimMemory>>20)
	}
}

func TestProgressIsTold(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	data := large(t, 3000)
	last, calls := 0, 0
	table, err := Read("large.xlsx", data, func(done, total int) {
		if done < last || done > total || total == 0 {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last = done
		calls++
	})
	if err != nil || calls < 3 {
		t.Fatalf("told %d times: %v", calls, err)
	}
	calls = 0
	in := intake.Input{Table: table, Mapping: largeMapping(t, table), Progress: func(done, total int) {
		if done > total || total != 3001 {
			t.Errorf("%d of %d rows", done, total)
		}
		calls++
	}}
	if _, err := proposal.Read(in); err != nil || calls < 3 {
		t.Errorf("told %d times: %v", calls, err)
	}
}

func BenchmarkDryRun(b *testing.B) {
	data := large(b, aimRows)
	runtime.GC()
	b.ResetTimer()
	for range b.N {
		start, busy, stop := time.Now(), speedtest.Processor(b), peak()
		dryRun(b, data, aimRows)
		took, most := time.Since(start), stop()
		b.ReportMetric((speedtest.Processor(b) - busy).Seconds(), "cpu-s/run")
		b.ReportMetric(float64(most>>20), "peak-MB")
		b.ReportMetric(took.Seconds(), "s/run")
		if took > aimTime || most > aimMemory {
			b.Logf("took %v and %d MB: the aim is %v and %d MB", took, most>>20, aimTime, aimMemory>>20)
		}
	}
}
