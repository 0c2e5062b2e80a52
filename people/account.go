package people

import (
	"context"
	"fmt"
	"slices"
	"time"

	"solander/access"
	"solander/fault"
	"solander/people/password"
	"solander/studio"
)

// firstFor is how long a first password is good, which somebody else knows. Source: ASVS 5.0, 6.4.1.
const firstFor = 72 * time.Hour

// NewPerson is a person with a first password: it is shown this once, and she chooses her own when she signs in by it.
type NewPerson struct {
	access.Person
	First string `json:"first_password"`
}

// byOwner refuses what only an owner may, as it stands in this very transaction: who was an owner when the page was asked for may be
// none any more. At the command line nobody is asked: whoever may read the studio's file may do anything to it.
func (t *Door) byOwner(ctx context.Context) error {
	who := Asking(ctx)
	switch {
	case !who.Known():
		return nil
	case who.Alone:
		all, err := t.Persons()
		if err == nil && len(all) > 0 {
			return unknown()
		}
		return err
	}
	p, err := t.active(who.Person.ID)
	if err == nil && (p.Role != access.Owner || who.Role != access.Owner) {
		return fault.New(fault.Denied, "only an owner may do this").ToMend("ask an owner")
	}
	return err
}

// Add lets somebody sign in, by a first password. Faults: Invalid; Taken; Refused when there would be accounts and no owner; Denied.
func Add(ctx context.Context, s *studio.Studio, name string, role access.Role) (NewPerson, error) {
	first, kept, err := firstPassword(s)
	if err != nil {
		return NewPerson{}, err
	}
	return studio.Got(ctx, s, write, func(t *Door) (NewPerson, error) {
		if err := t.byOwner(ctx); err != nil {
			return NewPerson{}, err
		}
		all, err := t.Persons()
		if err != nil {
			return NewPerson{}, err
		}
		if len(all) == 0 && role != access.Owner {
			return NewPerson{}, fault.New(fault.Refused, "there is no owner yet").In("role").ToMend("make the owner's account first: your own")
		}
		p, err := t.add(s, access.Person{Name: name, Role: role, Password: kept, Until: t.Now.Add(firstFor)})
		return NewPerson{p, first}, err
	})
}

func firstPassword(s *studio.Studio) (first, kept string, err error) {
	if first, err = word(s.Random); err != nil {
		return "", "", err
	}
	kept, err = password.Keep(s.Random, first)
	return first, kept, err
}

// SetRole changes what a person may do, from her next request on. Faults: Missing; Refused when no owner would be left; Denied.
func SetRole(ctx context.Context, s *studio.Studio, id int64, role access.Role) (access.Person, error) {
	return change(ctx, s, id, func(t *Door, p *access.Person) error {
		if p.Role == role {
			return nil
		}
		p.Role = role
		if err := p.Validate(); err != nil {
			return err
		}
		return t.Note(0, "%s may now come in as %s", p.Name, role.Word())
	})
}

// End ends an account at once, everywhere; her name stays where it stands. Faults: Missing; Refused when no owner would be left; Denied.
func End(ctx context.Context, s *studio.Studio, id int64) (access.Person, error) {
	return change(ctx, s, id, func(t *Door, p *access.Person) error {
		p.Ended = t.Now
		if err := t.everywhere(*p); err != nil {
			return err
		}
		return t.Note(0, "%s may come in no more", p.Name)
	})
}

// change changes a person who did not end.
func change(ctx context.Context, s *studio.Studio, id int64, f func(*Door, *access.Person) error) (access.Person, error) {
	return studio.Got(ctx, s, write, func(t *Door) (access.Person, error) {
		if err := t.byOwner(ctx); err != nil {
			return access.Person{}, err
		}
		p, err := t.Person(id)
		if err != nil {
			return p, err
		}
		if !p.Active() {
			return p, fault.New(fault.Refused, "%s ended already", p.Name).ToMend("add an account under another name")
		}
		if err := f(t, &p); err != nil {
			return p, err
		}
		_, err = t.SavePerson(p)
		return p, err
	})
}

// Readmit lets somebody in again who lost what lets in: a first password, no second factor, no passkey, no session, no device, and
// nothing counted against her. Faults: Missing, Refused, Denied.
func Readmit(ctx context.Context, s *studio.Studio, id int64) (NewPerson, error) {
	first, kept, err := firstPassword(s)
	if err != nil {
		return NewPerson{}, err
	}
	p, err := change(ctx, s, id, func(t *Door, p *access.Person) error {
		p.Password, p.Until, p.TOTP, p.TOTPStep = kept, t.Now.Add(firstFor), "", 0
		if err := t.everywhere(*p); err != nil {
			return err
		}
		keys, err := t.Passkeys(p.ID)
		if err != nil {
			return err
		}
		for _, k := range keys {
			if err := t.DropPasskey(k.ID); err != nil {
				return err
			}
		}
		if err := t.SetRecoveryCodes(p.ID, nil); err != nil {
			return err
		}
		if err := t.succeeded(attempt{account: p.Name}); err != nil {
			return err
		}
		return t.Note(0, "%s let in again by a first password: password, second factor, passkeys and devices of before let in no more", p.Name)
	})
	return NewPerson{p, first}, err
}

