package bed

import (
	"time"

	"solander/access"
	"solander/studio"
)

// People adds somebody who may come in by everything that lets in.
func People(tx studio.Tx) error {
	made := time.Date(2031, 3, 4, 10, 11, 12, 345_678_000, time.UTC)
	id, err := tx.SavePerson(access.Person{Name: "Mara", Role: access.Owner, Handle: "h", Password: "p", TOTP: "GEZD", TOTPStep: 1 << 40, Made: made})
	if err != nil {
		return err
	}
	if _, err := tx.SaveDeviceKey(access.DeviceKey{Person: id, Name: "phone", Most: access.Helper, Hash: "k", Made: made}); err != nil {
		return err
	}
	if _, err := tx.SavePasskey(access.Passkey{Person: id, Name: "stick", Site: "localhost", Credential: "c", Body: []byte(`{"a": 1}`), Made: made}); err != nil {
		return err
	}
	if _, err := tx.SaveSession(access.Session{Person: id, Hash: "in no copy", Made: made}); err != nil {
		return err
	}
	return tx.SetRecoveryCodes(id, []access.RecoveryCode{{Person: id, Hash: "r", Used: made}, {Person: id, Hash: "s"}})
}
