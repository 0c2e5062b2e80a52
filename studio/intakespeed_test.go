package studio_test

import (
	"context"
	"fmt"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"solander/intake"
	"solander/studio"
)

// manyRows is how many rows the large file of the benchmark has.
const manyRows = 50_000

// largeFile is an invented book of sales, an order a row: of each three rows one left the house long ago, one is paid
// and still to be sent, one is unpaid.
func largeFile(rows int) string {
	var w strings.Builder
	w.WriteString("Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note\n")
	for i := range rows {
		state, paid := []string{"posted", "waits", "waits"}[i%3], []string{"80", "80", ""}[i%3]
		fmt.Fprintf(&w, "%d/%d/202%d,Edda Quill %d,\"%d Mill Lane, Roanoke, VA 24%03d\",Heron %d,12 x 18 in,%d/250,80,%s,%s,,R-%d,%s\n",
			i%12+1, i%28+1, 3+i%3, i/4, i/4%900, i/4%1000, i/200, i%200+1, paid, state, i, []string{"a gift", "", "met at the fair", ""}[i%4])
	}
	return w.String()
}

// processor is the time that the program has had of all processors: on a busy machine it says more than the clock.
func processor(tb testing.TB) time.Duration {
	tb.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		tb.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkTakeIn brings a file of 50 000 rows in, in one transaction, and takes it back.
func BenchmarkTakeIn(b *testing.B) {
	for range b.N {
		d := movingIn(b)
		table, err := d.ReadFile(d.ctx, "sales.csv", []byte(largeFile(manyRows)), nil)
		d.must(err)
		in := studio.FileTrialIn{Table: table, Mapping: herMapping()}
		tr, err := d.TryFile(d.ctx, in, nil)
		d.must(err)
		in.Answers = confirm(tr, intake.Answers{})
		tr, err = d.TryFile(d.ctx, in, nil)
		d.must(err)
		if tr.Counts.Ready != manyRows {
			b.Fatalf("%+v %+v", tr.Counts, tr.Problems[:min(3, len(tr.Problems))])
		}
		var id int64
		step := func(name string, f func()) {
			from := processor(b)
			f()
			b.ReportMetric((processor(b) - from).Seconds(), name+"-cpu-s")
		}
		step("commit", func() {
			got, err := d.TakeIn(d.ctx, studio.TakeInIn{FileTrialIn: in, Seen: tr.Seen}, nil)
			d.must(err)
			id = got.Intake.ID
		})
		step("undo", func() { d.must(d.UndoIntake(context.Background(), id, "wrong file")) })
		if info, err := os.Stat(d.path); err == nil {
			b.ReportMetric(float64(info.Size()>>20), "file-MB")
		}
	}
}
