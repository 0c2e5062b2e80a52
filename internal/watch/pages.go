package watch

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// askTime is how long the store may take to answer before the program is not ready.
const askTime = 2 * time.Second

// Pages are what whoever watches the program asks: /alive answers as long as it answers at all, /ready while the store does, in the form
// that this program knows, and the program does not end; /metrics shows what was counted. With a key, /metrics is shown to who brings it
// as a bearer token alone (RFC 6750, 2.1). None of them says anything of the studio.
func (m *Meter) Pages(ready func(context.Context) error, key string) http.Handler {
	mux := http.NewServeMux()
	say := func(w http.ResponseWriter, status int, text string) {
		h := w.Header()
		h.Set("Content-Type", "text/plain; charset=utf-8")
		h.Set("Cache-Control", "no-store")
		h.Set("X-Content-Type-Options", "nosniff")
		w.WriteHeader(status)
		_, _ = w.Write([]byte(text + "\n")) // whoever asked may have left
	}
	mux.HandleFunc("GET /alive", func(w http.ResponseWriter, _ *http.Request) { say(w, http.StatusOK, "alive") })
	mux.HandleFunc("GET /ready", func(w http.ResponseWriter, r *http.Request) {
		if m.stopping.Load() {
			say(w, http.StatusServiceUnavailable, "the program ends")
			return
		}
		ctx, stop := context.WithTimeout(r.Context(), askTime)
		defer stop()
		if err := ready(ctx); err != nil {
			slog.WarnContext(ctx, "the program is not ready", "err", err)
			say(w, http.StatusServiceUnavailable, "the store does not answer as it should; the log says why")
			return
		}
		say(w, http.StatusOK, "ready")
	})
	shown := promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{MaxRequestsInFlight: 4})
	mux.HandleFunc("GET /metrics", func(w http.ResponseWriter, r *http.Request) {
		if key != "" && !same(r.Header.Get("Authorization"), key) {
			w.Header().Set("WWW-Authenticate", `Bearer realm="metrics"`)
			say(w, http.StatusUnauthorized, "bring the key that the program was started with, as a bearer token")
			return
		}
		shown.ServeHTTP(w, r)
	})
	return mux
}

// same compares what is brought with the key, in the same time whatever it is.
func same(brought, key string) bool {
	token, ok := strings.CutPrefix(brought, "Bearer ")
	a, b := sha256.Sum256([]byte(token)), sha256.Sum256([]byte(key))
	return subtle.ConstantTimeCompare(a[:], b[:]) == 1 && ok
}
