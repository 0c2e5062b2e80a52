package daybench

import (
	"cmp"
	"context"

	"solander/bench"
	"solander/dayplan"
	"solander/planning"
	"solander/studio"
	"solander/waiting"
)

// benchWaits puts on orders that they wait because their artist said so, or why they do not any more.
func (t *Daybench) benchWaits(d *studio.Drawer, st *bench.State) error {
	for i := range st.Orders {
		o := &st.Orders[i]
		if o.Order.Wait == nil {
			continue
		}
		waits, broken, err := planning.In(t.Turn).Keeping(o.Order, d, st.Day)
		if err != nil {
			return err
		}
		if o.Order.Wait.Kept {
			if waits || broken != "" {
				o.Wait = &bench.Wait{Broken: broken}
				if o.Wait.Kept, err = waiting.In(t.Turn).Kept(*o.Order.Wait); err != nil {
					return err
				}
			}
			continue
		}
		if waits || broken != "" {
			o.Wait = &bench.Wait{Until: o.Order.Wait.Until, Said: waits, Broken: broken}
		}
		if waits {
			o.Wait.Text = waiting.Told(*o.Order.Wait)
		}
	}
	return nil
}

// benchMayWait puts on the orders of today what waiting would save. What is not known within the bench's time is left out there, and told
// where it is asked for.
func benchMayWait(ctx context.Context, s *studio.Studio, st *bench.State, may studio.Later[map[int64]waiting.Order]) {
	if may == nil || dayplan.Stopped(ctx) {
		return
	}
	ctx, stop := context.WithTimeout(dayplan.Quietly(ctx), cmp.Or(s.Times.Bench, benchTime))
	defer stop()
	known, err := may(ctx)
	if err != nil {
		return // the bench is whole without it
	}
	for i := range st.Orders {
		o := &st.Orders[i]
		m, ok := known[o.ID]
		if !ok {
			continue
		}
		if o.Wait == nil {
			o.Wait = &bench.Wait{}
		}
		o.Wait.Until, o.Wait.Text = m.Day, m.Text
	}
}
