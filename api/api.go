// Package api is the studio for other programs: JSON over HTTP below /api/v1, described by OpenAPI 3.1, and
// web-hooks below /hooks that take signed messages. docs/formats/api.md and docs/formats/hook.md describe both.
//
// It holds no rules and no SQL: it tells who calls, reads the input strictly, calls one use case and answers.
// Faults become problem details (RFC 9457) by internal/status. Nothing here rests on what a browser sends by
// itself: every call carries a token or a signature, and no answer may be read by pages of other sites.
package api

import (
	"context"
	"log/slog"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"solander/api/problem"
	"solander/fault"
	"solander/internal/status"
	"solander/internal/turned"
	"solander/studio"
)

// Base is the path below which all calls are; the version is part of it.
const Base = "/api/v1"

// MaxBody bounds the body of a request in bytes; more is a fault.TooLarge.
const MaxBody = 256 << 10

// longest is how long one request may take inside the studio.
const longest = 30 * time.Second

// Options are what New needs beside the studio.
type Options struct {
	Log   *slog.Logger     // nil = slog.Default
	Clock func() time.Time // nil = time.Now; for the rate limit alone
}

type face struct {
	studio *studio.Studio
	log    *slog.Logger
	limits *limits
	away   *turned.Away
	mux    *http.ServeMux
}

// New returns the whole face as one handler, for Base and for /hooks/.
func New(st *studio.Studio, opt Options) http.Handler {
	if opt.Log == nil {
		opt.Log = slog.Default()
	}
	if opt.Clock == nil {
		opt.Clock = time.Now
	}
	f := &face{studio: st, log: opt.Log, limits: newLimits(opt.Clock), away: turned.New(opt.Log, opt.Clock), mux: http.NewServeMux()}
	f.mux.HandleFunc("GET "+Base+"/problems/{code}", problem.Explain)
	f.mux.HandleFunc(hookPattern, f.hook)
	describe(f, humago.NewWithPrefix(f.mux, Base, config()))
	return http.HandlerFunc(f.serve)
}

// serve is the one door: headers, time, who calls, body; then the route.
func (f *face) serve(w http.ResponseWriter, r *http.Request) {
	guard(w.Header())
	ctx, stop := context.WithTimeout(r.Context(), longest)
	defer stop()
	asked := r
	r = r.WithContext(ctx)
	defer f.caught(w, r)
	if !status.Plain(r.URL.Path) {
		f.fail(w, r, problem.Plain(http.StatusNotFound, "there is nothing at this address"))
		return
	}
	handler, pattern := f.mux.Handler(r)
	if pattern == "" {
		f.noRoute(w, r, handler)
		return
	}
	asked.Pattern = pattern // for whoever counts requests before this door
	call, err := f.admit(w, r, pattern)
	if err != nil {
		f.fail(w, r, err)
		return
	}
	f.mux.ServeHTTP(w, r.WithContext(context.WithValue(ctx, callKey{}, call)))
}

// guard says that nothing of an answer is to be kept, guessed at, framed or shown as a page.
func guard(h http.Header) {
	h.Set("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
}

// noRoute answers for what is no route: 404, or 405 with the methods that are.
func (f *face) noRoute(w http.ResponseWriter, r *http.Request, chosen http.Handler) {
	if allow := status.Allowed(chosen, r); allow != "" {
		w.Header().Set("Allow", allow)
		f.fail(w, r, problem.Plain(http.StatusMethodNotAllowed, "this address does not take "+fault.Clip(r.Method)))
		return
	}
	f.fail(w, r, problem.Plain(http.StatusNotFound, "there is nothing at this address"))
}

// fail logs a fault that is ours, and answers with its problem.
func (f *face) fail(w http.ResponseWriter, r *http.Request, err error) {
	p := f.told(r.Context(), err)
	if err := p.Write(w); err != nil {
		f.log.DebugContext(r.Context(), "a caller left early", "err", err)
	}
}

// told makes the problem of an error and logs what is ours.
func (f *face) told(ctx context.Context, err error) *problem.Problem {
	if status.Left(ctx, err) {
		f.log.DebugContext(ctx, "a caller left before the answer", "what", callOf(ctx).what)
		return problem.Plain(status.OfLeft, "the caller left before the answer")
	}
	p := problem.Of(err, Base+"/problems/")
	if p.Status >= http.StatusInternalServerError && p.Status != http.StatusServiceUnavailable {
		c := callOf(ctx)
		f.log.ErrorContext(ctx, "a call failed", "what", c.what, "feed", c.ID, "err", err)
	}
	return p
}

// caught answers for a handler that panicked.
func (f *face) caught(w http.ResponseWriter, r *http.Request) {
	if status.Broken(f.log, r, recover(), "a call broke") {
		f.fail(w, r, fault.New(fault.Internal, "this call broke"))
	}
}

var _ huma.StatusError = (*problem.Problem)(nil)
