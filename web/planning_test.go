package web

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"solander/dayplan"
	"solander/web/page"
)

// What plans for longer than a moment leads to a page that tells how far it is; stopping it shows what was found,
// and what the first page had to say is said there.
func TestLongPlanningLeadsToAPageThatStopsIt(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	f := newFace(s.studio, Options{Patience: page.Patience{Moment: 50 * time.Millisecond}})
	s.handler = f.handler()
	run := func(ctx context.Context) (string, error) {
		until, tell := dayplan.SearchOf(ctx)
		tell(3, 7)
		<-until.Done()
		return "the best so far", ctx.Err()
	}
	show := func(w http.ResponseWriter, _ *http.Request, found string) error {
		_, err := fmt.Fprint(w, found)
		return err
	}
	w := httptest.NewRecorder()
	s.must(page.Planned(f.Kit, w, httptest.NewRequest(http.MethodGet, "/orders/S-1001?said=saved", nil), "Order S-1001", "orders", run, show))
	to := w.Header().Get("Location")
	if w.Code != http.StatusSeeOther || !strings.HasPrefix(to, "/reckoning/") || !strings.HasSuffix(to, "?said=saved") {
		t.Fatalf("%d to %q", w.Code, to)
	}
	p := s.get(to).is(200)
	p.has("h1", "Order S-1001")
	p.has("[role=status]", "3 of 7")
	form := p.one("form[action='" + strings.TrimSuffix(to, "?said=saved") + "/stop']")
	a := s.post(attr(form, "action"), fieldsOf(form)...)
	if a = s.get(a.location); a.status != 200 || string(a.body) != "the best so far" {
		t.Errorf("after the stop: %d %q", a.status, a.body)
	}
}
