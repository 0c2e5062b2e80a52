// Package status is the one table from fault codes to HTTP statuses, for every face that speaks HTTP.
package status

import (
	"net/http"

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