// everywhere ends all sessions of a person, and revokes her devices.
func (t *Door) everywhere(p access.Person) error {
	if err := t.EndSessions(p.ID); err != nil {
		return err
	}
	keys, err := t.DeviceKeys()
	if err != nil {
		return err
	}
	for _, k := range keys {
		if k.Person != p.ID || !k.Revoked.IsZero() {
			continue
		}
		k.Revoked = t.Now
		if _, err := t.SaveDeviceKey(k); err != nil {
			return err
		}
	}
	return nil
}

// SignOut ends the session that asks, and revokes the device's key that its browser holds; "" = none.
func SignOut(ctx context.Context, s *studio.Studio, key string) error {
	who := Asking(ctx)
	if !who.Known() || who.Alone {
		return nil
	}
	return write(ctx, s, func(t *Door) error {
		x, err := t.sessionOf(who)
		if err == nil {
			err = t.EndSession(x.ID)
		}
		if err != nil && !fault.Is(err, fault.Unknown) {
			return err
		}
		k, err := t.DeviceKeyOf(studio.HashOf(key))
		if fault.Is(err, fault.Missing) || err == nil && (k.Person != who.Person.ID || !k.Revoked.IsZero()) {
			return nil
		}
		if err != nil {
			return err
		}
		return t.revoke(k)
	})
}

// SignOutEverywhere ends all sessions of a person, this one too, and revokes her devices. An owner does it for anybody. Faults: Missing,
// Denied.
func SignOutEverywhere(ctx context.Context, s *studio.Studio, id int64) (access.Person, error) {
	return studio.Got(ctx, s, write, func(t *Door) (access.Person, error) {
		if Asking(ctx).Person.ID != id {
			if err := t.byOwner(ctx); err != nil {
				return access.Person{}, err
			}
		}
		p, err := t.Person(id)
		if err != nil {
			return p, err
		}
		if err := t.everywhere(p); err != nil {
			return p, err
		}
		return p, t.Note(0, "%s signed out everywhere", p.Name)
	})
}

// EndOneSession ends one of one's own sessions. Faults: Missing.
func EndOneSession(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Door) error {
		all, err := t.Sessions(Asking(ctx).Person.ID)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(all, func(x access.Session) bool { return x.ID == id }) {
			return fault.New(fault.Missing, "you have no such session").ToMend("open your account anew")
		}
		return t.EndSession(id)
	})
}

// SetPassword gives oneself another password; all other browsers are signed out. Who came by a first password chooses her own, without
// the old one. Faults: Invalid; Unknown when the old one is wrong; TooMany.
func SetPassword(ctx context.Context, s *studio.Studio, old, word, address string) (Entered, error) {
	who := Asking(ctx)
	p, a := who.Person, attempt{who.Person.Name, address}
	if p.ID == 0 {
		return Entered{}, unknown()
	}
	set, err := s.Settings(ctx)
	if err != nil {
		return Entered{}, err
	}
	if err := password.Good(word, p.Name, set.Studio, set.Artist); err != nil {
		return Entered{}, err
	}
	if p.Until.IsZero() {
		if _, err := studio.Got(ctx, s, apart, func(t *Door) (int, error) { return t.try(a) }); err != nil {
			return Entered{}, err
		}
		if is, _ := password.Is(p.Password, old); !is {
			return Entered{}, fault.New(fault.Unknown, "that is not your password").In("old").ToMend("type the one of now").
				Because(fmt.Errorf("account %d: the old password is wrong", p.ID))
		}
	} else if is, _ := password.Is(p.Password, word); is {
		return Entered{}, fault.Invalidf("password", "it is the first password").ToMend("choose one of your own")
	}
	kept, err := password.Keep(s.Random, word)
	if err != nil {
		return Entered{}, err
	}
	return studio.Got(ctx, s, write, func(t *Door) (Entered, error) {
		now, err := t.active(p.ID)
		if err != nil {
			return Entered{}, err
		}
		if now.Password != p.Password {
			return Entered{}, fault.New(fault.Changed, "the password was changed meanwhile").ToMend("sign in by that one")
		}
		now.Password, now.Until = kept, time.Time{}
		if _, err := t.SavePerson(now); err != nil {
			return Entered{}, err
		}
		if err := t.succeeded(a); err != nil {
			return Entered{}, err
		}
		if err := t.endOthers(who); err != nil {
			return Entered{}, err
		}
		if err := t.Note(0, "%s chose another password", p.Name); err != nil {
			return Entered{}, err
		}
		return t.proved(s, who, now)
	})
}

// endOthers ends all sessions of a person but the one that asks.
func (t *Door) endOthers(who Who) error {
	all, err := t.Sessions(who.Person.ID)
	if err != nil {
		return err
	}
	for _, x := range all {
		if x.ID != who.Session {
			if err := t.EndSession(x.ID); err != nil {
				return err
			}
		}
	}
	return nil
}
