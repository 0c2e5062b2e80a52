package phones

import (
	"context"
	"crypto/subtle"
	"io"
	"slices"
	"strings"
	"time"

	"solander/access"
	"solander/fault"
	"solander/people"
	"solander/studio"
)

const (
	// CodeLasts is how long a code lets a phone in.
	CodeLasts = 10 * time.Minute
	// MostTries is how many wrong codes end the one that is open.
	MostTries = 10

	told    = 24 * time.Hour // how long it is known what became of a code
	symbols = 12             // of a code: 60 bits, which nobody tries out in ten minutes, of ten tries
)

// letters are those of a code: nobody takes one for another. Source: D. Crockford, Base 32 (from memory).
const letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

// Offer is a code just made: nobody can show it again.
type Offer struct {
	Code string    `json:"code"` // in groups of four
	Ends time.Time `json:"ends_at"`
}

// Invite makes a code that lets one phone in under a person. The one before ends by it. Faults: Invalid, Missing, Refused.
func Invite(ctx context.Context, s *studio.Studio, person int64, most access.Role) (Offer, error) {
	if most != "" && !slices.Contains(access.Roles(), most) {
		return Offer{}, fault.Invalidf("most", "there is no such role").ToMend("choose owner, helper or reader")
	}
	code, err := draw(s.Random)
	if err != nil {
		return Offer{}, err
	}
	return studio.Got(ctx, s, write, func(t *Hall) (Offer, error) {
		p, err := t.Person(person)
		if err != nil {
			return Offer{}, fault.InField(err, "person")
		}
		if !p.Active() {
			return Offer{}, fault.New(fault.Refused, "%s ended", p.Name).In("person").ToMend("let the phone in under somebody else")
		}
		if err := t.endCodes(); err != nil {
			return Offer{}, err
		}
		c := access.PhoneCode{Hash: studio.HashOf(code), Person: p.ID, Most: most, Made: t.Now, Ends: t.Now.Add(CodeLasts)}
		if _, err := t.SavePhoneCode(c); err != nil {
			return Offer{}, err
		}
		return Offer{grouped(code), c.Ends}, t.Note(0, "a code for a phone made, under %s", p.Name)
	})
}

// Withdraw ends the code that is open, if there is one.
func Withdraw(ctx context.Context, s *studio.Studio) error { return write(ctx, s, (*Hall).endCodes) }

// endCodes ends the codes that are open, and forgets those of long ago.
func (t *Hall) endCodes() error {
	if err := t.ForgetPhoneCodes(t.Now.Add(-told)); err != nil {
		return err
	}
	all, err := t.PhoneCodes()
	if err != nil {
		return err
	}
	for _, c := range all {
		if !open(c, t.Now) {
			continue
		}
		c.Ends = t.Now
		if _, err := t.SavePhoneCode(c); err != nil {
			return err
		}
	}
	return nil
}

func open(c access.PhoneCode, now time.Time) bool { return c.Used.IsZero() && now.Before(c.Ends) }

func draw(chance io.Reader) (string, error) {
	b := make([]byte, symbols)
	if _, err := io.ReadFull(chance, b); err != nil {
		return "", err
	}
	for i := range b {
		b[i] = letters[b[i]%32] // 256 is a multiple of 32: each is as likely as the others
	}
	return string(b), nil
}

func grouped(code string) string { return code[:4] + "-" + code[4:8] + "-" + code[8:] }

// meant returns a code as it was drawn from one as people type it. Faults: Invalid.
func meant(typed string) (string, error) {
	plain := strings.NewReplacer("-", "", " ", "", "O", "0", "I", "1", "L", "1").Replace(strings.ToUpper(strings.TrimSpace(typed)))
	if len(plain) != symbols || strings.Trim(plain, letters) != "" {
		return "", fault.Invalidf("code", "a code has twelve letters and digits").ToMend("type it as the computer shows it, or let the phone read the picture beside it")
	}
	return plain, nil
}

