package privacy

import (
	"context"
	"slices"

	"solander/calendar"
	"solander/fault"
	"solander/studio"
	"solander/upkeep"
)

// Due is a buyer whom the studio's rule says to erase.
type Due struct {
	Buyer    int64        `json:"buyer"`
	Name     string       `json:"name"`
	Last     calendar.Day `json:"last"` // when something was last done for her
	On       calendar.Day `json:"on"`   // since when she is due
	Orders   int          `json:"orders"`
	InTheWay []Block      `json:"in_the_way,omitempty"`
}

// mostDue bounds how many are listed, and erased at once: each takes a look through the whole journal.
const mostDue = 200

// WhoIsDue lists the buyers whom the rule says to erase, who is due longest first, each with what is in the way.
func WhoIsDue(ctx context.Context, s *studio.Studio) ([]Due, error) {
	return studio.Got(ctx, s, read, func(t *Privacy) ([]Due, error) { return t.reading(s).due() })
}

func (t *Privacy) due() ([]Due, error) {
	out := []Due{}
	r := t.Set.Retention
	if r == nil || r.Years == 0 && r.UnpaidYears == 0 {
		return out, nil
	}
	ended, err := t.Ended(t.Today, 1<<30)
	if err != nil {
		return nil, err
	}
	for _, e := range ended {
		on, ok := r.DueOn(e)
		if !ok || on.After(t.Today) {
			continue
		}
		out = append(out, Due{Buyer: e.Buyer, Last: e.Last, On: on, Orders: len(e.Orders)})
	}
	slices.SortStableFunc(out, func(a, b Due) int { return a.On.Sub(b.On) })
	out = out[:min(len(out), mostDue)]
	for i := range out {
		d := &out[i]
		b, err := t.Buyer(d.Buyer)
		if err != nil {
			return nil, err
		}
		d.Name = b.Name
		ids, err := t.BuyerOrders(d.Buyer)
		if err != nil {
			return nil, err
		}
		all, err := t.OrdersByID(ids)
		if err != nil {
			return nil, err
		}
		if d.InTheWay, err = t.inTheWay(d.Buyer, all); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// EraseDue erases those of the buyers who are due by the rule and whom nothing keeps, each in a transaction of its own, so that what was
// done stands when it is stopped. It returns who was erased. Faults: those of Erase, of the first that failed.
func EraseDue(ctx context.Context, s *studio.Studio, buyers []int64) ([]int64, error) {
	done := []int64{}
	for _, id := range buyers {
		erased := false
		err := write(ctx, s, func(t *Privacy) error {
			erased = false
			due, err := t.reading(s).due()
			if err != nil {
				return err
			}
			i := slices.IndexFunc(due, func(d Due) bool { return d.Buyer == id })
			if i < 0 || len(due[i].InTheWay) > 0 {
				return nil
			}
			tr, err := t.trial(id)
			if err != nil {
				return err
			}
			_, err = t.erase(tr, upkeep.ErasedDue, false)
			erased = err == nil
			return err
		})
		if err != nil {
			return done, err
		}
		if erased {
			done = append(done, id)
		}
	}
	if len(done) == 0 {
		return done, nil
	}
	return done, Wipe(ctx, s)
}

// EraseAllDue erases everybody who is due, when the studio chose that it is done by itself; else nobody.
func EraseAllDue(ctx context.Context, s *studio.Studio) ([]int64, error) {
	set, err := s.Settings(ctx)
	if err != nil || set.Retention == nil || !set.Retention.Scheduled {
		return nil, err
	}
	due, err := WhoIsDue(ctx, s)
	if err != nil {
		return nil, err
	}
	var ids []int64
	for _, d := range due {
		if len(d.InTheWay) == 0 {
			ids = append(ids, d.Buyer)
		}
	}
	return EraseDue(ctx, s, ids)
}

// ChangeRetention changes the rule, as it stands in the transaction. Faults: Invalid.
func ChangeRetention(ctx context.Context, s *studio.Studio, change func(*upkeep.Retention) error) error {
	return write(ctx, s, func(t *Privacy) error {
		set, r := t.Set, upkeep.Retention{}
		if set.Retention != nil {
			r = *set.Retention
		}
		was := r
		if err := change(&r); err != nil {
			return err
		}
		if err := r.Validate(); err != nil {
			return err
		}
		if r == was {
			return nil
		}
		set.Retention = &r
		if err := t.SaveSettings(set); err != nil {
			return err
		}
		return t.Note(0, "kept of buyers: %d years after the last payment or hand-over, %d of who never paid, for the tax %d; by itself: %s",
			r.Years, r.UnpaidYears, r.TaxYears, map[bool]string{true: "yes", false: "no"}[r.Scheduled])
	})
}

var errNobody = fault.New(fault.Invalid, "nobody is chosen").In("buyers").ToMend("choose buyers of the list")

// Chosen refuses an empty choice.
func Chosen(ids []int64) error {
	if len(ids) == 0 {
		return errNobody
	}
	return nil
}
