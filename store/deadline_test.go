package store

import (
	"context"
	"testing"
	"time"

	"solander/fault"
	"solander/studio"
)

// TestTimeEndsInARead ends the time of a read before, in and after its statements, on every engine: it answers whole,
// or says that it did not in time, and nothing of what was half read is used.
func TestTimeEndsInARead(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			s := opened(t, places(t)(t))
			filled(t, s)
			late := 0
			for most := time.Duration(0); most < 12*time.Millisecond; most += 40 * time.Microsecond {
				ctx, stop := context.WithTimeout(t.Context(), most)
				err := s.Read(ctx, func(tx studio.Tx) error {
					if _, err := tx.OpenOrders(); err != nil {
						return err
					}
					_, err := tx.Orders(studio.OrderQuery{})
					return err
				})
				stop()
				if err != nil {
					late++
				}
				if err != nil && ctx.Err() == nil || err != nil && !fault.Is(err, fault.Busy) {
					t.Fatalf("after %v: %v", most, err)
				}
			}
			if late == 0 {
				t.Error("no read was late: nothing was tested")
			}
		})
	}
}
