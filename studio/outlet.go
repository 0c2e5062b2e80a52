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

// SaveOutlet adds an outlet (ID 0) or puts another in the place of one. Faults: those of ChangeOutlet.
func (s *Studio) SaveOutlet(ctx context.Context, u order.Outlet) (order.Outlet, error) {
	return s.ChangeOutlet(ctx, u.ID, whole(u))
}

// ChangeOutlet changes an outlet as it stands, or adds one (id 0), as ChangeSettings does.
// Faults: Invalid, Missing, Taken when the name is in use.
func (s *Studio) ChangeOutlet(ctx context.Context, id int64, change func(*order.Outlet) error) (u order.Outlet, err error) {
	err = s.write(ctx, func(t *turn) error {
		if u, err = asItStands(id, t.Outlet, change); err != nil {
			return err
		}
		u.ID = id
		if err := u.Validate(); err != nil {
			return err
		}
		u, err = t.saveOutlet(u)
		return err
	})
	return u, err
}

func (t *turn) saveOutlet(u order.Outlet) (order.Outlet, error) {
	fee, err := t.cash("fee_fixed", u.FeeFixed)
	if err != nil {
		return u, err
	}
	u.FeeFixed = fee
	u.ID, err = t.SaveOutlet(u)
	return u, err
}
