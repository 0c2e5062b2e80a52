package house

import (
	"context"

	"solander/order"
	"solander/studio"
)

// Outlets lists the outlets by name.
func Outlets(ctx context.Context, s *studio.Studio) ([]order.Outlet, error) {
	return studio.Got(ctx, s, read, func(t *House) ([]order.Outlet, error) { return t.Outlets() })
}

// SaveOutlet adds an outlet (ID 0) or puts another in the place of one. Faults: those of ChangeOutlet.
func SaveOutlet(ctx context.Context, s *studio.Studio, u order.Outlet) (order.Outlet, error) {
	return ChangeOutlet(ctx, s, u.ID, studio.Whole(u))
}

// ChangeOutlet changes an outlet as it stands, or adds one (id 0), as ChangeSettings does.
// Faults: Invalid, Missing, Taken when the name is in use.
func ChangeOutlet(ctx context.Context, s *studio.Studio, id int64, change func(*order.Outlet) error) (u order.Outlet, err error) {
	err = write(ctx, s, func(t *House) error {
		if u, err = studio.AsItStands(id, t.Outlet, change); err != nil {
			return err
		}
		u.ID = id
		if err := u.Validate(); err != nil {
			return err
		}
		u, err = t.KeepOutlet(u)
		return err
	})
	return u, err
}

// KeepOutlet keeps an outlet with its fees in the studio's currency.
func (t *House) KeepOutlet(u order.Outlet) (order.Outlet, error) {
	fees, err := u.Fees.Each(t.Cash)
	if err != nil {
		return u, err
	}
	u.Fees = fees
	u.ID, err = t.SaveOutlet(u)
	return u, err
}
