package dayplan

import (
	"context"
	"encoding/binary"
	"testing"
)

func planKey(n int) (key [32]byte) {
	binary.BigEndian.PutUint64(key[:], uint64(n))
	return key
}

// A day with more orders than the cache holds by itself is remembered whole; afterwards the plans asked for last stay.
func TestPlansOfAWholeDayAreRemembered(t *testing.T) {
	c := NewPlans(func(_ context.Context, err error) { t.Error(err) })
	n := 3 * fewPlans
	c.Hold(n)
	for range 2 {
		for i := range n {
			if _, ok := c.get(planKey(i)); !ok {
				c.put(&cachedPlan{key: planKey(i)})
			}
		}
	}
	for i := range n {
		if _, ok := c.get(planKey(i)); !ok {
			t.Fatalf("plan %d of %d was forgotten", i, n)
		}
	}
	c.Hold(1)
	for i := range n {
		if _, ok := c.get(planKey(i)); ok != (i >= n-fewPlans) {
			t.Fatalf("plan %d is kept: %v; the latest %d of %d were asked for last", i, ok, fewPlans, n)
		}
	}
	if len(c.plans) != fewPlans || c.order.Len() != fewPlans {
		t.Errorf("%d plans and %d places are kept, want %d", len(c.plans), c.order.Len(), fewPlans)
	}
}
