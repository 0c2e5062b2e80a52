package movein_test

import (
	"context"
	"os"
	"testing"

	"solander/intake"
	"solander/internal/bed"
	"solander/internal/speedtest"
	"solander/movein"
)

// manyRows is how many rows the large file of the benchmark has.
const manyRows = 50_000

// BenchmarkTakeIn brings a file of 50 000 rows in, in one transaction, and takes it back.
func BenchmarkTakeIn(b *testing.B) {
	for range b.N {
		d := bed.MovingIn(b)
		table, err := movein.ReadFile(d.Ctx, d.Studio, "sales.csv", speedtest.Book(manyRows), nil)
		d.Must(err)
		in := movein.FileTrialIn{Table: table, Mapping: speedtest.Mapping()}
		tr, err := movein.TryFile(d.Ctx, d.Studio, in, nil)
		d.Must(err)
		in.Answers = bed.Confirm(tr, intake.Answers{})
		tr, err = movein.TryFile(d.Ctx, d.Studio, in, nil)
		d.Must(err)
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
			got, err := movein.TakeIn(d.Ctx, d.Studio, movein.TakeInIn{FileTrialIn: in, Seen: tr.Seen}, nil)
			d.Must(err)
			id = got.Intake.ID
		})
		step("undo", func() { d.Must(movein.UndoIntake(context.Background(), d.Studio, id, "wrong file")) })
		if info, err := os.Stat(d.Path); err == nil {
			b.ReportMetric(float64(info.Size()>>20), "file-MB")
		}
	}
}
