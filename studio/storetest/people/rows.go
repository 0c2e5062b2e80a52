package people

import (
	"testing"
	"time"

	"solander/access"
	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// instant is when all happens that a test says itself.
var instant = time.Date(2031, 3, 4, 10, 11, 12, 345_678_000, time.UTC)

func person(name string, role access.Role) access.Person {
	return access.Person{Name: name, Role: role, Handle: "handle of " + name, Password: "$argon2id$…", TOTP: "GEZD", TOTPStep: 7, Made: instant, Until: instant.Add(time.Hour)}
}

func saved(t *testing.T, s studio.Store, p access.Person) access.Person {
	t.Helper()
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		p.ID, err = tx.SavePerson(p)
		return err
	})
	return p
}

func personsKept(t *testing.T, s studio.Store) {
	nell, mara := saved(t, s, person("Nell", access.Owner)), saved(t, s, person("Mara", access.Reader))
	mara.Role, mara.Password, mara.Until, mara.Ended = access.Helper, "", time.Time{}, instant
	saved(t, s, mara)
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Persons()
		bed.Same(t, "by name", []access.Person{mara, nell}, all)
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.SavePerson(person("Nell", access.Reader)); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.SavePerson(access.Person{ID: 99, Name: "Odo", Role: access.Owner, Handle: "x"})
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Person(99); return err })
}

func namesStay(t *testing.T, s studio.Store) {
	p := saved(t, s, person("Nell", access.Owner))
	p.Name = "Nelly"
	if err := s.Write(t.Context(), func(tx studio.Tx) error { _, err := tx.SavePerson(p); return err }); err == nil {
		t.Error("she is called otherwise now")
	}
}

func ownerStays(t *testing.T, s studio.Store) {
	first, second := saved(t, s, person("Mara", access.Owner)), saved(t, s, person("Nell", access.Owner))
	second.Ended = instant
	saved(t, s, second)
	for what, change := range map[string]func(*access.Person){
		"ends":             func(p *access.Person) { p.Ended = instant },
		"becomes a reader": func(p *access.Person) { p.Role = access.Reader },
		"both":             func(p *access.Person) { p.Role, p.Ended = access.Helper, instant },
	} {
		p := first
		change(&p)
		if err := s.Write(t.Context(), func(tx studio.Tx) error { _, err := tx.SavePerson(p); return err }); !fault.Is(err, fault.Refused) {
			t.Errorf("the last owner %s: %v", what, err)
		}
	}
}

func rowsKept(t *testing.T, s studio.Store) {
	p := saved(t, s, person("Mara", access.Owner))
	x := access.Session{Person: p.ID, Hash: "a session's", Browser: "one", Made: instant, Seen: instant.Add(time.Minute), Proved: instant}
	y := access.Session{Person: p.ID, Hash: "another's", Browser: "two", Made: instant, Seen: instant.Add(-time.Hour), Proved: instant}
	k := access.DeviceKey{Person: p.ID, Name: "phone", Most: access.Helper, Hash: "a key's", Made: instant, Seen: instant, Proved: instant, Revoked: instant}
	c := access.Passkey{Person: p.ID, Name: "stick", Site: "localhost", Credential: "Y3JlZA", Body: []byte(`{"a": 1}`), Made: instant, Used: instant}
	codes := []access.RecoveryCode{{Person: p.ID, Hash: "a"}, {Person: p.ID, Hash: "b"}}
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		if x.ID, err = tx.SaveSession(x); err != nil {
			return err
		}
		if y.ID, err = tx.SaveSession(y); err != nil {
			return err
		}
		if k.ID, err = tx.SaveDeviceKey(k); err != nil {
			return err
		}
		if c.ID, err = tx.SavePasskey(c); err != nil {
			return err
		}
		if err := tx.SetRecoveryCodes(p.ID, append(codes, access.RecoveryCode{Person: p.ID, Hash: "old"})); err != nil {
			return err
		}
		if err := tx.SetRecoveryCodes(p.ID, codes); err != nil {
			return err
		}
		return tx.UseRecoveryCode(p.ID, "b", instant)
	})
	codes[1].Used = instant
	bed.Read(t, s, func(tx studio.Tx) error {
		got, err := tx.Session("a session's")
		bed.Same(t, "a session", x, got)
		if err != nil {
			return err
		}
		both, err := tx.Sessions(p.ID)
		bed.Same(t, "sessions, the latest first", []access.Session{y, x}, both)
		if err != nil {
			return err
		}
		key, err := tx.DeviceKeyOf("a key's")
		bed.Same(t, "a device", k, key)
		if err != nil {
			return err
		}
		pass, err := tx.PasskeyOf("Y3JlZA")
		bed.Same(t, "a passkey", c, pass)
		if err != nil {
			return err
		}
		left, err := tx.RecoveryCodes(p.ID)
		bed.Same(t, "codes", codes, left)
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { return tx.UseRecoveryCode(p.ID, "b", instant) })
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { d := c; d.ID = 0; _, err := tx.SavePasskey(d); return err })
	for what, add := range map[string]func(studio.Tx) error{
		"session": func(tx studio.Tx) error { _, err := tx.SaveSession(access.Session{Person: 99, Hash: "x"}); return err },
		"device": func(tx studio.Tx) error {
			_, err := tx.SaveDeviceKey(access.DeviceKey{Person: 99, Hash: "x"})
			return err
		},
		"codes": func(tx studio.Tx) error { return tx.SetRecoveryCodes(99, codes) },
	} {
		if err := s.Write(t.Context(), add); !fault.Is(err, fault.Missing) {
			t.Errorf("a %s of nobody: %v", what, err)
		}
	}
	bed.Write(t, s, func(tx studio.Tx) error { return tx.ForgetSessions(instant) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Session("another's"); return err })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.EndSessions(p.ID) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Session("a session's"); return err })
	bed.Write(t, s, func(tx studio.Tx) error { return tx.DropPasskey(c.ID) })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.PasskeyOf("Y3JlZA"); return err })
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.SaveFailures(access.Failures{Subject: "a", Count: 3, Last: instant})
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.SaveFailures(access.Failures{Subject: "a", Count: 4, Last: instant})
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		f, err := tx.Failures("a")
		bed.Same(t, "failures", access.Failures{Subject: "a", Count: 4, Last: instant}, f)
		if err != nil {
			return err
		}
		return tx.ForgetFailures(instant.Add(time.Second))
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		f, err := tx.Failures("a")
		bed.Same(t, "failures that were forgotten", access.Failures{Subject: "a"}, f)
		return err
	})
}

func ceremonies(t *testing.T, s studio.Store) {
	bed.Write(t, s, func(tx studio.Tx) error {
		if err := tx.AddCeremony(access.Ceremony{Key: "a", Body: []byte(`1`), Until: tx.Now().Add(time.Hour)}); err != nil {
			return err
		}
		return tx.AddCeremony(access.Ceremony{Key: "late", Body: []byte(`1`), Until: tx.Now().Add(-time.Second)})
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.TakeCeremony("late"); return err })
	bed.Write(t, s, func(tx studio.Tx) error {
		c, err := tx.TakeCeremony("a")
		bed.Same(t, "what was kept", "1", string(c.Body))
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.TakeCeremony("a"); return err })
}
