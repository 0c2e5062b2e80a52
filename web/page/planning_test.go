package page

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
)

// What is quick needs no page of its own, and keeps no place among the computations.
func TestQuickPlanningAnswersAtOnce(t *testing.T) {
	f := &Kit{Patience: Patience{}.usual()}
	w := httptest.NewRecorder()
	run := func(context.Context) (int, error) { return 42, nil }
	show := func(w http.ResponseWriter, _ *http.Request, n int) error { _, err := fmt.Fprint(w, n); return err }
	err := Planned(f, w, httptest.NewRequest(http.MethodGet, "/", nil), "Bench", "bench", run, show)
	if err != nil || w.Code != 200 || w.Body.String() != "42" || len(f.reckonings.list) != 0 {
		t.Errorf("%v, %d %q, %d kept", err, w.Code, w.Body, len(f.reckonings.list))
	}
}
