// Package accounts keeps who may come in, and by what: persons, browsers that are signed in, keys of devices, passkeys, recovery codes,
// and the attempts that failed. Of what lets in only hashes are kept, but for the secret of a second factor.
package accounts

import (
	"time"

	"solander/access"
	"solander/fault"
	"solander/store/engine"
	"solander/store/table"
	"solander/store/words"
)

// Persons are those who may sign in, and those who might once.
var Persons = table.Make("persons", "person", func(p *access.Person) table.Columns {
	return table.Columns{
		"id", &p.ID, "name", &p.Name, "role", &p.Role, "handle", &p.Handle, "password", &p.Password, "password_until", &p.Until,
		"totp", &p.TOTP, "totp_step", &p.TOTPStep, "made_at", &p.Made, "ended_at", &p.Ended,
	}
})

// Keys are devices' own ways in.
var Keys = table.Make("device_keys", "device", func(k *access.DeviceKey) table.Columns {
	return table.Columns{
		"id", &k.ID, "person", &k.Person, "name", &k.Name, "most", &k.Most, "hash", &k.Hash, "made_at", &k.Made, "seen_at", &k.Seen,
		"proved_at", &k.Proved, "revoked_at", &k.Revoked,
	}
})

// Passkeys are public keys.
var Passkeys = table.Make("passkeys", "passkey", func(p *access.Passkey) table.Columns {
	return table.Columns{
		"id", &p.ID, "person", &p.Person, "name", &p.Name, "site", &p.Site, "credential", &p.Credential, "body", table.Raw(&p.Body),
		"made_at", &p.Made, "used_at", &p.Used,
	}
})

// Recovery are the codes for who lost the second factor.
var Recovery = table.Make("recovery_codes", "code", func(c *access.RecoveryCode) table.Columns {
	return table.Columns{"person", &c.Person, "hash", &c.Hash, "used_at", &c.Used}
})

// Sessions are browsers that are signed in.
var Sessions = table.Make("sessions", "session", func(s *access.Session) table.Columns {
	return table.Columns{
		"id", &s.ID, "person", &s.Person, "hash", &s.Hash, "browser", &s.Browser, "made_at", &s.Made, "seen_at", &s.Seen, "proved_at", &s.Proved,
	}
})

// Failed are the attempts to sign in that failed.
var Failed = table.Make("sign_in_failures", "attempt", func(f *access.Failures) table.Columns {
	return table.Columns{"subject", &f.Subject, "count", &f.Count, "last_at", &f.Last}
})

// Ceremonies are first halves of uses of passkeys.
var Ceremonies = table.Make("ceremonies", "use of a passkey", func(c *access.Ceremony) table.Columns {
	return table.Columns{"key", &c.Key, "body", table.Raw(&c.Body), "until_at", &c.Until}
})

// AccountRows are the accounts within one transaction.
type AccountRows struct{ conn *table.Conn }

// New are the accounts of a transaction.
func New(c *table.Conn) *AccountRows { return &AccountRows{c} }

// Persons returns all, by name.
func (t *AccountRows) Persons() ([]access.Person, error) {
	out, err := Persons.List(t.conn, "")
	words.ByName(out, func(p access.Person) (string, int64) { return p.Name, p.ID })
	return out, err
}

// Person reads a person. Faults: Missing.
func (t *AccountRows) Person(id int64) (access.Person, error) { return Persons.Get(t.conn, id) }

// SavePerson adds a person, or changes one. Faults: Taken when the name is in use; Refused when no owner would be left; Missing.
func (t *AccountRows) SavePerson(p access.Person) (int64, error) {
	taken := fault.New(fault.Taken, "there is somebody called %q already, or was", p.Name).ToMend("choose another name: the journal knows people by theirs").In("name")
	if p.ID != 0 && (!p.Active() || p.Role != access.Owner) {
		if err := t.ownerBeside(p); err != nil {
			return 0, err
		}
	}
	id, err := Persons.SaveNamed(t.conn, p, "name", p.Name, taken)
	return id, engine.When(err, engine.Trigger, noOwner())
}

