// Package access says who may come in, and by what: people with their roles, sessions in a browser, keys of devices and phones, second
// factors.
package access

import (
	"encoding/json"
	"slices"
	"time"

	"solander/fault"
	"solander/order"
)

// Role is what a person may do here, by the work of the trade.
type Role string

// The roles. What each may do stands in one table, web/gate/rights.go.
const (
	Owner  Role = "owner"  // everything
	Helper Role = "helper" // bench, signing, packing, hand-over, counting, scanning, the till
	Reader Role = "reader" // looks, and changes nothing
)

// Roles returns all roles, the one that may most first.
func Roles() []Role { return []Role{Owner, Helper, Reader} }

// Word is the role as it is said on a page.
func (r Role) Word() string {
	if r == Helper {
		return "bench helper"
	}
	return string(r)
}

// Person is someone who may sign in. A person is never deleted, and never called otherwise: the register and the journal name who did
// what, and must go on to mean the same. One who left is ended.
type Person struct {
	ID       int64     `json:"id"`
	Name     string    `json:"name"`
	Role     Role      `json:"role"`
	Handle   string    `json:"-"`                       // 256 bits of chance as text, by which passkeys know the person (WebAuthn: user handle)
	Password string    `json:"-"`                       // as people/password keeps it; "" = none
	Until    time.Time `json:"password_until,omitzero"` // of a password that must be changed at the first sign-in; the zero time: her own
	TOTP     string    `json:"-"`                       // the secret of the second factor, in base32; "" = none
	TOTPStep int64     `json:"-"`                       // the step of the latest code that was taken: none before it, nor itself, is taken again
	Made     time.Time `json:"made_at"`
	Ended    time.Time `json:"ended_at,omitzero"` // the zero time: may sign in
}

// Active reports whether the person may sign in.
func (p Person) Active() bool { return p.Ended.IsZero() }

// Validate looks at a person alone. Faults: Invalid, one a field.
func (p Person) Validate() error {
	var l fault.List
	l.Add(order.Text("name", p.Name, 80, true))
	l.Check(slices.Contains(Roles(), p.Role), "role", "there is no such role", "choose owner, helper or reader")
	return l.Err()
}

// Session is a browser in which a person signed in.
type Session struct {
	ID      int64     `json:"id"`
	Person  int64     `json:"person"`
	Hash    string    `json:"-"`       // SHA-256 of its token, in hex; the token stands in the browser alone
	Browser string    `json:"browser"` // what it says of itself, shortened
	Made    time.Time `json:"made_at"` // signed in
	Seen    time.Time `json:"seen_at"` // to the minute
	Proved  time.Time `json:"proved_at"`
}

// DeviceKey is a device's own way in, under a person: a phone that was let in, a computer that is trusted. It does not end by itself;
// it is revoked by its name.
type DeviceKey struct {
	ID      int64     `json:"id"`
	Person  int64     `json:"person"`
	Name    string    `json:"name"`                // "kitchen phone"
	Most    Role      `json:"most,omitempty"`      // with it the person may do no more than this role; "" = all that she may
	Hash    string    `json:"-"`                   // SHA-256 of the key, in hex
	Made    time.Time `json:"made_at"`             //
	Seen    time.Time `json:"seen_at,omitzero"`    // to the minute; the zero time: never
	Proved  time.Time `json:"-"`                   // when she last proved on it who she is
	Revoked time.Time `json:"revoked_at,omitzero"` // the zero time: it is in use
}

// Passkey is a public key by which a person signs in (W3C, Web Authentication).
type Passkey struct {
	ID         int64           `json:"id"`
	Person     int64           `json:"person"`
	Name       string          `json:"name"`
	Site       string          `json:"site"` // the name of the machine that it is good for (relying party)
	Credential string          `json:"-"`    // its own id, base64url
	Body       json.RawMessage `json:"-"`    // the public key and what is known of it, as people/passkey writes it
	Made       time.Time       `json:"made_at"`
	Used       time.Time       `json:"used_at,omitzero"`
}

// RecoveryCode lets a person in once who lost the second factor.
type RecoveryCode struct {
	Person int64
	Hash   string    // SHA-256 of the code, in hex: it is 80 bits of chance
	Used   time.Time // the zero time: not yet
}

// Failures are the attempts to sign in that failed one after the other, under an account or from an address. They stand in the
// store, so that several servers count together.
type Failures struct {
	Subject string // "account:…" or "address:…", each a hash: what was typed as a name may be a password
	Count   int
	Last    time.Time
}

// Ceremony is what a server keeps between the two halves of a passkey's use.
type Ceremony struct {
	Key   string // SHA-256 of what the browser holds, in hex
	Body  json.RawMessage
	Until time.Time
}

// Store keeps who may come in, and by what.
type Store interface {
	Persons() ([]Person, error) // by name, those who ended too
	Person(id int64) (Person, error)
	// SavePerson adds a person (ID 0) or changes one. Faults: Taken when the name is in use; Refused when no owner would be left.
	SavePerson(Person) (int64, error)

	Session(hash string) (Session, error) // Missing when it ended
	Sessions(person int64) ([]Session, error)
	SaveSession(Session) (int64, error)
	EndSession(id int64) error
	EndSessions(person int64) error      // all of a person
	ForgetSessions(seen time.Time) error // those not seen since

	DeviceKeys() ([]DeviceKey, error) // by name, the revoked ones too
	DeviceKey(id int64) (DeviceKey, error)
	DeviceKeyOf(hash string) (DeviceKey, error)
	SaveDeviceKey(DeviceKey) (int64, error)

	Passkeys(person int64) ([]Passkey, error)
	PasskeyOf(credential string) (Passkey, error)
	SavePasskey(Passkey) (int64, error) // Taken when the credential is kept already
	DropPasskey(id int64) error

	RecoveryCodes(person int64) ([]RecoveryCode, error)
	SetRecoveryCodes(person int64, codes []RecoveryCode) error // in place of all that there were
	UseRecoveryCode(person int64, hash string, at time.Time) error

	Failures(subject string) (Failures, error) // none: the zero Failures, with the subject
	SaveFailures(Failures) error
	ForgetFailures(last time.Time) error // whose last one lies before

	AddCeremony(Ceremony) error // and forgets those that ran out
	TakeCeremony(key string) (Ceremony, error)
}
