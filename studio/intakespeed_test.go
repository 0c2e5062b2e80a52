package studio_test

import (
	"context"
	"os"
	"testing"

	"solander/intake"
	"solander/internal/speedtest"
	"solander/studio"
)

// manyRows is how many rows the large file of the benchmark has.
const manyRows = 50_000

// BenchmarkTakeIn brings a file of 50 000 rows in, in one transaction, and takes it back.
func BenchmarkTakeIn(b *testing.B) {
	for range b.N {
		d := movingIn(b)
		table, err := d.ReadFile(d.ctx, "sales.csv", speedtest.Book(manyRows), nil)
		d.must(err)
		in := studio.FileTrialIn{Table: table, Mapping: speedtest.Mapping()}
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
			from := speedtest.Processor(b)
			f()
			b.ReportMetric((speedtest.Processor(b) - from).Seconds(), name+"-cpu-s")
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
