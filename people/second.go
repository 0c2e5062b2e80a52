package people

import (
	"context"
	"encoding/json"
	"io"
	"time"

	"solander/access"
	"solander/fault"
	"solander/people/totp"
	"solander/studio"
)

// ceremonyFor is how long the second half of something may take.
const ceremonyFor = 10 * time.Minute

// recoveryCodes is how many codes there are for who lost the second factor.
const recoveryCodes = 10

// Offered is a second factor that is not in use yet: it is when its first code is typed.
type Offered struct {
	Key    string // by which it is confirmed
	Secret string // to type
	URL    string // to scan
}

// offer is what is kept of it meanwhile.
type offer struct {
	Kind   string `json:"kind"`
	Person int64  `json:"person"`
	Secret string `json:"secret"`
}

// OfferSecond draws the secret of a second factor. Faults: Unknown.
func OfferSecond(ctx context.Context, s *studio.Studio) (Offered, error) {
	who := Asking(ctx)
	if who.Person.ID == 0 {
		return Offered{}, unknown()
	}
	b := make([]byte, totp.SecretBytes)
	if _, err := io.ReadFull(s.Random, b); err != nil {
		return Offered{}, err
	}
	set, err := s.Settings(ctx)
	if err != nil {
		return Offered{}, err
	}
	out := Offered{Secret: totp.Text(b)}
	out.URL = totp.Address(out.Secret, set.Studio, who.Person.Name)
	out.Key, err = s.Secret()
	if err != nil {
		return Offered{}, err
	}
	return out, apart(ctx, s, func(t *Door) error { return t.keep(out.Key, offer{"second factor", who.Person.ID, out.Secret}) })
}

// keep keeps the first half of something under a key.
func (t *Door) keep(key string, body any) error {
	raw, err := json.Marshal(body)
	if err != nil {
		return err
	}
	return t.AddCeremony(access.Ceremony{Key: studio.HashOf(key), Body: raw, Until: t.Now.Add(ceremonyFor)})
}

// taken reads the first half of something, once.
func (t *Door) taken(key string, body any) error {
	c, err := t.TakeCeremony(studio.HashOf(key))
	if fault.Is(err, fault.Missing) {
		return fault.New(fault.Refused, "this took too long, or was done before").ToMend("begin anew")
	}
	if err != nil {
		return err
	}
	return json.Unmarshal(c.Body, body)
}

// OfferAgain is a second factor that is offered still. Faults: Refused.
func OfferAgain(ctx context.Context, s *studio.Studio, key string) (Offered, error) {
	out := Offered{Key: key}
	set, err := s.Settings(ctx)
	if err != nil {
		return out, err
	}
	return out, apart(ctx, s, func(t *Door) error {
		var o offer
		if err := t.taken(key, &o); err != nil {
			return err
		}
		who := Asking(ctx).Person
		if o.Kind != "second factor" || o.Person != who.ID {
			return unknown()
		}
		out.Secret, out.URL = o.Secret, totp.Address(o.Secret, set.Studio, who.Name)
		return t.keep(key, o)
	})
}

// TakeSecond puts an offered second factor to use, when its code is right, and returns the recovery codes: they are shown this once.
// Faults: Refused, Unknown.
func TakeSecond(ctx context.Context, s *studio.Studio, key, code string) ([]string, error) {
	codes, kept, err := drawCodes(s, Asking(ctx).Person.ID)
	if err != nil {
		return nil, err
	}
	return codes, write(ctx, s, func(t *Door) error {
		var o offer
		if err := t.taken(key, &o); err != nil {
			return err
		}
		p, err := t.active(Asking(ctx).Person.ID)
		if err != nil {
			return err
		}
		if o.Kind != "second factor" || o.Person != p.ID {
			return unknown()
		}
		p.TOTP, p.TOTPStep = o.Secret, 0
		c, err := checkCode(p, code, t.Now)
		switch {
		case err != nil:
			return err
		case c.fault != nil || c.step == 0:
			f := fault.New(fault.Invalid, "the code is not right")
			if c.fault != nil && c.fault.Field == "code" {
				f = c.fault
			}
			return f.In("code").ToMend("type the code that is shown now; if it never fits, set both clocks by the network")
		}
		p.TOTPStep = c.step
		if _, err := t.SavePerson(p); err != nil {
			return err
		}
		if err := t.SetRecoveryCodes(p.ID, kept); err != nil {
			return err
		}
		return t.Note(0, "%s uses a second factor", p.Name)
	})
}

func drawCodes(s *studio.Studio, person int64) (codes []string, kept []access.RecoveryCode, err error) {
	for range recoveryCodes {
		c, err := word(s.Random)
		if err != nil {
			return nil, nil, err
		}
		codes = append(codes, c)
		kept = append(kept, access.RecoveryCode{Person: person, Hash: studio.HashOf(unspaced.Replace(c))})
	}
	return codes, kept, nil
}

// NewCodes draws the recovery codes anew; those of before let in no more. Faults: Refused without a second factor.
func NewCodes(ctx context.Context, s *studio.Studio) ([]string, error) {
	codes, kept, err := drawCodes(s, Asking(ctx).Person.ID)
	if err != nil {
		return nil, err
	}
	return codes, write(ctx, s, func(t *Door) error {
		p, err := t.active(Asking(ctx).Person.ID)
		if err != nil {
			return err
		}
		if p.TOTP == "" {
			return fault.New(fault.Refused, "you use no second factor").ToMend("set one up first")
		}
		if err := t.SetRecoveryCodes(p.ID, kept); err != nil {
			return err
		}
		return t.Note(0, "%s drew recovery codes anew", p.Name)
	})
}

// DropSecond ends the use of the second factor.
func DropSecond(ctx context.Context, s *studio.Studio) error {
	return write(ctx, s, func(t *Door) error {
		p, err := t.active(Asking(ctx).Person.ID)
		if err != nil || p.TOTP == "" {
			return err
		}
		p.TOTP, p.TOTPStep = "", 0
		if _, err := t.SavePerson(p); err != nil {
			return err
		}
		if err := t.SetRecoveryCodes(p.ID, nil); err != nil {
			return err
		}
		return t.Note(0, "%s uses no second factor any more", p.Name)
	})
}

// Account is one's own account, whole.
type Account struct {
	access.Person
	Sessions  []access.Session
	Devices   []access.DeviceKey // in use
	Passkeys  []access.Passkey
	CodesLeft int
}

// Mine returns one's own account. Faults: Unknown.
func Mine(ctx context.Context, s *studio.Studio) (Account, error) {
	return studio.Got(ctx, s, read, func(t *Door) (a Account, err error) {
		if a.Person, err = t.active(Asking(ctx).Person.ID); err != nil {
			return a, err
		}
		all, err := t.Store.Sessions(a.ID)
		if err != nil {
			return a, err
		}
		for _, x := range all {
			if !over(x, t.Now) {
				a.Sessions = append(a.Sessions, x)
			}
		}
		keys, err := t.DeviceKeys()
		if err != nil {
			return a, err
		}
		for _, k := range keys {
			if k.Person == a.ID && k.Revoked.IsZero() {
				a.Devices = append(a.Devices, k)
			}
		}
		if a.Passkeys, err = t.Store.Passkeys(a.ID); err != nil {
			return a, err
		}
		codes, err := t.RecoveryCodes(a.ID)
		if err != nil {
			return a, err
		}
		for _, c := range codes {
			if c.Used.IsZero() {
				a.CodesLeft++
			}
		}
		return a, nil
	})
}
