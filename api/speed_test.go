//go:build unix

package api

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"solander/edition"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/internal/speedtest"
	"solander/measure"
	"solander/money"
	"solander/register"
	"solander/store"
	"solander/studio"
)

// BenchmarkTakeOrders takes orders of one print each through the calls, over a loopback connection, each with a key
// of its own and in a durable transaction of its own, on SQLite: first one after the other, then from eight
// callers at once.
func BenchmarkTakeOrders(b *testing.B) {
	for _, callers := range []int{1, 8} {
		b.Run(fmt.Sprintf("callers=%d", callers), func(b *testing.B) { takeOrders(b, callers) })
	}
}

func takeOrders(b *testing.B, callers int) {
	s, err := store.Open(context.Background(), filepath.Join(b.TempDir(), "studio.db"), store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	st := studio.New(s, studio.Options{})
	token, large := speedStudio(b, st)
	server := httptest.NewServer(New(st, Options{}))
	defer server.Close()
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: callers}}
	defer client.CloseIdleConnections()

	var n atomic.Int64
	start, worked := time.Now(), speedtest.Processor(b)
	b.SetParallelism(callers)
	take := func() {
		ref := fmt.Sprint("A-", n.Add(1))
		r, err := http.NewRequest(http.MethodPost, server.URL+Base+"/orders", strings.NewReader(sale(ref, int(large))))
		if err != nil {
			b.Error(err)
			return
		}
		r.Header = http.Header{"Authorization": {"Bearer " + token}, "Idempotency-Key": {ref}, "Content-Type": {"application/json"}}
		res, err := client.Do(r)
		if err != nil {
			b.Error(err)
			return
		}
		defer res.Body.Close()
		if body, err := io.ReadAll(res.Body); err != nil || res.StatusCode != http.StatusCreated {
			b.Errorf("%d %s %v", res.StatusCode, body, err)
		}
	}
	if callers == 1 {
		for b.Loop() {
			take()
		}
	} else {
		b.RunParallel(func(p *testing.PB) {
			for p.Next() {
				take()
			}
		})
	}
	b.ReportMetric(float64(n.Load())/time.Since(start).Seconds(), "orders/s")
	b.ReportMetric(float64((speedtest.Processor(b)-worked).Microseconds())/1000/float64(n.Load()), "processor-ms")
}

// speedStudio is a studio with an edition that does not sell out, and a feed that is hardly held back.
func speedStudio(b *testing.B, st *studio.Studio) (token string, large int64) {
	b.Helper()
	if err := setUp(st); err != nil {
		b.Fatal(err)
	}
	ctx := context.Background()
	often := func(set *studio.Settings) error {
		set.FeedsAMinute = studio.MostFeedsAMinute
		return nil
	}
	if err := house.ChangeSettings(ctx, st, often); err != nil {
		b.Fatal(err)
	}
	e, err := register.Declare(ctx, st, edition.Edition{
		Work: 1, Width: 8 * measure.Inch, Height: 10 * measure.Inch, Paper: "matt paper", Grammage: 230 * measure.GSM, Caliper: measure.Millimetre * 3 / 10,
		Grade: "open", Limit: edition.MaxLimit, Price: money.Of(3500, "USD"),
	})
	if err != nil {
		b.Fatal(err)
	}
	outlets, err := house.Outlets(ctx, st)
	if err != nil {
		b.Fatal(err)
	}
	f, err := feeds.AddFeed(ctx, st, feed.Feed{Name: "speed", Outlet: outlets[0].ID, Scopes: feed.Scopes()})
	if err != nil {
		b.Fatal(err)
	}
	return f.Token, e.ID
}
