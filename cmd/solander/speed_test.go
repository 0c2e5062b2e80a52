//go:build unix

package main

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"solander/book"
	"solander/fault"
	"solander/house"
	"solander/internal/speedtest"
	"solander/order"
	"solander/planning"
	"solander/studio"
	"solander/tariff/cards"
	"solander/web"
)

// median runs f b.N times and reports the median beside the mean, and how long a processor worked for one
// run: on a machine that is busy with other things that is the truer figure.
func median(b *testing.B, f func()) {
	b.Helper()
	took := make([]time.Duration, 0, b.N)
	before := speedtest.Processor(b)
	for b.Loop() {
		start := time.Now()
		f()
		took = append(took, time.Since(start))
	}
	reportMedian(b, took)
	b.ReportMetric(float64((speedtest.Processor(b)-before).Microseconds())/1000/float64(len(took)), "processor-ms")
}

func reportMedian(b *testing.B, took []time.Duration) { b.ReportMetric(medianOf(took), "median-ms") }

// medianOf is the median in milliseconds.
func medianOf(took []time.Duration) float64 {
	slices.Sort(took)
	return float64(took[len(took)/2].Microseconds()) / 1000
}

// useCases are the use cases over a store, with nothing remembered from before.
func useCases(b *testing.B, s studio.Store) *studio.Studio {
	b.Helper()
	all, err := cards.All()
	if err != nil {
		b.Fatal(err)
	}
	return studio.New(s, studio.Options{Clock: speedClock, Cards: studio.Given(all)})
}

// get asks a face for a page that must hold a text.
func get(b *testing.B, h http.Handler, path, text string) {
	b.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest("GET", "http://localhost"+path, nil))
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), text) {
		b.Fatalf("%s answers %d, without %q: %.3000s", path, w.Code, text, w.Body)
	}
}

// asked are questions to the search page and what its answer must hold.
var asked = map[string]struct{ q, text string }{
	"mark":               {"S-54321 ", "S-54321"},
	"buyer":              {"beatrix abernethy", "Beatrix Abernethy"},
	"e-mail":             {"b31337@example.org", "b31337@example.org"},
	"city":               {"huronfield", "/orders/S-"},
	"title":              {"heron", "Heron at dusk"},
	"number and title":   {"17/10000 heron", "17/10000"},
	"who has":            {"who has 17/500 of heron at dusk?", "17/500"},
	"reference":          {"P0054321", "S-55321"},
	"two common words":   {"heron huronfield", "/orders/S-"},
	"one letter":         {"h", "Heron at dusk"},
	"nothing like it":    {"zzyzx", "zzyzx"},
	"words of two sorts": {"abernethy heron", "Heron"},
}

// BenchmarkPages asks for pages of the large studio, from the request to the last byte, without a network.
// "bench, nothing planned" is the first page after the start, when no plan is remembered.
func BenchmarkPages(b *testing.B) {
	s := opened(b, large(b))
	h := web.New(useCases(b, s), web.Options{})
	page := func(name, path, text string) {
		b.Run(name, func(b *testing.B) {
			get(b, h, path, text)
			median(b, func() { get(b, h, path, text) })
		})
	}
	page("bench", "/", "Hand over")
	b.Run("bench, nothing planned", func(b *testing.B) {
		var took []time.Duration
		var worked time.Duration
		for b.Loop() {
			b.StopTimer()
			first := web.New(useCases(b, s), web.Options{})
			b.StartTimer()
			before, start := speedtest.Processor(b), time.Now()
			get(b, first, "/", "Hand over")
			took, worked = append(took, time.Since(start)), worked+speedtest.Processor(b)-before
		}
		reportMedian(b, took)
		b.ReportMetric(float64(worked.Microseconds())/1000/float64(len(took)), "processor-ms")
	})
	for name, ask := range asked {
		page("search/"+name, "/search?q="+url.QueryEscape(ask.q), ask.text)
	}
	page("orders", "/orders", "S-101000")
	page("open orders", "/orders?state=open", "S-1")
	page("order", "/orders/600", "S-1600")
	page("editions", "/editions", "Heron at dusk")
	page("edition of 10 000", "/editions/31", "Heron at dusk")
	page("drawer and shelf", "/drawer", "Heron at dusk")
}

// BenchmarkSale takes a sale into the book of the large studio, and cancels it so that the bench stays as it is.
func BenchmarkSale(b *testing.B) {
	st := useCases(b, opened(b, large(b)))
	ctx := b.Context()
	outlets, err := house.Outlets(ctx, st)
	if err != nil {
		b.Fatal(err)
	}
	var took []time.Duration
	for b.Loop() {
		start := time.Now()
		v, err := book.TakeOrder(ctx, st, book.Sale{
			Outlet: outlets[0].ID, Buyer: order.Buyer{Name: "Ines Halloran"}, Lines: []book.SaleLine{{Edition: 1}},
			ShipTo: order.Address{Name: "Ines Halloran", Line1: "8 Quince Lane", City: "Pinfold", Region: "PA", Postcode: "19103", Country: "US"},
		})
		if err != nil {
			b.Fatal(err)
		}
		took = append(took, time.Since(start))
		b.StopTimer()
		if err := book.Cancel(ctx, st, book.CancelIn{Order: v.ID, Reason: "only measured"}); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
	}
	reportMedian(b, took)
}

