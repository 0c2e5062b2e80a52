package wiring

import (
	"context"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/copies"
	"solander/internal/watch"
	"solander/rota"
	"solander/store"
	"solander/studio"
)

// TestJobsAreCounted does every scheduled job of a studio that is not set up, once to its end and once broken off, and one that breaks down, and reads what is counted.
func TestJobsAreCounted(t *testing.T) {
	s, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "studio.db"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	at := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	st := studio.New(s, studio.Options{Clock: func() time.Time { return at }})
	p := &parts{meter: watch.New("test", 0)}
	broken, stop := context.WithCancel(t.Context())
	stop()
	want := map[string]bool{}
	for _, j := range p.scheduled(st, &copies.Keeper{Keys: copies.Keys{File: filepath.Join(t.TempDir(), "keys"), Get: func(string) string { return "" }}}) {
		if _, err := j.Do(t.Context(), st); err == nil {
			want[`solander_jobs_total{end="done",job="`+j.Name+`"} 1`] = true
			want[`solander_job_last_done_timestamp_seconds{job="`+j.Name+`"} 1.7724`] = true
		} else {
			want[`solander_jobs_total{end="failed",job="`+j.Name+`"} 1`] = true
		}
		if _, err := j.Do(broken, st); err == nil {
			t.Errorf("%s went on in a program that ends", j.Name)
		}
		want[`solander_jobs_total{end="broken off",job="`+j.Name+`"} 1`] = true
		want[`solander_job_seconds_count{job="`+j.Name+`"} 2`] = true
	}
	// One that breaks down, under the rota, which catches it.
	slip := p.counted(rota.Job{
		Name: "slip", Due: func(context.Context, *studio.Studio) (rota.Rule, error) { return nil, nil },
		Do: func(context.Context, *studio.Studio) (string, error) { panic("a slip") },
	})
	never := make(chan time.Time)
	stood, err := (&rota.Runner{Studio: st, Jobs: []rota.Job{slip}, Holder: "test"}).Now(t.Context(), "slip", never)
	if err != nil || stood.Failures != 1 || !stood.Good.IsZero() {
		t.Errorf("a job that broke down stands as %+v, %v", stood, err)
	}
	want[`solander_jobs_total{end="failed",job="slip"} 1`] = true
	want[`solander_job_seconds_count{job="slip"} 1`] = true
	if len(want) < 9 {
		t.Fatalf("only %d figures are looked for", len(want))
	}
	w := httptest.NewRecorder()
	p.meter.Pages(func(context.Context) error { return nil }, "").ServeHTTP(w, httptest.NewRequest("GET", "/metrics", nil))
	for line := range want {
		if !strings.Contains(w.Body.String(), line) {
			t.Errorf("the metrics lack %s", line)
		}
	}
}
