package phones

import (
	"context"
	"strconv"
	"strings"
	"time"

	"solander/access"
	"solander/fault"
	"solander/people"
	"solander/studio"
)

const (
	// TurnEvery is how long a key is used before the phone is given another.
	TurnEvery = 5 * time.Minute
	// Grace is how long the key before is good too: what the phone asked for at once with it is on its way.
	Grace = time.Minute
	// IdleFor is how long a phone may stay away; then it is let in anew.
	IdleFor = 90 * 24 * time.Hour
)

// A key is written as the number of the device, what all keys of the phone begin with, and what turns.
func written(device int64, family, turn string) string {
	return strconv.FormatInt(device, 10) + "." + family + "." + turn
}

func parts(key string) (device int64, family, turn string, ok bool) {
	number, rest, _ := strings.Cut(key, ".")
	family, turn, ok = strings.Cut(rest, ".")
	device, err := strconv.ParseInt(number, 10, 64)
	return device, family, turn, ok && err == nil && len(key) <= 200
}

// verdict is what a key that came means.
type verdict int

const (
	nobody  verdict = iota // not drawn here
	fits                   // it is the phone
	settles                // it is, and has the key that it was given
	turns                  // it is, and is to be given another key
	again                  // it is, and never got the key that it was given: it is given another in its place
	cloned                 // an old key of the phone, which has had another since: two devices have them
)

// judge says what a key means of which the family and the turning part came; is is the hash of the key that stands with the device.
func judge(k access.PhoneKey, is, family, turn string, now time.Time) verdict {
	if !same(k.Family, studio.HashOf(family)) {
		return nobody
	}
	hash, age := studio.HashOf(turn), now.Sub(k.Turned)
	current, before := same(is, hash), k.Before != "" && same(k.Before, hash)
	switch {
	case current && age >= TurnEvery:
		return turns
	case current && !k.Settled:
		return settles
	case current, before && age < Grace:
		return fits
	case before && !k.Settled:
		return again
	}
	return cloned
}

// Known is what is known of who holds a key.
type Known struct {
	Who  people.Who
	Next string // the key to give in its place; "" = it stays
	Why  error  // why it lets nobody in; nil = it does
}

// Know tells who holds a key, and gives the next one when it is time. Who holds an old key though the phone has a newer one has a copy, or
// is the phone from which it was copied: nobody knows which, so both end, and she is told.
// Faults: those of the store; what is wrong with the key stands in Known.
func Know(ctx context.Context, s *studio.Studio, key string) (Known, error) {
	device, family, turn, ok := parts(key)
	if !ok {
		return Known{Why: strange()}, nil
	}
	ctx = studio.WithForm(ctx, nil) // it belongs to no form
	var got verdict
	known, err := studio.Got(ctx, s, read, func(t *Hall) (out Known, err error) {
		out, got, _, err = t.know(device, family, turn)
		return out, err
	})
	if err != nil || known.Why != nil || got == fits {
		return known, err
	}
	moved, err := studio.Got(ctx, s, write, func(t *Hall) (Known, error) { return t.move(s, device, family, turn) })
	if fault.Is(err, fault.Busy) && got != cloned { // another time then
		return known, nil
	}
	return moved, err
}

// know reads what a key means. Where Why is nil and the verdict is neither nobody nor cloned, it lets in.
func (t *Hall) know(device int64, family, turn string) (Known, verdict, access.PhoneKey, error) {
	k, err := t.PhoneKey(device)
	if fault.Is(err, fault.Missing) {
		k, err = access.PhoneKey{Family: studio.HashOf("")}, nil // nobody's: as much is compared as for a phone that is there
	}
	if err != nil {
		return Known{}, nobody, k, err
	}
	var d access.DeviceKey
	if k.Device != 0 {
		if d, err = t.DeviceKey(device); err != nil {
			return Known{}, nobody, k, err
		}
	}
	got := judge(k, d.Hash, family, turn, t.Now)
	switch {
	case got == nobody || k.Device == 0:
		return Known{Why: strange()}, nobody, k, nil
	case !k.Cloned.IsZero():
		return Known{Why: copied()}, nobody, k, nil
	case !d.Revoked.IsZero():
		return Known{Why: fault.New(fault.Unknown, "%s is let in no more", d.Name).ToMend("let it in anew on the computer: Studio, Let a phone in")}, nobody, k, nil
	case t.Now.Sub(k.Turned) > IdleFor:
		return Known{Why: fault.New(fault.Unknown, "%s was away for so long that its key ended", d.Name).ToMend("let it in anew on the computer: Studio, Let a phone in")}, nobody, k, nil
	case got == cloned:
		return Known{}, cloned, k, nil
	}
	who, err := people.In(t.Turn).Under(d)
	if fault.Is(err, fault.Unknown) {
		return Known{Why: err}, nobody, k, nil
	}
	return Known{Who: who}, got, k, err
}

// move is know within the transaction that turns the key, or ends the phone.
func (t *Hall) move(s *studio.Studio, device int64, family, turn string) (Known, error) {
	known, got, k, err := t.know(device, family, turn)
	if err != nil || known.Why != nil || got == fits {
		return known, err
	}
	d, err := t.DeviceKey(device)
	if err != nil {
		return Known{}, err
	}
	switch got {
	case settles:
		k.Settled = true
	case cloned:
		k.Cloned, d.Revoked = t.Now, t.Now
		known = Known{Why: copied()}
		err = t.Note(0, "the key of %s was used from two devices: both are let in no more", d.Name)
	default: // turns, again
		next, e := s.Secret()
		if e != nil {
			return Known{}, e
		}
		if got == turns {
			k.Before = d.Hash
		}
		d.Hash, k.Turned, k.Settled = studio.HashOf(next), t.Now, false
		known.Next = written(device, family, next)
	}
	if err != nil {
		return Known{}, err
	}
	if _, err := t.SaveDeviceKey(d); err != nil {
		return Known{}, err
	}
	return known, t.SavePhoneKey(k)
}

func strange() error {
	return fault.New(fault.Unknown, "this phone is not known here").ToMend("let it in on the computer: Studio, Let a phone in")
}

func copied() error {
	return fault.New(fault.Unknown, "the key of this phone was used from two devices, so neither is let in any more").
		ToMend("somebody may have copied it: tell the owner, and let your phone in anew on the computer")
}
