//go:build unix

package main

import (
	"crypto/rand"
	"database/sql"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/edition"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/internal/pgtest"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/picture"
	"solander/studio"
)

// bigStudio is how many bytes the studio has that is started after it was killed.
const bigStudio = 1_000_000_000

// BenchmarkStartAfterKill kills a program (SIGKILL) that serves a studio of a gigabyte and takes orders, and tells how long another one takes from its
// start until it is ready and answers with the bench: on a file, and on a server of PostgreSQL that lives on.
func BenchmarkStartAfterKill(b *testing.B) {
	for _, engine := range bigEngines {
		b.Run(engine.name, func(b *testing.B) {
			place := engine.place(b)
			token := fillBig(b, place)
			var all time.Duration
			for b.Loop() {
				p := watchedAt(b, place)
				p.takes(token, 100)
				if err := p.cmd.Process.Kill(); err != nil {
					b.Fatal(err)
				}
				_ = p.cmd.Wait() // it was killed: how it ended is no news
				left := int64(0)
				if log, err := os.Stat(place + "-wal"); err == nil {
					left = log.Size()
				}
				begun := time.Now()
				p = watchedAt(b, place)
				p.awaitReady()
				ready := time.Since(begun)
				if code := status(b, p.address); code != http.StatusOK {
					b.Fatalf("the bench answers %d", code)
				}
				took := time.Since(begun)
				all += took
				ends(b, p.cmd, os.Interrupt)
				b.Logf("with a log of %.1f MB left behind it was ready after %v, the bench was there after %v", float64(left)/1e6, ready.Round(time.Millisecond), took.Round(time.Millisecond))
			}
			b.ReportMetric(float64(sizeOf(b, place))/1e6, "MB")
			b.ReportMetric(float64(all.Milliseconds())/float64(b.N), "ms/start")
		})
	}
}

// BenchmarkServerKilled kills a process of the server of PostgreSQL (SIGKILL) under a program that serves a studio of a gigabyte and takes orders: the server
// then ends all others, and recovers from its log. It tells how long the program, which goes on, is not ready, and when it takes orders again.
func BenchmarkServerKilled(b *testing.B) {
	place := pgtest.New(b)
	token := fillBig(b, place)
	p := watchedAt(b, place)
	var all time.Duration
	for b.Loop() {
		p.takes(token, 100)
		begun := time.Now()
		killServer(b, place)
		p.awaitReady()
		ready := time.Since(begun)
		p.takes(token, 1)
		took := time.Since(begun)
		all += took
		b.Logf("it was ready after %v, and took an order after %v", ready.Round(time.Millisecond), took.Round(time.Millisecond))
	}
	ends(b, p.cmd, os.Interrupt)
	b.ReportMetric(float64(sizeOf(b, place))/1e6, "MB")
	b.ReportMetric(float64(all.Milliseconds())/float64(b.N), "ms/order")
}

// killServer kills the process of the server that serves the program, and returns once the server has let go of all.
func killServer(b *testing.B, place string) {
	b.Helper()
	db, err := sql.Open("pgx", place)
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	var pid int
	if err := db.QueryRow(`SELECT pid FROM pg_stat_activity WHERE application_name = 'solander' AND datname = current_database() LIMIT 1`).Scan(&pid); err != nil {
		b.Fatal(err)
	}
	server, err := os.FindProcess(pid)
	if err == nil {
		err = server.Kill()
	}
	if err != nil {
		b.Fatal(err)
	}
	waitFor(b, "the server to end our own connection", func() bool { _, err := db.Exec(`SELECT 1`); return err != nil })
}

// awaitReady waits until the program says that it is ready.
func (p *watchedProgram) awaitReady() {
	p.t.Helper()
	waitFor(p.t, "to be ready", func() bool { code, _ := p.ask("GET", p.health+"/ready", ""); return code == http.StatusOK })
}

// takes sends orders until so many were taken.
func (p *watchedProgram) takes(token string, orders int) {
	p.t.Helper()
	client := &http.Client{Timeout: time.Minute}
	for n := range orders {
		ref := int(time.Now().UnixNano() % 1e12)
		waitFor(p.t, fmt.Sprint("order ", n), func() bool {
			code, answer := sendOrder(client, p.address+"/", token, 1, ref)
			if code != http.StatusCreated && code != http.StatusServiceUnavailable && code != 0 {
				p.t.Fatalf("%d %s", code, answer)
			}
			return code == http.StatusCreated
		})
	}
}

// bigEngines are the engines on which a large studio is made.
var bigEngines = []struct {
	name  string
	place func(*testing.B) string
}{
	{"SQLite", func(b *testing.B) string { return filepath.Join(b.TempDir(), "studio.db") }},
	{"PostgreSQL", func(b *testing.B) string { return pgtest.New(b) }},
}

// sizeOf is how many bytes a studio takes where it is kept.
func sizeOf(b *testing.B, place string) int64 {
	b.Helper()
	if !strings.HasPrefix(place, "postgres:") {
		info, err := os.Stat(place)
		if err != nil {
			b.Fatal(err)
		}
		return info.Size()
	}
	db, err := sql.Open("pgx", place)
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	var size int64
	if err := db.QueryRow(`SELECT pg_database_size(current_database())`).Scan(&size); err != nil {
		b.Fatal(err)
	}
	return size
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
	d := house.Defaults(measure.Imperial)
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
		size = sizeOf(b, place)
	}
	f, err := feeds.AddFeed(ctx, s, feed.Feed{Name: "till", Outlet: 1, Scopes: feed.Scopes()})
	must(err)
	must(st.Close())
	return f.Token
}
