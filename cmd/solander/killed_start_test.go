package main

import (
	"crypto/rand"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"solander/edition"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/picture"
	"solander/studio"
)

// bigStudio is how many bytes the studio has that is started after it was killed.
const bigStudio = 1_000_000_000

// BenchmarkStartAfterKill kills a program (SIGKILL) that serves a studio of a gigabyte and takes orders, and tells how long another one takes from its
// start until it answers with the bench.
func BenchmarkStartAfterKill(b *testing.B) {
	place := filepath.Join(b.TempDir(), "studio.db")
	token := fillBig(b, place)
	var all time.Duration
	for b.Loop() {
		cmd, address := started(b, "serve", "--store", place)
		client := &http.Client{Timeout: time.Minute}
		for i := range 100 {
			if code, answer := sendOrder(client, address, token, 1, b.N*1000+i+int(time.Now().UnixNano()%1e9)); code != http.StatusCreated {
				b.Fatalf("%d %s", code, answer)
			}
		}
		if err := cmd.Process.Kill(); err != nil {
			b.Fatal(err)
		}
		_ = cmd.Wait() // it was killed: how it ended is no news
		log, err := os.Stat(place + "-wal")
		if err != nil {
			b.Fatal(err)
		}
		begun := time.Now()
		cmd, address = started(b, "serve", "--store", place)
		open := time.Since(begun)
		if code := status(b, address); code != http.StatusOK {
			b.Fatalf("the bench answers %d", code)
		}
		took := time.Since(begun)
		all += took
		ends(b, cmd, os.Interrupt)
		b.Logf("with a log of %.1f MB left behind it was open after %v, the bench was there after %v", float64(log.Size())/1e6, open.Round(time.Millisecond), took.Round(time.Millisecond))
	}
	info, err := os.Stat(place)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(info.Size())/1e6, "MB")
	b.ReportMetric(float64(all.Milliseconds())/float64(b.N), "ms/start")
}

// fillBig makes a studio so big by the pictures of its works, and returns the token of a feed.
func fillBig(b *testing.B, place string) string {
	st := opened(b, place)
	s := useCases(b, st)
	ctx := studio.WithWho(b.Context(), "Ines Corrow")
	must := func(err error) {
		if err != nil {
			b.Fatal(err)
		}
	}
	d := house.Defaults(s)
	d.Settings.Studio, d.Settings.Artist = "Marsh Lane Press", "Ines Corrow"
	d.Settings.Address = order.Address{Name: "Marsh Lane Press", Line1: "4 Marsh Lane", City: "Roanoke", Region: "VA", Postcode: "24011", Country: "US"}
	d.Settings.FeedsAMinute = studio.MostFeedsAMinute
	d.Work = edition.Work{Title: "Heron at dusk", Year: 2024}
	d.Edition = edition.Edition{
		Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2, Grade: "standard",
		Limit: 10_000, TightestRoll: 3 * measure.Inch, Price: money.Of(9000, "USD"), PrintCost: money.Of(1100, "USD"),
	}
	must(house.SetUp(ctx, s, d))
	body := make([]byte, 900_000)
	_, _ = rand.Read(body) // never fails
	print := picture.Print{JPEG: body, Box: picture.Box{Width: 1600, Height: 1200}}
	for i, size := 0, int64(0); size < bigStudio; i++ {
		must(st.Write(ctx, func(tx studio.Tx) error {
			id, err := tx.SaveWork(edition.Work{Title: fmt.Sprint("Low tide ", i)})
			if err != nil {
				return err
			}
			return tx.SavePicture(picture.Picture{Work: id, Digest: fmt.Sprintf("%064x", i), Small: print.Box, Middle: print.Box, Large: print.Box, At: tx.Now(), Who: "Ines Corrow"}, picture.Prints{Small: print, Middle: print, Large: print})
		}))
		info, err := os.Stat(place)
		must(err)
		size = info.Size()
	}
	f, err := feeds.AddFeed(ctx, s, feed.Feed{Name: "till", Outlet: 1, Scopes: feed.Scopes()})
	must(err)
	must(st.Close())
	return f.Token
}
