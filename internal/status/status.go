// Package status is the one table from fault codes to HTTP statuses, for every face that speaks HTTP.
package status

import (
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"

	"solander/fault"
)

// of holds one row for every code; a test ranges over fault.Codes.
var of = map[fault.Code]int{
	fault.Invalid:  http.StatusUnprocessableEntity,
	fault.Missing:  http.StatusNotFound,
	fault.Taken:    http.StatusConflict,
	fault.Refused:  http.StatusConflict,
	fault.TooLarge: http.StatusRequestEntityTooLarge,
	fault.Unknown:  http.StatusUnauthorized,
	fault.Denied:   http.StatusForbidden,
	fault.Changed:  http.StatusPreconditionFailed,
	fault.TooMany:  http.StatusTooManyRequests,
	fault.Busy:     http.StatusServiceUnavailable,
	fault.Unsure:   http.StatusGatewayTimeout, // the same class as Busy, and another than our own failure
	fault.Internal: http.StatusInternalServerError,
}

// RetryAfter is what a 503 says in its header of that name, in seconds.
const RetryAfter = "1"

// Of returns the status of an error: 200 for nil, 500 for one that is no fault.
func Of(err error) int {
	if err == nil {
		return http.StatusOK
	}
	s, ok := of[fault.CodeOf(err)]
	if !ok {
		return http.StatusInternalServerError
	}
	return s
}

// Allowed returns the methods that a router's own answer allows; "" when it is not about the method.
func Allowed(router http.Handler, r *http.Request) string {
	head := headOnly{}
	router.ServeHTTP(head, r)
	return http.Header(head).Get("Allow")
}

// headOnly takes the header of an answer and drops the rest.
type headOnly http.Header

func (h headOnly) Header() http.Header         { return http.Header(h) }
func (h headOnly) Write(b []byte) (int, error) { return len(b), nil }
func (h headOnly) WriteHeader(int)             {}

// Broken logs that a handler panicked, in words that say what broke, and reports whether it did: to be given what recover
// returned. An answer that is cut off on purpose goes on up.
func Broken(log *slog.Logger, r *http.Request, panicked any, what string) bool {
	if panicked == nil {
		return false
	}
	if err, ok := panicked.(error); ok && errors.Is(err, http.ErrAbortHandler) {
		panic(panicked)
	}
	why := slog.String("panic", fmt.Sprintf("%T", panicked)) // what a room put into words may hold what was typed
	if err, ok := panicked.(error); ok {
		why = slog.Any("panic", err)
	}
	log.ErrorContext(r.Context(), what, "method", r.Method, "route", r.Pattern, why, "stack", string(debug.Stack()))
	return true
}
