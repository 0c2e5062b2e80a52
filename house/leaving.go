package house

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"solander/bench"
	"solander/fault"
	"solander/leaving"
	"solander/studio"
)

// LeavingView is how parcels leave the house, with the services that a way may be said to take.
type LeavingView struct {
	Ways       []leaving.Way   `json:"ways"`
	MinuteWage int64           `json:"minute_wage"`  // minor units; 0 = minutes cost nothing
	SetUpMoney int64           `json:"set_up_money"` // that a day may cost more for fewer different wraps
	Services   []bench.Service `json:"services"`     // of the price cards of today
}

// Leaving reads how parcels leave.
func Leaving(ctx context.Context, s *studio.Studio) (LeavingView, error) {
	return studio.Got(ctx, s, read, func(t *House) (LeavingView, error) {
		out := LeavingView{Ways: slices.Concat([]leaving.Way{}, t.Set.Leaving), MinuteWage: t.Set.MinuteWage, SetUpMoney: t.Set.SetUpMoney, Services: []bench.Service{}}
		cards, err := s.AllCards(t.Turn)
		for _, c := range studio.CardsFor(cards, t.Set, t.Today) {
			for _, v := range c.Services {
				if !slices.ContainsFunc(out.Services, func(b bench.Service) bool { return b.Key == v.ID }) {
					out.Services = append(out.Services, bench.Service{Key: v.ID, Name: v.Name})
				}
			}
		}
		return out, err
	})
}

// ChangeWay changes a way of leaving as it stands, or adds one at the end (no id), as ChangeSettings does. A new way gets an id after its kind.
// Faults: Invalid, with the fields of the way; Missing.
func ChangeWay(ctx context.Context, s *studio.Studio, id string, change func(*leaving.Way) error) (w leaving.Way, err error) {
	err = ChangeSettings(ctx, s, func(set *studio.Settings) error {
		at, err := wayAt(set.Leaving, id)
		if err != nil {
			return err
		}
		ways := slices.Clone(set.Leaving)
		if id == "" {
			at, ways = len(ways), append(ways, leaving.Way{})
		}
		if err := change(&ways[at]); err != nil {
			return err
		}
		if ways[at].ID = id; id == "" {
			ways[at].ID = freeID(set.Leaving, string(ways[at].Kind))
		}
		w, set.Leaving = ways[at], ways
		return ofWay(leaving.Validate("leaving", ways), at)
	})
	return w, err
}

// DropWay takes a way of leaving out. Faults: Missing.
func DropWay(ctx context.Context, s *studio.Studio, id string) error {
	return ChangeSettings(ctx, s, func(set *studio.Settings) error {
		at, err := wayAt(set.Leaving, id)
		if err == nil && at < 0 {
			err = noWay(id)
		}
		if err != nil {
			return err
		}
		set.Leaving = slices.Delete(slices.Clone(set.Leaving), at, at+1)
		return nil
	})
}

// wayAt is the place of a way; -1 for no id.
func wayAt(ways []leaving.Way, id string) (int, error) {
	at := slices.IndexFunc(ways, func(w leaving.Way) bool { return w.ID == id })
	if at < 0 && id != "" {
		return at, noWay(id)
	}
	return at, nil
}

func noWay(id string) error {
	return fault.New(fault.Missing, "there is no way of leaving %.40q", id).In("id").ToMend("the studio's settings list them")
}

func freeID(ways []leaving.Way, kind string) string {
	id := kind
	for n := 2; slices.ContainsFunc(ways, func(w leaving.Way) bool { return w.ID == id }); n++ {
		id = fmt.Sprintf("%s-%d", kind, n)
	}
	return id
}

// ofWay names the fields of faults of one way as they are called in it.
func ofWay(err error, at int) error {
	if err == nil {
		return nil
	}
	var l fault.List
	for _, e := range fault.All(err) {
		own := *e
		own.Field = strings.TrimPrefix(e.Field, fmt.Sprintf("leaving[%d].", at))
		l.Add(&own)
	}
	return l.Err()
}

// Named calls a service of the view by its key.
func (v LeavingView) Named(key string) string {
	for _, s := range v.Services {
		if s.Key == key {
			return s.Name
		}
	}
	return key
}

// AllowSetUps says what a day may cost more, in minor units, so that fewer different wraps are made. Faults: Invalid.
func AllowSetUps(ctx context.Context, s *studio.Studio, minor int64) error {
	return ChangeSettings(ctx, s, func(set *studio.Settings) error {
		set.SetUpMoney = minor
		return nil
	})
}
