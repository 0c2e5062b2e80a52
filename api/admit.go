package api

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"mime"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"unicode/utf8"

	"solander/api/problem"
	"solander/fault"
	"solander/feeds"
)

// callKey is the key under which the context carries the call.
type callKey struct{}

// call is one call once it is admitted: who calls, and what was sent.
type call struct {
	feeds.Caller
	what string // method and path, with the query
	body []byte
	seen string // If-Match, as sent
}

func callOf(ctx context.Context) call {
	c, _ := ctx.Value(callKey{}).(call)
	return c
}

// print tells one request of a feed from every other one.
func (c call) print() string {
	sum := sha256.Sum256(append([]byte(c.what+"\n"), c.body...))
	return hex.EncodeToString(sum[:])
}

// hookPattern is the route of messages, which are read and verified by receive.
const hookPattern = "POST /hooks/{feed}"

// free are the routes that anyone may read: they hold nothing of the studio. A hook asks for a signature itself.
var free = map[string]bool{
	"GET " + Base + "/openapi.json":    true,
	"GET " + Base + "/problems/{code}": true,
	hookPattern:                        true,
}

// asks are the routes that take parameters behind a question mark, and which.
var asks = map[string][]string{
	"GET " + Base + "/ahead":         {"days"},
	"GET " + Base + "/buyers":        {"q", "after"},
	"GET " + Base + "/claims":        {"all"},
	"GET " + Base + "/fairs":         {"day"},
	"GET " + Base + "/quote":         {"size", "edition", "prints", "country", "postcode", "worth"},
	"GET " + Base + "/leaving":       {"day"},
	"GET " + Base + "/papers/{kind}": {"day", "size", "first", "paper", "columns", "rows", "width", "height", "left", "top", "across", "down"},
}

// asked refuses parameters that the route does not know.
func asked(r *http.Request, pattern string) error {
	if r.URL.RawQuery != "" && asks[pattern] == nil {
		return problem.Plain(http.StatusBadRequest, "this call has no parameters behind a question mark")
	}
	given, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.Plain(http.StatusBadRequest, "what stands behind the question mark cannot be read")
	}
	for name, values := range given {
		if !slices.Contains(asks[pattern], name) || len(values) != 1 || !utf8.ValidString(values[0]) {
			return problem.Plain(http.StatusBadRequest, "this call takes once each behind the question mark: "+strings.Join(asks[pattern], ", "))
		}
	}
	return nil
}

// admit tells who calls, holds the feed to its rate, and reads the body. Faults: Unknown, TooMany, TooLarge, Busy;
// a Problem for a body of another kind.
func (f *face) admit(w http.ResponseWriter, r *http.Request, pattern string) (call, error) {
	c := call{what: r.Method + " " + r.URL.RequestURI(), seen: strings.Join(r.Header.Values("If-Match"), ", ")}
	if err := asked(r, pattern); err != nil {
		return c, err
	}
	if !free[pattern] {
		token, err := bearer(r.Header)
		if err != nil {
			return c, err
		}
		if c.Caller, err = feeds.CallerOf(r.Context(), f.studio, token); err != nil {
			if fault.Is(err, fault.Unknown) {
				f.away.Note("a token is not known", pattern, r)
			}
			return c, err
		}
		if err := f.limits.take(callers{c.ID, byCall}, c.AMinute); err != nil {
			return c, err
		}
	}
	if r.Method == http.MethodGet || r.Method == http.MethodHead || pattern == hookPattern {
		return c, nil
	}
	var err error
	c.body, err = readBody(w, r)
	return c, err
}

// bearer returns the token of a request. Source: RFC 6750, 2.1. Faults: Unknown.
func bearer(h http.Header) (string, error) {
	scheme, token, ok := strings.Cut(h.Get("Authorization"), " ")
	if !ok || !strings.EqualFold(scheme, "Bearer") || len(h.Values("Authorization")) != 1 {
		return "", fault.New(fault.Unknown, "there is no token").ToMend("send it as Authorization: Bearer …")
	}
	return strings.TrimSpace(token), nil
}

// readBody reads JSON of bounded size. Faults: TooLarge; a Problem for another type, or a body that was cut off.
func readBody(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	kind, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if charset := params["charset"]; err != nil || kind != "application/json" || charset != "" && !strings.EqualFold(charset, "utf-8") {
		return nil, problem.Plain(http.StatusUnsupportedMediaType, "the body must be application/json in UTF-8")
	}
	if e := r.Header.Get("Content-Encoding"); e != "" && !strings.EqualFold(e, "identity") {
		return nil, problem.Plain(http.StatusUnsupportedMediaType, "a packed body is not read")
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, MaxBody))
	var big *http.MaxBytesError
	var slow net.Error
	switch {
	case err == nil:
		return body, nil
	case errors.As(err, &big):
		return nil, fault.New(fault.TooLarge, "more than %d KiB were sent", MaxBody>>10).ToMend("send less at once").Because(err)
	case errors.As(err, &slow) && slow.Timeout():
		return nil, problem.Plain(http.StatusRequestTimeout, "the body came too slowly")
	}
	return nil, problem.Plain(http.StatusBadRequest, "the body was cut off")
}
