//go:build unix

package main

import (
	"fmt"
	"net/http"
	"runtime"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"solander/feed"
	"solander/feeds"
	"solander/register"
)

// How long the program is under load, and by how much what it holds may grow once it is warm.
const (
	steadyWarm  = time.Minute
	steadyTime  = 10 * time.Minute
	steadyGrows = 20e6 // bytes, resident
)

// BenchmarkSteadyMemory asks the program for all sorts of pages while orders come in by calls, for ten minutes, and compares
// what it holds then with what it held after the first.
func BenchmarkSteadyMemory(b *testing.B) {
	if runtime.GOOS != "linux" {
		b.Skip("the resident set is read from /proc, which only Linux has")
	}
	for b.Loop() {
		place := invented(b, 3)
		st := opened(b, place)
		s := useCases(b, st)
		f, err := feeds.AddFeed(b.Context(), s, feed.Feed{Name: "steady", Outlet: 1, Scopes: feed.Scopes()})
		if err != nil {
			b.Fatal(err)
		}
		works, err := register.Works(b.Context(), s)
		if err != nil {
			b.Fatal(err)
		}
		open := int64(0) // an edition that does not sell out
		for _, w := range works {
			for _, e := range w.Editions {
				if e.Limit == 0 {
					open = e.ID
				}
			}
		}
		if err := st.Close(); err != nil {
			b.Fatal(err)
		}
		cmd, address := started(b, "serve", "--store", place)
		stop := make(chan struct{})
		var work sync.WaitGroup
		var pages, orders atomic.Int64
		for reader := range 2 {
			work.Go(func() {
				for i := reader; ; i++ {
					select {
					case <-stop:
						return
					default:
					}
					path := []string{"", "orders", fmt.Sprintf("orders/%d", 1+i%600), "editions", fmt.Sprintf("editions/%d", 1+i%30), "drawer", "search?q=heron", "buyers", "studio"}[i%9]
					if got := status(b, address+path); got != http.StatusOK && got != http.StatusSeeOther { // the bench reckons longer than a page should
						b.Errorf("/%s answers %d", path, got)
						return
					}
					pages.Add(1)
				}
			})
		}
		work.Go(func() {
			client := &http.Client{Timeout: time.Minute}
			for i := 0; ; i++ {
				select {
				case <-stop:
					return
				case <-time.After(2 * time.Second):
				}
				if code, answer := sendOrder(client, address, f.Token, open, i); code != http.StatusCreated {
					b.Errorf("order %d: %d %.200s", i, code, answer)
					return
				}
				orders.Add(1)
			}
		})
		time.Sleep(steadyWarm)
		_, warm := resident(b, cmd.Process.Pid)
		time.Sleep(steadyTime - steadyWarm)
		peak, now := resident(b, cmd.Process.Pid)
		close(stop)
		work.Wait()
		b.ReportMetric(warm/1e6, "warm-MB")
		b.ReportMetric(now/1e6, "end-MB")
		b.ReportMetric(peak/1e6, "peak-MB")
		b.ReportMetric(float64(pages.Load()), "pages")
		b.ReportMetric(float64(orders.Load()), "orders")
		if now-warm > steadyGrows {
			b.Errorf("it grew from %.0f to %.0f bytes, %.0f are allowed", warm, now, steadyGrows)
		}
		ends(b, cmd, syscall.SIGTERM)
	}
}