func noOwner() *fault.Error {
	return fault.New(fault.Refused, "no owner would be left").ToMend("make somebody else an owner first").In("role")
}

// ownerBeside asks for an owner beside one who shall be none any more.
func (t *AccountRows) ownerBeside(p access.Person) error {
	was, err := t.Person(p.ID)
	if err != nil || was.Role != access.Owner || !was.Active() {
		return err
	}
	others, err := table.Values[int64](t.conn, `SELECT id FROM persons WHERE role = 'owner' AND ended_at = 0 AND id <> $1`, p.ID)
	if err == nil && len(others) == 0 {
		return noOwner()
	}
	return err
}

// Session reads the session of a token. Faults: Missing.
func (t *AccountRows) Session(hash string) (access.Session, error) {
	out, err := Sessions.List(t.conn, "WHERE hash = $1", hash)
	return table.Only(out, err, "a session of this token")
}

// Sessions returns those of a person, the latest first.
func (t *AccountRows) Sessions(person int64) ([]access.Session, error) {
	return Sessions.List(t.conn, "WHERE person = $1 ORDER BY id DESC", person)
}

// SaveSession adds a session or changes one. Faults: Missing.
func (t *AccountRows) SaveSession(s access.Session) (int64, error) {
	id, err := Sessions.Save(t.conn, s)
	return id, engine.When(err, engine.Foreign, engine.Missing("person %d", s.Person))
}

// EndSession ends a session. Faults: Missing.
func (t *AccountRows) EndSession(id int64) error { return Sessions.Drop(t.conn, id) }

// EndSessions ends all sessions of a person.
func (t *AccountRows) EndSessions(person int64) error {
	_, err := t.conn.Exec(`DELETE FROM sessions WHERE person = $1`, person)
	return err
}

// ForgetSessions ends those that were not seen since.
func (t *AccountRows) ForgetSessions(seen time.Time) error {
	_, err := t.conn.Exec(`DELETE FROM sessions WHERE seen_at < $1`, seen)
	return err
}

// DeviceKeys returns all, by name.
func (t *AccountRows) DeviceKeys() ([]access.DeviceKey, error) {
	out, err := Keys.List(t.conn, "")
	words.ByName(out, func(k access.DeviceKey) (string, int64) { return k.Name, k.ID })
	return out, err
}

// DeviceKey reads the key of a device. Faults: Missing.
func (t *AccountRows) DeviceKey(id int64) (access.DeviceKey, error) { return Keys.Get(t.conn, id) }

// DeviceKeyOf reads a key by its hash. Faults: Missing.
func (t *AccountRows) DeviceKeyOf(hash string) (access.DeviceKey, error) {
	out, err := Keys.List(t.conn, "WHERE hash = $1", hash)
	return table.Only(out, err, "a device of this key")
}

// SaveDeviceKey adds a key or changes one. Faults: Missing.
func (t *AccountRows) SaveDeviceKey(k access.DeviceKey) (int64, error) {
	id, err := Keys.Save(t.conn, k)
	return id, engine.When(err, engine.Foreign, engine.Missing("person %d", k.Person))
}

// Passkeys returns those of a person, the oldest first.
func (t *AccountRows) Passkeys(person int64) ([]access.Passkey, error) {
	return Passkeys.List(t.conn, "WHERE person = $1 ORDER BY id", person)
}

// PasskeyOf reads a passkey by its own id. Faults: Missing.
func (t *AccountRows) PasskeyOf(credential string) (access.Passkey, error) {
	out, err := Passkeys.List(t.conn, "WHERE credential = $1", credential)
	return table.Only(out, err, "this passkey")
}

