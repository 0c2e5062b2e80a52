package access

import "time"

// PhoneCode is a one-time secret that lets one phone in, from when it is made until it ends.
type PhoneCode struct {
	ID     int64
	Hash   string    // SHA-256 of it, in hex
	Person int64     // under whom the phone comes in
	Most   Role      // it may do no more than this role; "" = all that the person may
	Made   time.Time //
	Ends   time.Time //
	Tries  int       // wrong codes that came while it was open
	Used   time.Time // the zero time: not yet
	Phone  int64     // the device that used it; 0 = none yet
}

// PhoneKey is how the key of a device that is a phone turns: whenever it was in use for a while, the phone is given another. What comes by
// an old one then comes from another device.
type PhoneKey struct {
	Device  int64
	Family  string    // SHA-256, in hex, of what all keys of the phone begin with
	Before  string    // SHA-256 of the key before the one that stands with the device; "" = there was none
	Turned  time.Time // when the key that stands with the device was given
	Settled bool      // it was used: the phone has it
	Cloned  time.Time // when an old key came back: the phone is ended by that; the zero time: never
	Hidden  bool      // she has seen what became of it
}

// PhoneStore keeps phones that were let in, and the codes that let them in. Neither is in a copy: whoever works from a copy lets her phones
// in anew.
type PhoneStore interface {
	PhoneCodes() ([]PhoneCode, error) // newest first
	// SavePhoneCode adds a code (ID 0) or changes one. Faults: Missing.
	SavePhoneCode(PhoneCode) (int64, error)
	// ForgetPhoneCodes forgets those that ended before.
	ForgetPhoneCodes(ended time.Time) error

	PhoneKeys() ([]PhoneKey, error) // by device
	PhoneKey(device int64) (PhoneKey, error)
	SavePhoneKey(PhoneKey) error // adds it, or changes it
}
