package copies_test

import (
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"solander/copies"
	"solander/copies/ages"
	"solander/edition"
	"solander/internal/pgtest"
	"solander/internal/speedtest"
	"solander/picture"
	"solander/store"
	"solander/studio"
)

// pictured is how many MB of pictures the studio of BenchmarkCopy has: 750 are 1 GB of the database in base64.
var pictured = flag.Int("pictured", 750, "how many MB of pictures the studio has that is copied")

// fill gives a studio works with pictures of chance, which no compression makes smaller, until they have so many bytes.
func fill(b *testing.B, s studio.Store) {
	b.Helper()
	chance := rand.NewChaCha8([32]byte{1})
	for done := 0; done < *pictured<<20; {
		err := s.Write(b.Context(), func(tx studio.Tx) error {
			for range 20 {
				var prints picture.Prints
				for _, size := range picture.Sizes() {
					body := make([]byte, 400<<10)
					_, _ = chance.Read(body) // it never fails
					*prints.At(size) = picture.Print{Box: picture.Box{Width: 10, Height: 10}, JPEG: body}
					done += len(body)
				}
				work, err := tx.SaveWork(edition.Work{Title: fmt.Sprint("Work ", done)})
				if err != nil {
					return err
				}
				box := picture.Box{Width: 10, Height: 10}
				if err := tx.SavePicture(picture.Picture{Work: work, Digest: fmt.Sprint(done), Small: box, Middle: box, Large: box, At: tx.Now(), Who: "bench"}, prints); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCopy makes a sealed copy of a studio of 1 GB in a folder, read back, while works are written all the time; it tells how long that takes,
// and how long a write took at most then and before.
func BenchmarkCopy(b *testing.B) {
	for name, place := range map[string]func() string{
		"sqlite":   func() string { return b.TempDir() + "/studio.db" },
		"postgres": func() string { return pgtest.New(b) },
	} {
		b.Run(name, func(b *testing.B) {
			s, err := store.Open(b.Context(), place(), store.Options{})
			if err != nil {
				b.Fatal(err)
			}
			b.Cleanup(func() { s.Close() })
			if err := s.Write(b.Context(), func(tx studio.Tx) error { return tx.SaveSettings(settings()) }); err != nil {
				b.Fatal(err)
			}
			fill(b, s)
			st := studio.New(s, studio.Options{})
			k := &copies.Keeper{Keys: copies.Keys{File: b.TempDir() + "/keys", Get: func(string) string { return "" }}}
			if err := k.Choose(b.Context(), st, copies.ChooseIn{To: copies.ToFolder, Folder: b.TempDir(), Keep: ages.Usual}); err != nil {
				b.Fatal(err)
			}
			before := writing(b, s, func() { time.Sleep(10 * time.Second) })
			for b.Loop() {
				var m copies.Made
				began, worked := time.Now(), speedtest.Processor(b)
				during := writing(b, s, func() {
					if m, err = k.Make(b.Context(), st); err != nil {
						b.Fatal(err)
					}
				})
				b.ReportMetric(time.Since(began).Seconds(), "s-a-copy")
				b.ReportMetric((speedtest.Processor(b) - worked).Seconds(), "processor-s-a-copy") // with the writes beside it
				b.ReportMetric(float64(m.Size)/1e6, "MB")
				for what, took := range map[string][]time.Duration{"before": before, "during": during} {
					slices.Sort(took)
					b.ReportMetric(float64(took[len(took)-1].Microseconds())/1000, "longest-write-"+what+"-ms")
					b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "p99-write-"+what+"-ms")
				}
			}
		})
	}
}

// writing writes every 20 ms while do goes on, and returns how long each write took.
func writing(b *testing.B, s studio.Store, do func()) (took []time.Duration) {
	ctx, stop := context.WithCancel(b.Context())
	var all sync.WaitGroup
	all.Go(func() {
		for n := 0; ctx.Err() == nil; n++ {
			began := time.Now()
			err := s.Write(b.Context(), func(tx studio.Tx) error {
				_, err := tx.SaveWork(edition.Work{Title: fmt.Sprint("late ", n)})
				return err
			})
			if err != nil {
				b.Error(err)
				return
			}
			took = append(took, time.Since(began))
			time.Sleep(20 * time.Millisecond)
		}
	})
	do()
	stop()
	all.Wait()
	return took
}
