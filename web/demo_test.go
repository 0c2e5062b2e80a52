package web

import (
	"context"
	"path/filepath"
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

// pictured is the invented studio.
func pictured(t testing.TB) *studio.Studio {
	t.Helper()
	all, err := cards.All()
	if err != nil {
		t.Fatal(err)
	}
	ctx, place := context.Background(), filepath.Join(t.TempDir(), "demo.db")
	y, m, d := pictureDay.Date()
	err = demo.Build(ctx, func(clock func() time.Time) (studio.Store, error) {
		return store.Open(ctx, place, store.Options{Clock: clock, Hasty: true})
	}, demo.Options{Day: calendar.Date(y, m, d), Seed: pictureSeed, Cards: all})
	if err != nil {
		t.Fatal(err)
	}
	clock := func() time.Time { return pictureDay }
	s, err := store.Open(ctx, place, store.Options{Clock: clock})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return studio.New(s, studio.Options{Clock: clock, Cards: all})
}
