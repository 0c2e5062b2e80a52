package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"solander/edition"
	"solander/feed"
	"solander/feeds"
	"solander/internal/pgtest"
	"solander/measure"
	"solander/money"
	"solander/register"
	"solander/store"
	"solander/studio"
)

var (
	takes     = flag.Int("takes", briefly, "how many numbers TestTakes takes")
	together  = flag.Int("takes-together", 4, "how many of them an order takes, all in one transaction")
	takesTime = flag.Duration("takes-time", 25*time.Minute, "after how long no further order is sent")
)

const (
	takers  = 64
	briefly = 1200 // takes, among the other tests
)

// taken is what became of the takes of one run.
type taken struct {
	t      *testing.T
	client *http.Client
	token  string

	mu    sync.Mutex
	given map[int64][]bool // by edition, at its number
	took  []time.Duration  // each order, from its sending to its answer; of one that was sent again from the first sending
	busy  int
}

// TestTakes lets sixty-four clients take numbers at two servers, which are programs of their own on one database: one take is one number
// given to one line of an order, and so many lines are ordered together by one call (POST /orders), which is one transaction. No number is given
// twice, none is left out, and each answer stands.
func TestTakes(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Run("straight", func(t *testing.T) {
		place := pgtest.New(t)
		takeAll(t, place, place)
	})
	if *takes > briefly {
		return // the long run is of one kind
	}
	t.Run("one behind a pooler", func(t *testing.T) {
		place := pgtest.New(t)
		takeAll(t, place, pgtest.Pooled(t, place))
	})
}

func takeAll(t *testing.T, first, second string) {
	setUp, err := os.ReadFile("../../cli/testdata/studio.json")
	if err != nil {
		t.Fatal(err)
	}
	command(t, first, string(setUp), nil, "set-up", "--file", "-")
	k := &taken{t: t, client: &http.Client{Timeout: 2 * time.Minute, Transport: &http.Transport{MaxIdleConnsPerHost: takers}}, given: map[int64][]bool{}}
	defer k.client.CloseIdleConnections()
	eds := k.furnish(first)
	one, at := started(t, "serve", "--store", first)
	two, beside := started(t, "serve", "--store", second)
	begun := time.Now()
	var next atomic.Int64
	var all sync.WaitGroup
	for taker := range takers {
		all.Go(func() {
			for !t.Failed() && time.Since(begun) < *takesTime {
				i := int(next.Add(1)) - 1
				if (i+1)**together > *takes {
					return
				}
				k.order([]string{at, beside}[taker%2], eds[i**together/edition.MaxLimit], i)
			}
		})
	}
	all.Wait()
	lasted := time.Since(begun)
	ends(t, one, syscall.SIGTERM)
	ends(t, two, syscall.SIGTERM)
	k.stands(first)
	slices.Sort(k.took)
	if n := len(k.took); n > 0 {
		t.Logf("%d takes in %d orders of %d by %d clients at two servers in %v (%.0f a second); an order took p50 %v, p99 %v, at most %v; %d were sent again because the store was busy",
			n**together, n, *together, takers, lasted.Round(time.Millisecond), float64(n**together)/lasted.Seconds(), k.took[n/2], k.took[n*99/100], k.took[n-1], k.busy)
	}
}

// furnish declares editions enough, lets one feed make all calls, and returns the editions' ids.
func (k *taken) furnish(place string) (eds []int64) {
	st, err := store.Open(k.t.Context(), place, store.Options{})
	if err != nil {
		k.t.Fatal(err)
	}
	defer st.Close()
	s := studio.New(st, studio.Options{})
	ctx := studio.WithWho(k.t.Context(), "Wren Aldermoor")
	if err := st.Write(ctx, func(tx studio.Tx) error {
		set, err := tx.Settings()
		if err != nil {
			return err
		}
		set.FeedsAMinute = studio.MostFeedsAMinute
		return tx.SaveSettings(set)
	}); err != nil {
		k.t.Fatal(err)
	}
	for left := *takes; left > 0; left -= edition.MaxLimit {
		e, err := register.Declare(ctx, s, edition.Edition{
			Work: 1, Width: 8 * measure.Inch, Height: measure.Length(10+len(eds)) * measure.Inch, Paper: "matt paper", Grammage: 230 * measure.GSM,
			Caliper: measure.Millimetre / 4, Grade: "standard", Limit: min(left, edition.MaxLimit), TightestRoll: 2 * measure.Inch, Price: money.Of(9000, "USD"), PrintCost: money.Of(900, "USD"),
		})
		if err != nil {
			k.t.Fatal(err)
		}
		eds = append(eds, e.ID)
		k.given[e.ID] = make([]bool, e.Limit+1)
	}
	f, err := feeds.AddFeed(ctx, s, feed.Feed{Name: "takes", Outlet: 1, Scopes: []feed.Scope{"orders:write"}})
	if err != nil {
		k.t.Fatal(err)
	}
	k.token = f.Token
	return eds
}