// Let is a phone just let in, with its key: nobody but the phone is given it.
type Let struct {
	Phone access.DeviceKey
	Key   string
}

// LetIn lets the phone in that has a code, under a name. Faults: Invalid; Unknown for a code that nobody made, the same while none is open;
// Refused for one that was used, or ended.
func LetIn(ctx context.Context, s *studio.Studio, typed, name string) (Let, error) {
	code, err := meant(typed)
	if err != nil {
		return Let{}, err
	}
	hash := studio.HashOf(code)
	waits, err := studio.Got(ctx, s, read, func(t *Hall) (bool, error) {
		c, all, err := t.codeOf(hash)
		return c != nil || slices.ContainsFunc(all, func(c access.PhoneCode) bool { return open(c, t.Now) }), err
	})
	if err != nil || !waits { // what comes while no code is open writes nothing
		return Let{}, firstOf(err, noCode())
	}
	var wrong error
	let, err := studio.Got(ctx, s, write, func(t *Hall) (let Let, err error) {
		let, wrong, err = t.letIn(s, hash, name)
		return let, err
	})
	return let, firstOf(err, wrong)
}

func firstOf(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

func noCode() error {
	return fault.New(fault.Unknown, "no phone is let in by this code").In("code").ToMend("look at it again, or make another on the computer: Studio, Let a phone in")
}

// codeOf returns the code of a hash, nil for none, and all codes.
func (t *Hall) codeOf(hash string) (found *access.PhoneCode, all []access.PhoneCode, err error) {
	if all, err = t.PhoneCodes(); err != nil {
		return nil, nil, err
	}
	for i := range all {
		if same(all[i].Hash, hash) {
			found = &all[i]
		}
	}
	return found, all, nil
}

func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// letIn is LetIn within the transaction that uses the code up. wrong is what is wrong with the code, though something is written.
func (t *Hall) letIn(s *studio.Studio, hash, name string) (let Let, wrong, err error) {
	c, all, err := t.codeOf(hash)
	switch {
	case err != nil:
		return let, nil, err
	case c == nil:
		return let, noCode(), t.guessed(all)
	case !c.Used.IsZero():
		return let, nil, fault.New(fault.Refused, "this code has let a phone in already, at %s", t.clock(c.Used)).In("code").ToMend("make another: each lets one phone in")
	case !open(*c, t.Now):
		return let, nil, fault.New(fault.Refused, "this code ended at %s", t.clock(c.Ends)).In("code").ToMend("make another on the computer: Studio, Let a phone in")
	}
	made, err := people.In(t.Turn).Grant(s, people.Grant{Person: c.Person, Name: name, Most: c.Most})
	if err != nil {
		return let, nil, fault.InField(err, "name")
	}
	c.Used, c.Phone = t.Now, made.ID
	if _, err := t.SavePhoneCode(*c); err != nil {
		return let, nil, err
	}
	family, err := s.Secret()
	if err != nil {
		return let, nil, err
	}
	key := access.PhoneKey{Device: made.ID, Family: studio.HashOf(family), Turned: t.Now}
	return Let{made.DeviceKey, written(made.ID, family, made.Secret)}, nil, t.SavePhoneKey(key)
}

// guessed counts a wrong code against those that are open; after MostTries they end.
func (t *Hall) guessed(all []access.PhoneCode) error {
	for _, c := range all {
		if !open(c, t.Now) {
			continue
		}
		if c.Tries++; c.Tries >= MostTries {
			c.Ends = t.Now
			if err := t.Note(0, "the code for a phone ended: %d wrong ones were tried", c.Tries); err != nil {
				return err
			}
		}
		if _, err := t.SavePhoneCode(c); err != nil {
			return err
		}
	}
	return nil
}

func (t *Hall) clock(at time.Time) string { return at.In(t.Set.Place()).Format("15:04") }
