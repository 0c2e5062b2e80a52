package people

import (
	"context"
	"fmt"
	"slices"
	"time"

	"solander/access"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// Grant lets a device in.
type Grant struct {
	Person int64       // under whom
	Name   string      // by which it can be revoked
	Most   access.Role // it may do no more than this role; "" = all that the person may
}

// NewKey is a key just made, with its secret: nobody can show it again.
type NewKey struct {
	access.DeviceKey
	Secret string
}

// GrantKey lets a device in, in a transaction of its own. Faults: Invalid, Missing, Refused.
func GrantKey(ctx context.Context, s *studio.Studio, in Grant) (NewKey, error) {
	return studio.Got(ctx, s, write, func(t *Door) (NewKey, error) { return t.Grant(s, in) })
}

// Grant lets a device in. Faults: Invalid; Missing; Refused when the person ended.
func (t *Door) Grant(s *studio.Studio, in Grant) (NewKey, error) {
	var l fault.List
	l.Add(order.Text("device", in.Name, 80, true))
	l.Check(in.Most == "" || slices.Contains(access.Roles(), in.Most), "most", "there is no such role", "choose owner, helper or reader")
	if err := l.Err(); err != nil {
		return NewKey{}, err
	}
	p, err := t.Person(in.Person)
	if err != nil {
		return NewKey{}, err
	}
	if !p.Active() {
		return NewKey{}, fault.New(fault.Refused, "%s ended", p.Name).ToMend("let it in under somebody else")
	}
	secret, err := s.Secret()
	if err != nil {
		return NewKey{}, err
	}
	k := access.DeviceKey{Person: p.ID, Name: in.Name, Most: in.Most, Hash: studio.HashOf(secret), Made: t.Now}
	if k.ID, err = t.SaveDeviceKey(k); err != nil {
		return NewKey{}, err
	}
	return NewKey{k, secret}, t.Note(0, "%s let in under %s", k.Name, p.Name)
}

// Device is a key with whose it is.
type Device struct {
	access.DeviceKey
	Of string `json:"of"` // the person's name
}

// Devices returns all devices by name, the revoked ones too.
func Devices(ctx context.Context, s *studio.Studio) ([]Device, error) {
	return studio.Got(ctx, s, read, func(t *Door) ([]Device, error) {
		keys, err := t.DeviceKeys()
		if err != nil {
			return nil, err
		}
		persons, err := t.Persons()
		if err != nil {
			return nil, err
		}
		out := []Device{}
		for _, k := range keys {
			i := slices.IndexFunc(persons, func(p access.Person) bool { return p.ID == k.Person })
			if i < 0 {
				return nil, fmt.Errorf("device %d belongs to nobody: %w", k.ID, studio.ErrDamaged)
			}
			out = append(out, Device{k, persons[i].Name})
		}
		return out, nil
	})
}

// Revoke ends a device's key at once and for ever. An owner revokes any, everybody else her own. Faults: Missing, Denied.
func Revoke(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Door) error {
		k, err := t.DeviceKey(id)
		if err != nil {
			return err
		}
		if by := Asking(ctx); by.Known() && by.Role != access.Owner && by.Person.ID != k.Person {
			return fault.New(fault.Denied, "this device is somebody else's").ToMend("ask an owner")
		}
		if !k.Revoked.IsZero() {
			return nil
		}
		return t.revoke(k)
	})
}

func (t *Door) revoke(k access.DeviceKey) error {
	k.Revoked = t.Now
	if _, err := t.SaveDeviceKey(k); err != nil {
		return err
	}
	return t.Note(0, "%s is let in no more", k.Name)
}

// ByKey tells who asks by a device's key. Faults: Unknown when it lets nobody in.
func ByKey(ctx context.Context, s *studio.Studio, secret string) (Who, error) {
	return studio.Got(ctx, s, read, func(t *Door) (Who, error) {
		k, err := t.DeviceKeyOf(studio.HashOf(secret))
		if fault.Is(err, fault.Missing) || err == nil && !k.Revoked.IsZero() {
			return Who{}, unknown()
		}
		if err != nil {
			return Who{}, err
		}
		return t.Under(k)
	})
}

// lesser is the one of two roles that may less; the first one when the second says nothing.
func lesser(role, most access.Role) access.Role {
	if most == "" || slices.Index(access.Roles(), role) > slices.Index(access.Roles(), most) {
		return role
	}
	return most
}

// seenEvery is how often it is noted that somebody was seen: each note is a write.
const seenEvery = time.Minute

// Seen notes that somebody was seen, at most once a minute. One who is gone meanwhile is none of its faults.
func Seen(ctx context.Context, s *studio.Studio, w Who) error {
	if now := s.Clock(); w.Alone || !w.Known() || now.Sub(w.Seen) < seenEvery && !w.Seen.After(now) {
		return nil
	}
	err := write(studio.WithForm(ctx, nil), s, func(t *Door) error {
		if w.Key != 0 {
			k, err := t.DeviceKey(w.Key)
			if err != nil {
				return err
			}
			k.Seen = t.Now
			_, err = t.SaveDeviceKey(k)
			return err
		}
		return t.seenSession(w)
	})
	if fault.Is(err, fault.Missing) || fault.Is(err, fault.Unknown) {
		return nil
	}
	return err
}
