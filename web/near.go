package web

import (
	"net/http"
	"strings"

	"solander/internal/status"
	"solander/phones"
	"solander/web/gate"
)

// gateOf says what stands before the pages: to phones nobody is answered without an account, and by TLS alone.
func gateOf(opt Options) gate.Options {
	if opt.Near {
		opt.Gate.Shut, opt.Gate.Secure, opt.Gate.Phones = true, true, true
	}
	return opt.Gate
}

// byPhone looks at the key of a phone before anything else: when it is time it turns, and the phone is given the next one.
func (f *face) byPhone(next http.Handler) http.Handler {
	if !f.near {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		key := f.gate.HeldKey(r)
		if key == "" || strings.HasPrefix(r.URL.Path, "/static/") {
			next.ServeHTTP(w, r)
			return
		}
		r, stop := f.inTime(r)
		defer stop()
		known, err := phones.Know(r.Context(), f.Studio, key)
		if err != nil {
			f.Fail(w, r, status.Of(err), err)
			return
		}
		if known.Next != "" {
			f.gate.GiveKey(w, known.Next)
		}
		next.ServeHTTP(w, r.WithContext(gate.WithPhone(r.Context(), known.Who, known.Why)))
	})
}
