package people

import (
	"context"
	"fmt"

	"solander/access"
	"solander/fault"
	"solander/studio"
)

// Demand says of whom a second factor is demanded who signs in from another machine than the studio's own. Who has none is led to set
// one up before anything else, and is never locked out by it; of whom it is demanded anew, every session is ended that a password alone began
// though there was a passkey. Faults: Invalid, Denied.
func Demand(ctx context.Context, s *studio.Studio, of access.Demand) error {
	if err := of.Validate(); err != nil {
		return err
	}
	return write(ctx, s, func(t *Door) error {
		if err := t.byOwner(ctx); err != nil {
			return err
		}
		was := t.Set.SecondFactor
		if was.Said() == of {
			return nil
		}
		t.Set.SecondFactor = of
		if err := t.SaveSettings(t.Set); err != nil {
			return err
		}
		if err := t.endHalf(Asking(ctx), was); err != nil {
			return err
		}
		return t.Note(0, "a second factor is demanded of %s who signs in from another machine", of)
	})
}

// endHalf ends the sessions of those of whom a second factor is demanded now and was not, who have a passkey and no codes: their password
// alone may have begun them. Who asks goes on.
func (t *Door) endHalf(who Who, was access.Demand) error {
	all, err := t.Persons()
	if err != nil {
		return err
	}
	for _, p := range all {
		if p.ID == who.Person.ID || !p.Active() || was.Of(p.Role) || !t.Set.SecondFactor.Of(p.Role) {
			continue
		}
		has, err := t.second(p)
		if err != nil {
			return err
		}
		if has == ByKeyAlone {
			if err := t.EndSessions(p.ID); err != nil {
				return err
			}
		}
	}
	return nil
}

// Second is what a person has beside the password.
type Second string

// What there may be.
const (
	None       Second = "none"
	ByCodes    Second = "codes"
	ByKeyAlone Second = "passkey" // and no codes
)

func (t *Door) second(p access.Person) (Second, error) {
	if p.TOTP != "" {
		return ByCodes, nil
	}
	keys, err := t.Passkeys(p.ID)
	if err != nil || len(keys) == 0 {
		return None, err
	}
	return ByKeyAlone, nil
}

// lacks reports whether a second factor is demanded of a person who has none.
func (t *Door) lacks(p access.Person) (bool, error) {
	if p.TOTP != "" || !t.Set.SecondFactor.Of(p.Role) {
		return false, nil
	}
	has, err := t.second(p)
	return has == None, err
}

// mayByWord refuses who comes from another machine by a password alone though she has a passkey, where more is demanded of her. It is said to
// who typed the right password. Faults: Unknown.
func (t *Door) mayByWord(p access.Person, away bool) error {
	if !away || p.TOTP != "" || !t.Set.SecondFactor.Of(p.Role) {
		return nil
	}
	if has, err := t.second(p); err != nil || has != ByKeyAlone {
		return err
	}
	return fault.New(fault.Unknown, "from another machine a password alone does not let you in: you have a passkey").
		ToMend("sign in by your passkey; or on the studio's own machine, and set up codes there").
		Because(fmt.Errorf("account %d: by a password alone, though there is a passkey", p.ID))
}

// Seconds tells of all persons what they have beside the password.
func Seconds(ctx context.Context, s *studio.Studio) (map[int64]Second, error) {
	return studio.Got(ctx, s, read, func(t *Door) (map[int64]Second, error) {
		all, err := t.Persons()
		if err != nil {
			return nil, err
		}
		out := map[int64]Second{}
		for _, p := range all {
			if out[p.ID], err = t.second(p); err != nil {
				return nil, err
			}
		}
		return out, nil
	})
}
