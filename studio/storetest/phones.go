package storetest

import (
	"testing"
	"time"

	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func phonesKept(t *testing.T, s studio.Store) {
	var person, device int64
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if person, err = tx.SavePerson(studio.Person{Name: "Mara Vell", Role: studio.RoleOwner, Handle: "h", Made: bed.At}); err != nil {
			return err
		}
		device, err = tx.SaveDeviceKey(studio.DeviceKey{Person: person, Name: "phone", Hash: "00ff", Made: bed.At})
		return err
	})
	first := studio.PhoneCode{ID: 1, Hash: "aa", Person: person, Most: studio.RoleHelper, Made: bed.At, Ends: bed.At.Add(time.Minute)}
	later := studio.PhoneCode{ID: 2, Hash: "bb", Person: person, Made: bed.At, Ends: bed.At.Add(time.Hour)}
	bed.Write(t, s, func(tx studio.Tx) error {
		for _, c := range []studio.PhoneCode{first, later} {
			c.ID = 0
			if _, err := tx.SavePhoneCode(c); err != nil {
				return err
			}
		}
		return nil
	})
	codes := func() (got []studio.PhoneCode) {
		bed.Read(t, s, func(tx studio.Tx) (err error) { got, err = tx.PhoneCodes(); return err })
		return got
	}
	bed.Same(t, "codes, newest first", []studio.PhoneCode{later, first}, codes())
	later.Tries, later.Used, later.Phone = 3, bed.At.Add(time.Second), device
	bed.Write(t, s, func(tx studio.Tx) error { _, err := tx.SavePhoneCode(later); return err })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ForgetPhoneCodes(first.Ends.Add(time.Microsecond)) })
	bed.Same(t, "the one that did not end", []studio.PhoneCode{later}, codes())
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.SavePhoneCode(studio.PhoneCode{Hash: "cc", Person: 99, Made: bed.At, Ends: bed.At})
		return err
	})

	key := studio.PhoneKey{Device: device, Family: "0f", Turned: bed.At}
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
		bed.Same(t, "all of them", []studio.PhoneKey{key}, all)
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.PhoneKey(99); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.SavePhoneKey(studio.PhoneKey{Device: 99, Turned: bed.At}) })
}
