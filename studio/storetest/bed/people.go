package bed

import (
	"time"

	"solander/studio"
)

// People adds somebody who may come in by everything that lets in.
func People(tx studio.Tx) error {
	made := time.Date(2031, 3, 4, 10, 11, 12, 345_678_000, time.UTC)
	id, err := tx.SavePerson(studio.Person{Name: "Mara", Role: studio.RoleOwner, Handle: "h", Password: "p", TOTP: "GEZD", TOTPStep: 1 << 40, Made: made})
	if err != nil {
		return err
	}
	if _, err := tx.SaveDeviceKey(studio.DeviceKey{Person: id, Name: "phone", Most: studio.RoleHelper, Hash: "k", Made: made}); err != nil {
		return err
	}
	if _, err := tx.SavePasskey(studio.Passkey{Person: id, Name: "stick", Site: "localhost", Credential: "c", Body: []byte(`{"a": 1}`), Made: made}); err != nil {
		return err
	}
	if _, err := tx.SaveSession(studio.Session{Person: id, Hash: "in no copy", Made: made}); err != nil {
		return err
	}
	return tx.SetRecoveryCodes(id, []studio.RecoveryCode{{Person: id, Hash: "r", Used: made}, {Person: id, Hash: "s"}})
}
