package studio

import (
	"context"

	"solander/order"
)

// Outlets lists the outlets by name.
func (s *Studio) Outlets(ctx context.Context) ([]order.Outlet, error) {
	var out []order.Outlet
	err := s.read(ctx, func(t *turn) (err error) {
		out, err = t.Outlets()
		return err
	})
	return out, err
}

// SaveOutlet adds an outlet (ID 0) or changes one. Faults: Invalid, Missing, Taken when the name is in use.
func (s *Studio) SaveOutlet(ctx context.Context, u order.Outlet) (order.Outlet, error) {
	if err := u.Validate(); err != nil {
		return u, err
	}
	var saved order.Outlet
	err := s.write(ctx, func(t *turn) (err error) {
		saved, err = t.saveOutlet(u)
		return err
	})
	return saved, err
}

func (t *turn) saveOutlet(u order.Outlet) (order.Outlet, error) {
	if u.ID != 0 {
		if _, err := t.Outlet(u.ID); err != nil {
			return u, err
		}
	}
	fee, err := t.cash("fee_fixed", u.FeeFixed)
	if err != nil {
		return u, err
	}
	u.FeeFixed = fee
	u.ID, err = t.SaveOutlet(u)
	return u, err
}
