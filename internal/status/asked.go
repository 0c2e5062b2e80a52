package status

import (
	"context"
	"errors"
	"net/http"
	"unicode"
	"unicode/utf8"
)

// OfLeft is the status of a request whose client left before the answer; nobody reads it.
const OfLeft = http.StatusRequestTimeout

// Left reports whether a request failed only because its client left; ctx is the request's own. A request that took
// too long, which ends its context by a deadline, did not leave.
func Left(ctx context.Context, err error) bool {
	return errors.Is(err, context.Canceled) && errors.Is(ctx.Err(), context.Canceled)
}

// Plain reports whether a path can be the address of anything: text in UTF-8 without control characters. What a route
// takes from its path it need not look at for that again.
func Plain(path string) bool {
	if !utf8.ValidString(path) {
		return false
	}
	for _, r := range path {
		if unicode.IsControl(r) {
			return false
		}
	}
	return true
}
