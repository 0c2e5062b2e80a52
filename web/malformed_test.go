package web

import (
	"flag"
	"net"
	"testing"

	"solander/house"
	"solander/internal/malformed"
)

var (
	malformedRequests = flag.Int("malformed", 600, "how many malformed requests TestMalformed sends")
	malformedSeed     = flag.Uint64("malformed-seed", 1, "another number makes other ones")
)

// TestMalformed sends to every address of the pages what no browser sends, over the wire: none of it is a failure of the program (RFC 9110, 15.6), and
// what it keeps is sound afterwards.
func TestMalformed(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes some seconds")
	}
	s := busyModel.copy(t).served(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	server := Server("", s.handler)
	go func() { _ = server.Serve(l) }() // it ends by Close
	t.Cleanup(func() { _ = server.Close() })
	var routes []malformed.Route
	for _, rt := range s.face.routes() {
		routes = append(routes, malformed.Route{Method: rt.method, Pattern: rt.path})
	}
	seen := malformed.Try(t, l.Addr().String(), routes, *malformedRequests, *malformedSeed)
	t.Logf("answers by status (0 = the connection was cut): %v", seen)
	for _, want := range []int{200, 400, 404, 422} {
		if seen[want] == 0 {
			t.Errorf("nothing was answered with %d: too little was tried", want)
		}
	}
	findings, err := house.Check(s.ctx(), s.studio)
	s.must(err)
	for _, f := range findings {
		t.Errorf("%s: %s", f.Where, f.What)
	}
}
