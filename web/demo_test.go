package web

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"solander/calendar"
	"solander/demo"
	"solander/store"
	"solander/studio"
	"solander/tariff/cards"
)

// The invented studio of one seed on one day, within the bundled price cards: it is in the pictures of docs, too.
const pictureSeed = 1

var pictureDay = time.Date(2025, 11, 18, 16, 0, 0, 0, time.UTC)

// invented is the file of the invented studio, made once for all tests.
var invented = sync.OnceValues(func() (file []byte, err error) {
	all, err := cards.All()
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "invented")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	place := filepath.Join(dir, "demo.db")
	y, m, d := pictureDay.Date()
	err = demo.Build(context.Background(), func(clock func() time.Time) (studio.Store, error) {
		return store.Open(context.Background(), place, store.Options{Clock: clock, Hasty: true, Story: true})
	}, demo.Options{Day: calendar.Date(y, m, d), Seed: pictureSeed, Cards: all})
	if err != nil {
		return nil, err
	}
	return os.ReadFile(place) // it is whole in its one file when it is closed
})

// pictured is the invented studio, a copy for each test.
func pictured(t testing.TB) *studio.Studio {
	t.Helper()
	if testing.Short() {
		t.Skip("-short: make test invents the studio")
	}
	file, err := invented()
	if err != nil {
		t.Fatal(err)
	}
	place := filepath.Join(t.TempDir(), "demo.db")
	if err := os.WriteFile(place, file, 0o600); err != nil {
		t.Fatal(err)
	}
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	clock := func() time.Time { return pictureDay }
	s, err := store.Open(context.Background(), place, store.Options{Clock: clock})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return studio.New(s, studio.Options{Clock: clock, Cards: studio.Given(all)})
}
