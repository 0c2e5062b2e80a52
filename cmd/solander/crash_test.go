package main

import (
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// sendOrder sends a new order under a key of its own; code is 0 when no answer came.
func sendOrder(client *http.Client, address, token string, edition int64, i int) (code int, answer string) {
	body := fmt.Sprintf(`{"ref": "A-%d", "buyer": {"name": "Ada Quill"}, "lines": [{"edition": %d}],
		"ship_to": {"line1": "12 Oak Street", "city": "Denver", "region": "CO", "postcode": "80202", "country": "US"}}`, i, edition)
	r, err := http.NewRequest(http.MethodPost, address+"api/v1/orders", strings.NewReader(body))
	if err != nil {
		return 0, ""
	}
	r.Header = http.Header{"Authorization": {"Bearer " + token}, "Idempotency-Key": {fmt.Sprint("order ", i)}, "Content-Type": {"application/json"}}
	res, err := client.Do(r)
	if err != nil {
		return 0, ""
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		return 0, ""
	}
	return res.StatusCode, string(b)
}

var numberOf = regexp.MustCompile(`"number":"(\d+/250)"`)

// TestCallsWhileTheProgramIsKilled kills the serving program in the midst of orders, starts it again, and sends
// all of them again under their keys: each stands in the book once, none has another's number, and what was
// answered before is answered the same.
func TestCallsWhileTheProgramIsKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	store := filepath.Join(t.TempDir(), "studio.db")
	setUp, err := os.ReadFile("../../cli/testdata/studio.json")
	if err != nil {
		t.Fatal(err)
	}
	command(t, store, string(setUp), nil, "set-up", "--file", "-")
	var feed struct{ Token string }
	command(t, store, "", &feed, "feed", "add", "Web", "--outlet", "fair", "--scope", "orders:write")
	client := &http.Client{Timeout: 30 * time.Second}
	defer client.CloseIdleConnections()

	const orders, callers, first = 50, 5, 20
	first20 := make(chan struct{})
	var answered atomic.Int64
	told := make([]string, orders)
	serving, address := started(t, "serve", "--store", store)
	var all sync.WaitGroup
	for c := range callers {
		all.Go(func() {
			for i := c; i < orders; i += callers {
				if code, text := sendOrder(client, address, feed.Token, 1, i); code == http.StatusCreated {
					told[i] = text
					if answered.Add(1) == first {
						close(first20)
					}
				}
			}
		})
	}
	select {
	case <-first20:
	case <-time.After(time.Minute):
		t.Fatalf("only %d orders were answered in a minute", answered.Load())
	}
	if err := serving.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = serving.Wait() // it was killed: how it ended is no news
	all.Wait()

	serving, address = started(t, "serve", "--store", store)
	numbers := map[string]bool{}
	for i := range orders {
		code, text := sendOrder(client, address, feed.Token, 1, i)
		if code != http.StatusCreated || told[i] != "" && text != told[i] {
			t.Errorf("order %d is answered %d %s, was %q", i, code, text, told[i])
		}
		m := numberOf.FindStringSubmatch(text)
		if m == nil || numbers[m[1]] {
			t.Fatalf("order %d has no number, or another's: %s", i, text)
		}
		numbers[m[1]] = true
	}
	ends(t, serving, syscall.SIGTERM)
	t.Logf("%d of %d orders were answered before the end", answered.Load(), orders)
	var book struct{ Rows []struct{ Ref string } }
	command(t, store, "", &book, "orders", "--limit", "100")
	if len(book.Rows) != orders {
		t.Errorf("%d orders stand in the book, want %d", len(book.Rows), orders)
	}
	command(t, store, "", nil, "check")
}
