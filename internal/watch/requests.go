package watch

import (
	"context"
	"crypto/rand"
	"log/slog"
	"net/http"
	"strconv"
	"time"
)

// header names the id of a request in its answer, by which it is found in the log.
const header = "X-Request-Id"

type idKey struct{}

// IDOf returns the id of the request that a context belongs to; "" = none.
func IDOf(ctx context.Context) string {
	id, _ := ctx.Value(idKey{}).(string)
	return id
}

// noRoute stands for every address that no route has.
const noRoute = "none"

// methods are those that are told apart; a client may send any word as one.
var methods = map[string]bool{"GET": true, "HEAD": true, "POST": true, "PUT": true, "PATCH": true, "DELETE": true, "OPTIONS": true}

// Requests gives each request an id, and counts, times and logs it once it is answered. The handlers behind it leave in Pattern of the request
// that they are given which route it took. m may be nil: then nothing is counted.
func Requests(m *Meter, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began, id := time.Now(), rand.Text()
		w.Header().Set(header, id)
		r = r.WithContext(context.WithValue(r.Context(), idKey{}, id))
		seen := &answered{ResponseWriter: w}
		if m != nil {
			m.running.Inc()
		}
		defer func() { // also when the answer is cut off
			route, method := r.Pattern, r.Method
			if route == "" {
				route = noRoute
			}
			if !methods[method] {
				method = "other"
			}
			took := time.Since(began)
			if m != nil {
				m.running.Dec()
				m.requests.WithLabelValues(route, method, strconv.Itoa(seen.code())).Inc()
				m.seconds.WithLabelValues(route).Observe(took.Seconds())
			}
			slog.DebugContext(r.Context(), "answered", "route", route, "method", method, "status", seen.code(), "seconds", took.Seconds(), "bytes", seen.bytes)
		}()
		next.ServeHTTP(seen, r)
	})
}

// answered tells with which status and how many bytes a request was answered.
type answered struct {
	http.ResponseWriter
	status int
	bytes  int64
}

func (a *answered) WriteHeader(status int) {
	if a.status == 0 && status >= 200 { // others come before the answer
		a.status = status
	}
	a.ResponseWriter.WriteHeader(status)
}

func (a *answered) Write(b []byte) (int, error) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	n, err := a.ResponseWriter.Write(b)
	a.bytes += int64(n)
	return n, err
}

// code is the status of the answer; 200 of one that says none.
func (a *answered) code() int {
	if a.status == 0 {
		return http.StatusOK
	}
	return a.status
}

// Unwrap lets http.ResponseController see through.
func (a *answered) Unwrap() http.ResponseWriter { return a.ResponseWriter }
