package people

import (
	"testing"
	"time"

	"solander/fault"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// instant is when all happens that a test says itself.
var instant = time.Date(2031, 3, 4, 10, 11, 12, 345_678_000, time.UTC)

func person(name string, role studio.Role) studio.Person {
	return studio.Person{Name: name, Role: role, Handle: "handle of " + name, Password: "$argon2id$…", TOTP: "GEZD", TOTPStep: 7, Made: instant, Until: instant.Add(time.Hour)}
}

func saved(t *testing.T, s studio.Store, p studio.Person) studio.Person {
	t.Helper()
	bed.Write(t, s, func(tx studio.Tx) (err error) {
		p.ID, err = tx.SavePerson(p)
		return err
	})
	return p
}

func personsKept(t *testing.T, s studio.Store) {
	nell, mara := saved(t, s, person("Nell", studio.RoleOwner)), saved(t, s, person("Mara", studio.RoleReader))
	mara.Role, mara.Password, mara.Until, mara.Ended = studio.RoleHelper, "", time.Time{}, instant
	saved(t, s, mara)
	bed.Read(t, s, func(tx studio.Tx) error {
		all, err := tx.Persons()
		bed.Same(t, "by name", []studio.Person{mara, nell}, all)
		return err
	})
	bed.Refused(t, s, fault.Taken, func(tx studio.Tx) error { _, err := tx.SavePerson(person("Nell", studio.RoleReader)); return err })
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error {
		_, err := tx.SavePerson(studio.Person{ID: 99, Name: "Odo", Role: studio.RoleOwner, Handle: "x"})
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.Person(99); return err })
}

func namesStay(t *testing.T, s studio.Store) {
	p := saved(t, s, person("Nell", studio.RoleOwner))
	p.Name = "Nelly"
	if err := s.Write(t.Context(), func(tx studio.Tx) error { _, err := tx.SavePerson(p); return err }); err == nil {
		t.Error("she is called otherwise now")
	}
}

func ownerStays(t *testing.T, s studio.Store) {
	first, second := saved(t, s, person("Mara", studio.RoleOwner)), saved(t, s, person("Nell", studio.RoleOwner))
	second.Ended = instant
	saved(t, s, second)
	for what, change := range map[string]func(*studio.Person){
		"ends":             func(p *studio.Person) { p.Ended = instant },
		"becomes a reader": func(p *studio.Person) { p.Role = studio.RoleReader },
		"both":             func(p *studio.Person) { p.Role, p.Ended = studio.RoleHelper, instant },
	} {
		p := first
		change(&p)
		if err := s.Write(t.Context(), func(tx studio.Tx) error { _, err := tx.SavePerson(p); return err }); !fault.Is(err, fault.Refused) {
			t.Errorf("the last owner %s: %v", what, err)
		}
	}
}

func rowsKept(t *testing.T, s studio.Store) {
	p := saved(t, s, person("Mara", studio.RoleOwner))
	x := studio.Session{Person: p.ID, Hash: "a session's", Browser: "one", Made: instant, Seen: instant.Add(time.Minute), Proved: instant}
	y := studio.Session{Person: p.ID, Hash: "another's", Browser: "two", Made: instant, Seen: instant.Add(-time.Hour), Proved: instant}
	k := studio.DeviceKey{Person: p.ID, Name: "phone", Most: studio.RoleHelper, Hash: "a key's", Made: instant, Seen: instant, Proved: instant, Revoked: instant}
	c := studio.Passkey{Person: p.ID, Name: "stick", Site: "localhost", Credential: "Y3JlZA", Body: []byte(`{"a": 1}`), Made: instant, Used: instant}
	codes := []studio.RecoveryCode{{Person: p.ID, Hash: "a"}, {Person: p.ID, Hash: "b"}}
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
		if err := tx.SetRecoveryCodes(p.ID, append(codes, studio.RecoveryCode{Person: p.ID, Hash: "old"})); err != nil {
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
		bed.Same(t, "sessions, the latest first", []studio.Session{y, x}, both)
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
		"session": func(tx studio.Tx) error { _, err := tx.SaveSession(studio.Session{Person: 99, Hash: "x"}); return err },
		"device": func(tx studio.Tx) error {
			_, err := tx.SaveDeviceKey(studio.DeviceKey{Person: 99, Hash: "x"})
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
		return tx.SaveFailures(studio.Failures{Subject: "a", Count: 3, Last: instant})
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		return tx.SaveFailures(studio.Failures{Subject: "a", Count: 4, Last: instant})
	})
	bed.Write(t, s, func(tx studio.Tx) error {
		f, err := tx.Failures("a")
		bed.Same(t, "failures", studio.Failures{Subject: "a", Count: 4, Last: instant}, f)
		if err != nil {
			return err
		}
		return tx.ForgetFailures(instant.Add(time.Second))
	})
	bed.Read(t, s, func(tx studio.Tx) error {
		f, err := tx.Failures("a")
		bed.Same(t, "failures that were forgotten", studio.Failures{Subject: "a"}, f)
		return err
	})
}

func ceremonies(t *testing.T, s studio.Store) {
	bed.Write(t, s, func(tx studio.Tx) error {
		if err := tx.AddCeremony(studio.Ceremony{Key: "a", Body: []byte(`1`), Until: tx.Now().Add(time.Hour)}); err != nil {
			return err
		}
		return tx.AddCeremony(studio.Ceremony{Key: "late", Body: []byte(`1`), Until: tx.Now().Add(-time.Second)})
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.TakeCeremony("late"); return err })
	bed.Write(t, s, func(tx studio.Tx) error {
		c, err := tx.TakeCeremony("a")
		bed.Same(t, "what was kept", "1", string(c.Body))
		return err
	})
	bed.Refused(t, s, fault.Missing, func(tx studio.Tx) error { _, err := tx.TakeCeremony("a"); return err })
}
