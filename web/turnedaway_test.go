package web

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"solander/access"
)

// Who is turned away stands in the log with why and where to, and with nothing that was sent: a role that may not, a form of another site,
// a name that is not this machine's.
func TestTurnedAwayIsLogged(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	for _, a := range s.staffed() {
		if a.role == access.Reader && a.fresh && !a.first {
			w := httptest.NewRecorder()
			if s.handler.ServeHTTP(w, as(a, "POST", "/orders/1/cancel")); w.Code != http.StatusForbidden {
				t.Errorf("a reader cancels: %d", w.Code)
			}
		}
	}
	foreign := formRequest("/orders/1/pay", nil)
	foreign.Header.Set("Sec-Fetch-Site", "cross-site")
	foreign.Header.Set("Cookie", "solander-session=Verbena")
	named := httptest.NewRequest("GET", "http://rebound.example/orders?q=Verbena", nil)
	for r, code := range map[*http.Request]int{foreign: http.StatusForbidden, named: http.StatusMisdirectedRequest} {
		w := httptest.NewRecorder()
		if s.handler.ServeHTTP(w, r); w.Code != code {
			t.Errorf("%s: %d", r.URL, w.Code)
		}
	}
	log := s.log.String()
	for _, says := range []string{`"who is signed in may not do what was asked"`, `route="POST /orders/{order}/cancel"`, `"a form came from another site"`, `"the studio was asked for by another name"`} {
		if !strings.Contains(log, says) {
			t.Errorf("%s is not in the log: %s", says, log)
		}
	}
	if strings.Contains(log, "Verbena") || strings.Contains(log, "Reader-") {
		t.Errorf("what was sent is in the log: %s", log)
	}
}
