package watch

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"syscall"
	"testing"

	"github.com/jackc/pgx/v5/pgconn"

	"solander/fault"
)

// secret is what no log may hold.
const secret = "Quillonia"

// TestTold tells errors by their codes and the words of the program: what was put into them while it ran is left out.
func TestTold(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{nil, ""},
		{fault.New(fault.Taken, "the number of %s is promised", secret).At(secret).ToMend(secret).In(secret), "taken (the number of %s is promised)"},
		{fault.New(fault.Internal, "it broke").Because(fmt.Errorf("reading %s: %w", secret, fs.ErrNotExist)), "internal (it broke): file does not exist"},
		{&fault.Error{Code: fault.Invalid, What: secret}, "invalid"},
		{errors.Join(fault.Invalidf(secret, "%q is no day", secret), context.DeadlineExceeded), "invalid (%q is no day): context deadline exceeded"},
		{&os.PathError{Op: "open", Path: "/home/" + secret, Err: syscall.ENOSPC}, "open: no space left on device"},
		{&net.OpError{Op: "dial", Net: "tcp", Addr: &net.UnixAddr{Name: secret}, Err: syscall.ECONNREFUSED}, "dial tcp: connection refused"},
		{&pgconn.PgError{Code: "23505", Message: secret, Detail: secret}, "SQLSTATE 23505"},
		{fmt.Errorf("the buyer %s", secret), "*errors.errorString"},
	} {
		got := Told(c.err)
		if strings.Contains(got, secret) {
			t.Errorf("%v is told as %q", c.err, got)
		}
		if c.want != "" && got != c.want {
			t.Errorf("%v is told as %q, want %q", c.err, got, c.want)
		}
	}
}

// TestLog writes an error as it may be told, and the id of its request.
func TestLog(t *testing.T) {
	for _, form := range []string{"text", "json"} {
		var out bytes.Buffer
		log, err := Log(&out, form, "info")
		if err != nil {
			t.Fatal(err)
		}
		handler := Requests(nil, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			log.With("room", "bench").ErrorContext(r.Context(), "it failed", "err", fmt.Errorf("of %s: %w", secret, fault.New(fault.Busy, "%s waits", secret)))
			log.DebugContext(r.Context(), "too little to be written")
		}))
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
		id := w.Header().Get("X-Request-Id")
		text := out.String()
		if len(id) < 20 || !strings.Contains(text, id) || !strings.Contains(text, "busy (%s waits)") || strings.Contains(text, secret) || strings.Count(text, "\n") != 1 {
			t.Errorf("the id is %q, the log %q", id, text)
		}
	}
	for _, bad := range [][2]string{{"xml", "info"}, {"json", "loud"}} {
		if _, err := Log(&bytes.Buffer{}, bad[0], bad[1]); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q: got %v", bad, err)
		}
	}
}

// TestReady is ready while the store is, until the program ends; it tells the watcher nothing of what is wrong.
func TestReady(t *testing.T) {
	m := New("test", 0)
	var wrong error
	pages := m.Pages(func(context.Context) error { return wrong }, "")
	ask := func() (int, string) {
		w := httptest.NewRecorder()
		pages.ServeHTTP(w, httptest.NewRequest("GET", "/ready", nil))
		return w.Code, w.Body.String()
	}
	if code, _ := ask(); code != http.StatusOK {
		t.Errorf("it is ready with %d", code)
	}
	wrong = fault.New(fault.Refused, "the tables of %s", secret)
	if code, text := ask(); code != http.StatusServiceUnavailable || strings.Contains(text, secret) {
		t.Errorf("with a store that does not answer: %d, %q", code, text)
	}
	wrong = nil
	m.Stopping()
	if code, _ := ask(); code != http.StatusServiceUnavailable {
		t.Errorf("while it ends: %d", code)
	}
}
