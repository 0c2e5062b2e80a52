package api

import (
	"cmp"
	"encoding/json"
	"flag"
	"net"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"solander/internal/malformed"
)

var (
	malformedCalls = flag.Int("malformed", 300, "how many malformed calls TestMalformed sends")
	malformedSeed  = flag.Uint64("malformed-seed", 1, "another number makes other ones")
)

// TestMalformed sends to every call what no program should, over the wire, half of it with a token that may do everything: none of it is a failure of
// ours (RFC 9110, 15.6).
func TestMalformed(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes some seconds")
	}
	d := newDesk(t)
	token := d.feed.Token
	handler := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.ContentLength%2 == 0 {
			r.Header.Set("Authorization", "Bearer "+token)
		}
		d.handler.ServeHTTP(w, r)
	})
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	server := &http.Server{Handler: handler, ReadHeaderTimeout: 10 * time.Second, MaxHeaderBytes: 64 << 10}
	go func() { _ = server.Serve(l) }() // it ends by Close
	t.Cleanup(func() { _ = server.Close() })
	var described struct {
		Paths map[string]map[string]any
	}
	text, err := os.ReadFile(openAPIFile)
	d.must(err)
	d.must(json.Unmarshal(text, &described))
	routes := []malformed.Route{{Method: http.MethodPost, Pattern: "/hooks/{mapping}"}, {Method: http.MethodGet, Pattern: Base + "/openapi.json"}}
	for path, methods := range described.Paths {
		for method := range methods {
			routes = append(routes, malformed.Route{Method: strings.ToUpper(method), Pattern: Base + path})
		}
	}
	if len(routes) < 10 {
		t.Fatalf("only %d calls are described: too little was tried", len(routes))
	}
	slices.SortFunc(routes, func(a, b malformed.Route) int {
		return cmp.Or(strings.Compare(a.Pattern, b.Pattern), strings.Compare(a.Method, b.Method))
	})
	seen := malformed.Try(t, l.Addr().String(), routes, *malformedCalls, *malformedSeed)
	t.Logf("answers by status (0 = the connection was cut): %v", seen)
	for _, want := range []int{400, 401, 404, 422} {
		if seen[want] == 0 {
			t.Errorf("nothing was answered with %d: too little was tried", want)
		}
	}
}
