package dispatch_test

import (
	"context"
	"sync/atomic"
	"testing"

	"solander/dayplan"
	"solander/dispatch"
	"solander/fault"
	"solander/internal/bed"
	"solander/stockroom"
	"solander/studio"
)

// meddling is a store in which another window writes before a write of this one.
type meddling struct {
	studio.Store
	before  func()
	writing atomic.Bool
}

func (m *meddling) Write(ctx context.Context, f func(studio.Tx) error) error {
	m.before()
	m.writing.Store(true)
	defer m.writing.Store(false)
	return m.Store.Write(ctx, f)
}

// meddled is the studio of a bed as one window sees it while another writes as before says, which gets the studio as it is.
func meddled(b *bed.Bed, before func(other *studio.Studio)) (*studio.Studio, *meddling) {
	store := b.Studio.Store
	other := studio.New(store, studio.Options{Clock: b.Clock.Now})
	m := &meddling{Store: store, before: func() { before(other) }}
	mine := *b.Studio
	mine.Store = m
	return &mine, m
}

// What was planned before the lock is packed only while all that it follows from stands: the envelope that the first plan takes
// is counted away between the plan and the write. Nothing is planned while the store is locked.
func TestPackedAsPlannedOrPlannedAnew(t *testing.T) {
	b := bed.New(t)
	v := b.Ready(b.Heron.ID)
	first := b.Plan(v.ID).Plan.StockUsed[0].Item
	times := 0
	mine, m := meddled(b, func(other *studio.Studio) {
		if times++; times == 1 {
			b.Must(stockroom.CountShelf(b.Ctx, other, b.Shelf()[first].ID, 0, "fell into the sink"))
		}
	})
	mine.Plans = dayplan.NewPlans(func(_ context.Context, err error) { t.Error(err) })
	told := 0
	ctx := dayplan.WithSearch(b.Ctx, b.Ctx, func(_, _ int) {
		if told++; m.writing.Load() {
			t.Error("planned while the store is locked")
		}
	})
	parcels, err := dispatch.Pack(ctx, mine, dispatch.PackIn{Order: v.ID})
	b.Must(err)
	for _, p := range parcels {
		if n := dayplan.Uses(p.Plan)[first]; n > 0 {
			t.Errorf("packed with %d of %s, which is gone", n, first)
		}
	}
	if times != 2 || told == 0 {
		t.Errorf("written %d times, planning told %d times", times, told)
	}
	b.Sound()
}

// While the day changes each time it was planned nothing is packed, and she is told.
func TestNothingIsPackedWhileTheDayMoves(t *testing.T) {
	b := bed.New(t)
	v := b.Ready(b.Heron.ID)
	item := b.Plan(v.ID).Plan.StockUsed[0].Item
	left := 40
	mine, _ := meddled(b, func(other *studio.Studio) {
		left--
		b.Must(stockroom.CountShelf(b.Ctx, other, b.Shelf()[item].ID, left, "counted once more"))
	})
	_, err := dispatch.Pack(b.Ctx, mine, dispatch.PackIn{Order: v.ID})
	b.Refused(err, fault.Refused, "", "others wrote whenever it was planned")
	if v := b.Order(v.ID); v.Lines[0].Parcel != 0 {
		t.Errorf("packed in parcel %d", v.Lines[0].Parcel)
	}
	b.Sound()
}
