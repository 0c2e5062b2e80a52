// Package phones is the use cases of phones that are let in: a one-time code lets one phone in under a person; from then on it has a key of
// its own, which turns as it is used, so that a copy of it is found out.
//
// The door by which a phone comes, and what vouches for the computer there, are not known here. Keys and codes are drawn by chance and
// kept as hashes alone; they are compared in constant time.
package phones

import (
	"context"
	"slices"
	"time"

	"solander/access"
	"solander/fault"
	"solander/people"
	"solander/studio"
)

// Store is what this room asks of the store.
type Store interface {
	access.PhoneStore
	DeviceKey(id int64) (access.DeviceKey, error)
	SaveDeviceKey(access.DeviceKey) (int64, error)
	Person(id int64) (access.Person, error)
}

// Hall is one transaction as this room sees it.
type Hall struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Hall { return &Hall{t, t.Tx} }

var write, read = studio.Doors(In)

// Phone is a phone that was let in.
type Phone struct {
	people.Device
	Cloned time.Time `json:"cloned_at,omitzero"` // its key was used from two devices: both are ended
	Hidden bool      `json:"hidden"`             // she has seen what became of it
}

// All returns the phones by name, those that ended too.
func All(ctx context.Context, s *studio.Studio) ([]Phone, error) {
	devices, err := people.Devices(ctx, s)
	if err != nil {
		return nil, err
	}
	keys, err := studio.Got(ctx, s, read, func(t *Hall) ([]access.PhoneKey, error) { return t.PhoneKeys() })
	out := []Phone{}
	for _, d := range devices {
		i := slices.IndexFunc(keys, func(k access.PhoneKey) bool { return k.Device == d.ID })
		if i >= 0 {
			out = append(out, Phone{d, keys[i].Cloned, keys[i].Hidden})
		}
	}
	return out, err
}

// Cloned returns the phones of whose end she has to be told: somebody has a copy of their keys.
func Cloned(ctx context.Context, s *studio.Studio) ([]Phone, error) {
	return studio.Got(ctx, s, read, func(t *Hall) (out []Phone, err error) {
		keys, err := t.PhoneKeys()
		if err != nil {
			return nil, err
		}
		for _, k := range keys {
			if k.Cloned.IsZero() || k.Hidden {
				continue
			}
			d, err := t.DeviceKey(k.Device)
			if err != nil {
				return nil, err
			}
			out = append(out, Phone{people.Device{DeviceKey: d}, k.Cloned, false})
		}
		return out, nil
	})
}

// End lets a phone in no more, at once. Faults: Missing, Denied.
func End(ctx context.Context, s *studio.Studio, id int64) error {
	if _, err := studio.Got(ctx, s, read, func(t *Hall) (access.PhoneKey, error) { return t.PhoneKey(id) }); err != nil {
		return err
	}
	return people.Revoke(ctx, s, id)
}

// Hide takes a phone that ended off the list. Faults: Missing; Refused while it is let in.
func Hide(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Hall) error {
		k, err := t.PhoneKey(id)
		if err != nil {
			return err
		}
		d, err := t.DeviceKey(id)
		if err != nil {
			return err
		}
		if d.Revoked.IsZero() {
			return fault.New(fault.Refused, "%s is let in", d.Name).ToMend("end it first")
		}
		k.Hidden = true
		return t.SavePhoneKey(k)
	})
}
