package house

import (
	"context"
	"crypto/subtle"
	"fmt"
	"io"
	"math"
	"strings"

	"solander/almanac"
	buyersroom "solander/buyers"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// Promises writes the days of all open orders as a calendar: by when each is promised to be handed over, and to
// arrive where that was said. It names marks and prints, and no buyer: a calendar is often kept by others.
func Promises(ctx context.Context, s *studio.Studio, w io.Writer) error {
	return read(ctx, s, func(t *House) error {
		all, err := t.OpenOrders()
		if err != nil {
			return err
		}
		var out []almanac.Promise
		for _, o := range all {
			prints, err := t.printsOf(o)
			if err != nil {
				return err
			}
			out = append(out, promisesOf(o, prints)...)
		}
		return almanac.Promises(w, t.Set.Studio+": promises", t.Now, out)
	})
}

func (t *House) printsOf(o order.Order) ([]string, error) {
	var out []string
	for _, l := range o.Live() {
		e, err := t.EditionOf(l.Edition)
		if err != nil {
			return nil, err
		}
		out = append(out, strings.TrimSpace(l.Number.Of(e)+" "+e.Name(t.Set.Units)))
	}
	return out, nil
}

func promisesOf(o order.Order, prints []string) []almanac.Promise {
	var out []almanac.Promise
	detail, count := strings.Join(prints, "\n"), fmt.Sprintf("%d prints", len(prints))
	if len(prints) == 1 {
		count = "1 print"
	}
	if !o.Promised.IsZero() {
		out = append(out, almanac.Promise{UID: uid("promise", o.ID, o.Placed), Day: o.Promised, Summary: "Hand over " + o.Mark + ", " + count, Detail: detail})
	}
	if !o.ArriveBy.IsZero() {
		out = append(out, almanac.Promise{UID: uid("arrival", o.ID, o.Placed), Day: o.ArriveBy, Summary: o.Mark + " should arrive, " + count, Detail: detail})
	}
	return out
}

// uid names a thing of this studio to other programs: the same at each writing.
func uid(kind string, id int64, more any) string {
	return strings.ReplaceAll(fmt.Sprintf("%s-%d-%v@solander.invalid", kind, id, more), " ", "")
}

// NewPromiseAddress makes the secret part of the address under which the calendar of promises is read, and ends
// the one before. It is told this once: the store keeps its hash.
func NewPromiseAddress(ctx context.Context, s *studio.Studio) (string, error) {
	secret, err := s.Secret()
	if err != nil {
		return "", err
	}
	return secret, write(ctx, s, func(t *House) error {
		t.Set.PromiseHash = studio.HashOf(secret)
		return t.SaveSettings(t.Set)
	})
}

// EndPromiseAddress ends the address: nobody reads the calendar by it any more.
func EndPromiseAddress(ctx context.Context, s *studio.Studio) error {
	return write(ctx, s, func(t *House) error {
		t.Set.PromiseHash = ""
		return t.SaveSettings(t.Set)
	})
}

// PromisesAt is Promises for whoever knows the secret part of its address. Faults: Missing for any other.
func PromisesAt(ctx context.Context, s *studio.Studio, secret string, w io.Writer) error {
	set, err := s.Settings(ctx)
	if err != nil {
		return err
	}
	if same := subtle.ConstantTimeCompare([]byte(set.PromiseHash), []byte(studio.HashOf(secret))) == 1; !same {
		return fault.New(fault.Missing, "there is no calendar at this address").ToMend("make a new address under Studio, Files for other programs")
	}
	return Promises(ctx, s, w)
}

// BuyerCards writes buyers as cards, each with the address to which its latest order that went anywhere went: one, or all when id
// is 0. Faults: Missing.
func BuyerCards(ctx context.Context, s *studio.Studio, id int64, w io.Writer) error {
	return read(ctx, s, func(t *House) error {
		buyers, err := t.Buyers("", math.MaxInt32)
		if id != 0 {
			var b order.Buyer
			b, err = buyersroom.In(t.Turn).Person(id)
			buyers = []order.Buyer{b}
		}
		if err != nil {
			return err
		}
		ids := make([]int64, len(buyers))
		for i, b := range buyers {
			ids[i] = b.ID
		}
		places, err := t.PlacesOf(ids, 1)
		if err != nil {
			return err
		}
		cards := make([]almanac.Card, 0, len(buyers))
		for _, b := range buyers {
			c := almanac.Card{UID: uid("buyer", b.ID, "card"), Name: b.Name, Email: b.Email, Phone: b.Phone}
			if at := places[b.ID]; len(at) > 0 {
				c.To = at[0]
			}
			cards = append(cards, c)
		}
		return almanac.Cards(w, cards)
	})
}