// order sends an order, again under the same key while the store is busy, and notes the numbers it was given.
func (k *taken) order(at string, ed int64, i int) {
	lines := strings.Repeat(fmt.Sprintf(`, {"edition": %d}`, ed), *together)[2:]
	body := fmt.Sprintf(`{"ref": "T-%d", "buyer": {"name": "Ada Quill %d"}, "lines": [%s],
		"ship_to": {"line1": "%d Oak Street", "city": "Denver", "region": "CO", "postcode": "80202", "country": "US"}}`, i, i, lines, i)
	sent := time.Now()
	for {
		code, answer, err := k.send(at, fmt.Sprint("order ", i), body)
		switch {
		case err != nil:
			k.t.Errorf("order %d: %v", i, err)
			return
		case code == http.StatusServiceUnavailable && time.Since(sent) < 5*time.Minute:
			k.mu.Lock()
			k.busy++
			k.mu.Unlock()
			time.Sleep(50 * time.Millisecond)
			continue
		case code != http.StatusCreated:
			k.t.Errorf("order %d is answered %d %.500s", i, code, answer)
			return
		}
		k.note(ed, answer, time.Since(sent))
		return
	}
}

func (k *taken) send(at, key, body string) (code int, answer []byte, err error) {
	r, err := http.NewRequest(http.MethodPost, at+"api/v1/orders", strings.NewReader(body))
	if err != nil {
		return 0, nil, err
	}
	r.Header = http.Header{"Authorization": {"Bearer " + k.token}, "Idempotency-Key": {key}, "Content-Type": {"application/json"}}
	res, err := k.client.Do(r)
	if err != nil {
		return 0, nil, err
	}
	defer res.Body.Close()
	answer, err = io.ReadAll(res.Body)
	return res.StatusCode, answer, err
}

func (k *taken) note(ed int64, answer []byte, took time.Duration) {
	var o struct{ Lines []struct{ Number string } }
	err := json.NewDecoder(bytes.NewReader(answer)).Decode(&o)
	k.mu.Lock()
	defer k.mu.Unlock()
	if err != nil || len(o.Lines) != *together {
		k.t.Errorf("an order of %d is answered with %d lines: %v", *together, len(o.Lines), err)
		return
	}
	k.took = append(k.took, took)
	for _, l := range o.Lines {
		var n, limit int
		if _, err := fmt.Sscanf(l.Number, "%d/%d", &n, &limit); err != nil || n < 1 || n >= len(k.given[ed]) {
			k.t.Errorf("a line has the number %q", l.Number)
			return
		}
		if k.given[ed][n] {
			k.t.Errorf("%s of edition %d was given twice", l.Number, ed)
		}
		k.given[ed][n] = true
	}
}

// stands asks the database itself: what was answered stands, the numbers that were given are the lowest ones without a gap, none is at two lines, and
// of each there is one entry in the register.
func (k *taken) stands(place string) {
	db, err := pgx.Connect(k.t.Context(), place)
	if err != nil {
		k.t.Fatal(err)
	}
	defer db.Close(k.t.Context())
	for ed, given := range k.given {
		want := 0
		for _, is := range given {
			if is {
				want++
			}
		}
		var promised, highest, lines, entries, numbers int
		err := db.QueryRow(k.t.Context(), `SELECT count(*), coalesce(max(number), 0), count(DISTINCT line),
			(SELECT count(*) FROM register WHERE edition = $1), (SELECT count(DISTINCT number) FROM register WHERE edition = $1)
			FROM impressions WHERE edition = $1 AND state = 'promised'`, ed).Scan(&promised, &highest, &lines, &entries, &numbers)
		if err != nil {
			k.t.Fatal(err)
		}
		if promised != want || highest != want || lines != want || entries != want || numbers != want {
			k.t.Errorf("edition %d: %d numbers were answered; %d are promised, up to %d, to %d lines, by %d entries of %d numbers", ed, want, promised, highest, lines, entries, numbers)
		}
	}
}