// BenchmarkPlanOpenOrders plans a hundred open orders of invented studios, one after the other, with
// nothing remembered: all reading, planning and checking that a face waits for.
func BenchmarkPlanOpenOrders(b *testing.B) {
	const many = 100
	type ask struct {
		s  studio.Store
		id int64
	}
	var asks []ask
	for seed := uint64(1); len(asks) < many; seed++ {
		s := opened(b, invented(b, seed))
		st := useCases(b, s)
		page, err := book.Orders(b.Context(), st, studio.OrderQuery{State: order.Open, Limit: 200}, "")
		if err != nil {
			b.Fatal(err)
		}
		for _, o := range page.Rows {
			_, err := planning.Plan(b.Context(), st, o.ID, speedDay)
			switch {
			case fault.Is(err, fault.Refused): // all of it is packed
			case err != nil:
				b.Fatal(err)
			case len(asks) < many:
				asks = append(asks, ask{s, o.ID})
			}
		}
		if len(asks) == 0 {
			b.Fatal("no open order can be planned")
		}
	}
	median(b, func() {
		fresh := map[studio.Store]*studio.Studio{}
		for _, a := range asks {
			if fresh[a.s] == nil {
				fresh[a.s] = useCases(b, a.s)
			}
			if _, err := planning.Plan(b.Context(), fresh[a.s], a.id, speedDay); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkDemoReady starts the built program with a new invented studio, until its first page is there.
// It also reports how long a processor worked for it, which depends less on what else the machine does.
func BenchmarkDemoReady(b *testing.B) {
	var took []time.Duration
	var worked time.Duration
	for b.Loop() {
		start := time.Now()
		cmd, address := started(b, "demo", "--fresh", "--dir", filepath.Join(b.TempDir(), "demo"))
		if got := status(b, address); got != http.StatusOK {
			b.Fatalf("the bench answers %d", got)
		}
		took = append(took, time.Since(start))
		b.StopTimer()
		ends(b, cmd, syscall.SIGTERM)
		worked += cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
		b.StartTimer()
	}
	reportMedian(b, took)
	b.ReportMetric(float64(worked.Milliseconds())/float64(len(took)), "processor-ms")
}

// mostMemory is what a serving program may hold, in bytes.
const mostMemory = 150_000_000

// BenchmarkMemory asks the built program, serving the large studio, for every sort of page again and
// again, and reports how much memory it held at most: the peak of the resident set, as Linux tells it.
func BenchmarkMemory(b *testing.B) {
	if runtime.GOOS != "linux" {
		b.Skip("the resident set is read from /proc, which only Linux has")
	}
	place := large(b)
	for b.Loop() {
		cmd, address := started(b, "serve", "--store", place)
		for range 5 {
			for _, path := range []string{"", "orders", "orders?state=open", "orders/600", "editions", "editions/31", "drawer", "studio"} {
				if got := status(b, address+path); got != http.StatusOK {
					b.Fatalf("/%s answers %d", path, got)
				}
			}
			for _, ask := range asked {
				if got := status(b, address+"search?q="+url.QueryEscape(ask.q)); got != http.StatusOK {
					b.Fatalf("%q answers %d", ask.q, got)
				}
			}
		}
		peak, now := resident(b, cmd.Process.Pid)
		b.ReportMetric(peak/1e6, "peak-MB")
		b.ReportMetric(now/1e6, "resident-MB")
		if peak > mostMemory {
			b.Errorf("it held %.0f bytes, %d are allowed", peak, mostMemory)
		}
		ends(b, cmd, syscall.SIGTERM)
	}
}

var residentLine = regexp.MustCompile(`(?m)^(VmHWM|VmRSS):\s+(\d+) kB$`)

// resident reads the resident set of a process in bytes: its peak, and now.
func resident(b *testing.B, pid int) (peak, now float64) {
	b.Helper()
	text, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(pid), "status"))
	if err != nil {
		b.Fatal(err)
	}
	for _, m := range residentLine.FindAllStringSubmatch(string(bytes.TrimSpace(text)), -1) {
		n, err := strconv.ParseFloat(m[2], 64)
		if err != nil {
			b.Fatal(err)
		}
		if m[1] == "VmHWM" {
			peak = n * 1024
		} else {
			now = n * 1024
		}
	}
	if peak == 0 || now == 0 {
		b.Fatal("no resident set is told")
	}
	return peak, now
}