// SavePasskey adds a passkey or changes one. Faults: Taken, Missing.
func (t *AccountRows) SavePasskey(p access.Passkey) (int64, error) {
	id, err := Passkeys.SaveNamed(t.conn, p, "credential", p.Credential, fault.New(fault.Taken, "this passkey is kept already").ToMend("use another one"))
	return id, engine.When(err, engine.Foreign, engine.Missing("person %d", p.Person))
}

// DropPasskey forgets a passkey. Faults: Missing.
func (t *AccountRows) DropPasskey(id int64) error { return Passkeys.Drop(t.conn, id) }

// RecoveryCodes returns those of a person, the used ones too.
func (t *AccountRows) RecoveryCodes(person int64) ([]access.RecoveryCode, error) {
	return Recovery.List(t.conn, "WHERE person = $1 ORDER BY hash", person)
}

// SetRecoveryCodes keeps codes in place of all that a person had.
func (t *AccountRows) SetRecoveryCodes(person int64, codes []access.RecoveryCode) error {
	if err := t.conn.Exists("persons", "person", person); err != nil {
		return err
	}
	if _, err := t.conn.Exec(`DELETE FROM recovery_codes WHERE person = $1`, person); err != nil {
		return err
	}
	for _, c := range codes {
		if _, err := Recovery.Insert(t.conn, c, ""); err != nil {
			return err
		}
	}
	return nil
}

// UseRecoveryCode notes that a code was used. Faults: Missing when there is none, or it was used before.
func (t *AccountRows) UseRecoveryCode(person int64, hash string, at time.Time) error {
	n, err := t.conn.Exec(`UPDATE recovery_codes SET used_at = $3 WHERE person = $1 AND hash = $2 AND used_at = 0`, person, hash, at)
	return table.Must(n > 0, err, "this code")
}

// Failures returns what failed under a subject.
func (t *AccountRows) Failures(subject string) (access.Failures, error) {
	out, err := Failed.List(t.conn, "WHERE subject = $1", subject)
	if err != nil || len(out) == 0 {
		return access.Failures{Subject: subject}, err
	}
	return out[0], nil
}

// SaveFailures keeps what failed under a subject.
func (t *AccountRows) SaveFailures(f access.Failures) error {
	_, err := Failed.Insert(t.conn, f, ` ON CONFLICT (subject) DO UPDATE SET count = excluded.count, last_at = excluded.last_at`)
	return err
}

// ForgetFailures forgets those whose last one lies before.
func (t *AccountRows) ForgetFailures(last time.Time) error {
	_, err := t.conn.Exec(`DELETE FROM sign_in_failures WHERE last_at < $1`, last)
	return err
}

// AddCeremony keeps the first half of a passkey's use, and forgets those that ran out.
func (t *AccountRows) AddCeremony(c access.Ceremony) error {
	if _, err := t.conn.Exec(`DELETE FROM ceremonies WHERE until_at < $1`, t.conn.Now()); err != nil {
		return err
	}
	waiting, err := table.Values[int64](t.conn, `SELECT count(*) FROM ceremonies`)
	if err != nil {
		return err
	}
	if waiting[0] >= mostCeremonies {
		return fault.New(fault.Busy, "too many began to sign in at once").ToMend("try again in some minutes, or use a password")
	}
	_, err = Ceremonies.Insert(t.conn, c, "")
	return err
}

// mostCeremonies bounds what nobody has to be known to begin.
const mostCeremonies = 1000

// TakeCeremony reads one and forgets it: it is used once. Faults: Missing when there is none, or it ran out.
func (t *AccountRows) TakeCeremony(key string) (access.Ceremony, error) {
	out, err := Ceremonies.List(t.conn, "WHERE key = $1 AND until_at >= $2", key, t.conn.Now())
	c, err := table.Only(out, err, "this use of a passkey")
	if err != nil {
		return c, err
	}
	_, err = t.conn.Exec(`DELETE FROM ceremonies WHERE key = $1`, key)
	return c, err
}
