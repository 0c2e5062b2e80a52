package malformed

import (
	"bufio"
	"net"
	"net/http"
	"sync"
	"testing"
	"time"
)

// Cut stands for a connection that ended without an answer, as may happen to what is no request.
const Cut = 0

// waits is how long an answer may take.
const waits = 2 * time.Minute

// Send sends a request as it is, and returns the status of the first answer; Cut when there was none.
func Send(addr string, r Request) (int, error) {
	conn, err := net.DialTimeout("tcp", addr, waits)
	if err != nil {
		return Cut, err
	}
	defer conn.Close()
	if err := conn.SetDeadline(time.Now().Add(waits)); err != nil {
		return Cut, err
	}
	_, _ = conn.Write(r.Bytes) // the server may refuse it before it is all there
	if tcp, ok := conn.(*net.TCPConn); ok && r.Half {
		_ = tcp.CloseWrite() // nothing follows
	}
	in := bufio.NewReader(conn)
	for {
		answer, err := http.ReadResponse(in, nil)
		if err != nil {
			if slow, ok := err.(net.Error); ok && slow.Timeout() {
				return Cut, err
			}
			return Cut, nil
		}
		if answer.StatusCode >= 200 {
			return answer.StatusCode, nil
		}
	}
}

// Try sends n requests for routes to a server, some side by side, and fails for each answer that is the server's own failure. It returns how
// often each status was answered.
func Try(t testing.TB, addr string, routes []Route, n int, seed uint64) map[int]int {
	t.Helper()
	maker, seen := New(seed, addr, routes), map[int]int{}
	var mu sync.Mutex
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for {
				mu.Lock()
				if n == 0 {
					mu.Unlock()
					return
				}
				n--
				r := maker.Next()
				mu.Unlock()
				status, err := Send(addr, r)
				mu.Lock()
				seen[status]++
				mu.Unlock()
				foreign := r.Foreign && (status == http.StatusNotImplemented || status == http.StatusHTTPVersionNotSupported)
				switch {
				case err != nil:
					t.Errorf("%s %s (%s): %v", r.Route.Method, r.Route.Pattern, r.What, err)
				case status >= 500 && !foreign:
					t.Errorf("%s %s (%s): %d to %.600q", r.Route.Method, r.Route.Pattern, r.What, status, r.Bytes)
				case status == Cut && !r.Half && !r.Foreign:
					t.Errorf("%s %s (%s): no answer to %.600q", r.Route.Method, r.Route.Pattern, r.What, r.Bytes)
				}
			}
		})
	}
	all.Wait()
	return seen
}
