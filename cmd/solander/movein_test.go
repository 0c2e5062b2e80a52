//go:build unix

package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"solander/edition"
	"solander/house"
	"solander/intake"
	"solander/intake/csvfile"
	"solander/internal/speedtest"
	"solander/measure"
	"solander/money"
	"solander/movein"
	"solander/order"
	"solander/store"
	"solander/studio"
)

// The aim for a large file that comes in by the pages.
const (
	moveInRows   = 50_000
	moveInMemory = 300_000_000 // bytes, resident at most
)

// waitingBook is a studio in which a large file waits, every question about it answered.
func waitingBook(b *testing.B, rows int) (place string, arrival int64) {
	b.Helper()
	place = filepath.Join(b.TempDir(), "studio.db")
	st, err := store.Open(b.Context(), place, store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer st.Close()
	s := studio.New(st, studio.Options{Files: csvfile.Read})
	must := func(err error) {
		b.Helper()
		if err != nil {
			b.Fatal(err)
		}
	}
	in := house.Defaults(measure.Imperial)
	in.Settings.Studio, in.Settings.Artist = "Wren Street Press", "Nell Marsh"
	in.Settings.Address = order.Address{Name: "Wren Street Press", Line1: "1 Wren Street", City: "Blacksburg", Region: "VA", Postcode: "24060", Country: "US"}
	in.Outlets = []order.Outlet{{Name: "Own shop", PromiseDays: 3}}
	in.Work = edition.Work{Title: "Salt road", Year: 2024}
	in.Edition = edition.Edition{
		Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grammage: 310 * measure.GSM, Caliper: measure.Millimetre / 2,
		Grade: "standard", Limit: 9, Price: money.Of(9000, "USD"),
	}
	must(house.SetUp(b.Context(), s, in))
	body := speedtest.Book(rows)
	a, err := movein.Arrive(b.Context(), s, movein.ArriveIn{Name: "book.csv", Body: body})
	must(err)
	m := speedtest.Mapping()
	must(movein.Decide(b.Context(), s, a.ID, m))
	table, err := csvfile.Read("book.csv", body, nil)
	must(err)
	tr, err := movein.TryFile(b.Context(), s, movein.FileTrialIn{Table: table, Mapping: m}, nil)
	must(err)
	said := intake.Answers{}
	for _, d := range tr.Declarations {
		said[d.LimitID], said[d.ID(movein.PartConfirm)] = "250", "250"
		said[d.ID(movein.PartPaper)], said[d.ID(movein.PartGrade)] = "cotton rag, 310 gsm", "fine"
	}
	must(movein.Answer(b.Context(), s, a.ID, said))
	return place, a.ID
}

var seenField = regexp.MustCompile(`name="seen" value="([0-9a-f]+)"`)

// BenchmarkMoveInByPages brings a file of 50 000 rows in by the pages of the program: its trial, then the commit.
func BenchmarkMoveInByPages(b *testing.B) {
	if runtime.GOOS != "linux" {
		b.Skip("the resident set is read from /proc, which only Linux has")
	}
	for b.Loop() {
		place, arrival := waitingBook(b, moveInRows)
		cmd, address := started(b, "serve", "--store", place)
		jar, err := cookiejar.New(nil)
		if err != nil {
			b.Fatal(err)
		}
		client := &http.Client{Jar: jar}
		page := until(b, client, fmt.Sprintf("%sintake/%d/trial", address, arrival), nil)
		seen := seenField.FindStringSubmatch(page)
		if seen == nil {
			b.Fatalf("the trial has no deed: %.2000s", page)
		}
		peak, _ := resident(b, cmd.Process.Pid)
		b.ReportMetric(peak/1e6, "trial-MB")
		page = until(b, client, fmt.Sprintf("%sintake/%d/take-in", address, arrival), url.Values{"seen": {seen[1]}})
		if want := fmt.Sprintf("<dt>orders</dt><dd>%d</dd>", moveInRows); !strings.Contains(page, want) {
			b.Errorf("the page of the file does not say %q: %.3000s", want, page)
		}
		peak, now := resident(b, cmd.Process.Pid)
		b.ReportMetric(peak/1e6, "peak-MB")
		b.ReportMetric(now/1e6, "resident-MB")
		if peak > moveInMemory {
			b.Errorf("it held %.0f bytes, %d are allowed", peak, moveInMemory)
		}
		ends(b, cmd, syscall.SIGTERM)
		b.ReportMetric((cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds(), "processor-s")
	}
}

// until asks for a page, with a form if there is one, and looks again as long as the page is of a reckoning that goes on.
func until(b *testing.B, client *http.Client, address string, form url.Values) string {
	b.Helper()
	ctx, stop := context.WithTimeout(b.Context(), 10*time.Minute)
	defer stop()
	method := http.MethodGet
	if form != nil {
		method = http.MethodPost
	}
	for {
		r, err := http.NewRequestWithContext(ctx, method, address, strings.NewReader(form.Encode()))
		if err != nil {
			b.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		res, err := client.Do(r)
		if err != nil {
			b.Fatal(err)
		}
		text, err := io.ReadAll(res.Body)
		res.Body.Close()
		if err != nil || res.StatusCode != http.StatusOK {
			b.Fatalf("%s answers %d: %.500s %v", address, res.StatusCode, text, err)
		}
		if res.Header.Get("Refresh") == "" {
			return string(text)
		}
		method, form, address = http.MethodGet, nil, res.Request.URL.String()
		time.Sleep(200 * time.Millisecond)
	}
}
