package storetest

import (
	"testing"
	"time"

	"solander/access"
	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func phonesKept(t *testing.T, s studio.Store) {
	var person, device int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if person, err = tx.SavePerson(access.Person{Name: "Mara Vell", Role: access.Owner, Handle: "h", Made: bed.At}); err != nil {
			return err
		}
		device, err = tx.SaveDeviceKey(access.DeviceKey{Person: person, Name: "phone", Hash: "00ff", Made: bed.At})
		return err
	})
	first := access.PhoneCode{ID: 1, Hash: "aa", Person: person, Most: access.Helper, Made: bed.At, Ends: bed.At.Add(time.Minute)}
	later := access.PhoneCode{ID: 2, Hash: "bb", Person: person, Made: bed.At, Ends: bed.At.Add(time.Hour)}
	bed.Write(t, s, func(tx studio.Tx) error {
		for _, c := range []access.PhoneCode{first, later} {
			c.ID = 0
			if _, err := tx.SavePhoneCode(c); err != nil {
				return err
			}
		}
		return nil
	})
	codes := func() (got []access.PhoneCode) {
		bed.Read(t, s, func(tx studio.Tx) (err error) { got, err = tx.PhoneCodes(); return err })
		return got
	}
	bed.Same(t, "codes, newest first", []access.PhoneCode{later, first}, codes())
	later.Tries, later.Used, later.Phone = 3, bed.At.Add(time.Second), device
	bed.Write(t, s, func(tx studio.Tx) error { _, err := tx.SavePhoneCode(later); return err })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ForgetPhoneCodes(first.Ends.Add(time.Microsecond)) })
	bed.Same(t, "the one that did not end", []access.PhoneCode{later}, codes())
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.SavePhoneCode(access.PhoneCode{Hash: "cc", Person: 99, Made: bed.At, Ends: bed.At})
		return err
	})

	key := access.PhoneKey{Device: device, Family: "0f", Turned: bed.At}
	for _, change := range []func(){
		func() {},
		func() { key.Before, key.Settled, key.Turned = "1e", true, bed.At.Add(time.Minute) },
		func() { key.Cloned, key.Hidden = bed.At.Add(time.Hour), true },
	} {
		change()
		bed.Write(t, s, func(tx studio.Tx) error { return tx.SavePhoneKey(key) })
		bed.Read(t, s, func(tx studio.Tx) error {
			got, err := tx.PhoneKey(device)
			bed.Same(t, "how a key turns", key, got)
			return err
		})
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.PhoneKeys()
		bed.Same(t, "all of them", []access.PhoneKey{key}, all)
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.PhoneKey(99); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.SavePhoneKey(access.PhoneKey{Device: 99, Turned: bed.At}) })
}
