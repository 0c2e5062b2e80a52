package people

import (
	"context"
	"encoding/base32"
	"fmt"
	"io"
	"strings"
	"time"

	"solander/access"
	"solander/fault"
	"solander/people/password"
	"solander/people/totp"
	"solander/studio"
)

// SignIn is what is typed to sign in, and from where.
type SignIn struct {
	Name, Password string
	Code           string // of the second factor, or a recovery code; "" = none
	Address        string // of who asks; "" is counted with nobody else's
	Browser        string // what it says of itself
	Away           bool   // from another machine than the studio's own
	Before         string // the token of a session that this one takes the place of; "" = none
}

// wrong is what is said of every attempt that fails, whatever was wrong with it, so that nobody learns whether a name is known. why is
// for the log alone.
func wrong(why string, args ...any) *fault.Error {
	return fault.New(fault.Unknown, "name, password or code is not right").
		ToMend("look at each and try again; who has a second factor needs its code, too").Because(fmt.Errorf(why, args...))
}

// Enter signs in. Faults: Unknown, whatever is wrong; TooMany.
func Enter(ctx context.Context, s *studio.Studio, in SignIn) (Entered, error) {
	in.Name = strings.TrimSpace(in.Name)
	a := attempt{in.Name, in.Address}
	failed, err := studio.Got(ctx, s, write, func(t *Door) (int, error) { return t.try(a) })
	if err != nil {
		return Entered{}, err
	}
	p, err := named(ctx, s, in.Name)
	if err != nil {
		return Entered{}, err
	}
	passed, err := check(ctx, s, p, in.Password, in.Code)
	if err != nil {
		return Entered{}, err
	}
	return studio.Got(ctx, s, write, func(t *Door) (Entered, error) {
		p, err := t.passed(p, passed)
		if err != nil {
			return Entered{}, err
		}
		if err := t.mayByWord(p, in.Away); err != nil {
			return Entered{}, err
		}
		if err := t.succeeded(a); err != nil {
			return Entered{}, err
		}
		if err := t.endBefore(in.Before); err != nil {
			return Entered{}, err
		}
		e, err := t.enter(s, p, in.Browser)
		e.Failed = failed
		return e, err
	})
}

// named finds somebody who may sign in; the zero Person is nobody.
func named(ctx context.Context, s *studio.Studio, name string) (access.Person, error) {
	all, err := All(ctx, s)
	if err != nil {
		return access.Person{}, err
	}
	for _, p := range all {
		if p.Name == name && p.Active() {
			return p, nil
		}
	}
	return access.Person{}, nil
}

// pass is what was proved of a person, as the person stood then.
type pass struct {
	step  int64  // of the code; 0 = none
	code  string // hash of a recovery code; "" = none
	again string // the password kept anew; "" = as it was
}

// nobodySecret is looked through for codes of those who have no second factor: it takes as long.
var nobodySecret = totp.Text(make([]byte, totp.SecretBytes))

// check looks at a password and, of who has one, a code of the second factor. It takes as long whatever is wrong, and whoever it is.
func check(ctx context.Context, s *studio.Studio, p access.Person, word, code string) (pass, error) {
	is, weak := password.Is(p.Password, word)
	second, err := checkCode(p, code, s.Clock())
	if err != nil {
		return pass{}, err
	}
	switch {
	case !is:
		return pass{}, wrong("account %d: the password is wrong", p.ID)
	case !p.Until.IsZero() && s.Clock().After(p.Until):
		return pass{}, wrong("account %d: the first password ran out", p.ID)
	case second.fault != nil && p.TOTP != "":
		return pass{}, second.fault
	}
	if weak {
		if second.again, err = password.Keep(s.Random, word); err != nil {
			return pass{}, err
		}
	}
	return second.pass, nil
}

// checked is a code that was looked at: what it proves, or what is wrong with it.
type checked struct {
	pass
	fault *fault.Error
}

// spaces and dashes that people type into a code.
var unspaced = strings.NewReplacer(" ", "", "-", "", "\u00a0", "")

func checkCode(p access.Person, code string, now time.Time) (checked, error) {
	secret, typed := p.TOTP, strings.ToUpper(unspaced.Replace(code))
	if secret == "" {
		secret = nobodySecret
	}
	found, err := totp.Find(secret, typed, now, p.TOTPStep)
	switch {
	case err != nil:
		return checked{}, fmt.Errorf("second factor of account %d: %w: %w", p.ID, studio.ErrDamaged, err)
	case found.Good:
		return checked{pass: pass{step: found.Step}}, nil
	case found.Used:
		return checked{fault: wrong("account %d: the code was used before", p.ID)}, nil
	case found.Off != 0:
		return checked{fault: clockOff(found.Off, p.ID)}, nil
	case len(typed) == recoverySigns:
		return checked{pass: pass{code: studio.HashOf(typed)}}, nil // whether there is such a code is seen where it is used up
	}
	return checked{fault: wrong("account %d: the code is wrong", p.ID)}, nil
}

// clockOff tells who typed a right password that a clock is off. It is said of a code that is good at another time within a day, which
// one guess in about two hundred is by chance: it lets nobody in.
func clockOff(off time.Duration, account int64) *fault.Error {
	way := "ahead of"
	if off < 0 {
		off, way = -off, "behind"
	}
	amount := fmt.Sprintf("%d minutes", int(off.Round(time.Minute).Minutes()))
	if off > 90*time.Minute {
		amount = fmt.Sprintf("%d hours", int(off.Round(time.Hour).Hours()))
	}
	return fault.New(fault.Unknown, "the code is one of another time: the clock that made it is about %s %s this machine's", amount, way).In("code").
		ToMend("set both clocks by the network, date and time zone too, and type the next code; or use a recovery code").
		Because(fmt.Errorf("account %d: the code is %s off", account, off))
}

// passed notes what was proved, if the person still stands so: a code is taken once, whichever server is asked first.
func (t *Door) passed(was access.Person, got pass) (access.Person, error) {
	p, err := t.Person(was.ID)
	if err != nil {
		return p, err
	}
	if !p.Active() || p.Password != was.Password || p.TOTP != was.TOTP {
		return p, wrong("account %d: it changed meanwhile", p.ID)
	}
	if got.code != "" && p.TOTP != "" {
		if err := t.UseRecoveryCode(p.ID, got.code, t.Now); fault.Is(err, fault.Missing) {
			return p, wrong("account %d: the recovery code is wrong, or was used", p.ID)
		} else if err != nil {
			return p, err
		}
		t.Who = p.Name
		if err := t.Note(0, "%s used a recovery code", p.Name); err != nil {
			return p, err
		}
	}
	if got.step == 0 && got.again == "" || p.TOTP == "" && got.again == "" {
		return p, nil
	}
	if got.step != 0 && p.TOTP != "" {
		if got.step <= p.TOTPStep {
			return p, wrong("account %d: the code was used before", p.ID)
		}
		p.TOTPStep = got.step
	}
	if got.again != "" {
		p.Password = got.again
	}
	_, err = t.SavePerson(p)
	return p, err
}

// endBefore ends the session that a new one takes the place of.
func (t *Door) endBefore(token string) error {
	if token == "" {
		return nil
	}
	x, err := t.Session(studio.HashOf(token))
	if fault.Is(err, fault.Missing) {
		return nil
	}
	if err != nil {
		return err
	}
	return t.EndSession(x.ID)
}

// Proof is what shows again who one is.
type Proof struct {
	Word    string // her password, or a code of her second factor
	Address string
}

// Prove shows again who one is, before what could do the most harm. Her session goes on under another token. Faults: Unknown, TooMany.
func Prove(ctx context.Context, s *studio.Studio, in Proof) (Entered, error) {
	who := Asking(ctx)
	if who.Person.ID == 0 {
		return Entered{}, unknown()
	}
	p, a := who.Person, attempt{who.Person.Name, in.Address}
	if _, err := studio.Got(ctx, s, apart, func(t *Door) (int, error) { return t.try(a) }); err != nil {
		return Entered{}, err
	}
	got, err := prove(p, in.Word, s.Clock())
	if err != nil {
		return Entered{}, err
	}
	return studio.Got(ctx, s, apart, func(t *Door) (Entered, error) {
		p, err := t.passed(p, got)
		if err != nil {
			return Entered{}, err
		}
		if err := t.succeeded(a); err != nil {
			return Entered{}, err
		}
		return t.proved(s, who, p)
	})
}

// apart writes outside the form that is sent: what is proved stands, whatever becomes of the form.
func apart(ctx context.Context, s *studio.Studio, f func(*Door) error) error {
	return write(studio.WithForm(ctx, nil), s, f)
}

func prove(p access.Person, word string, now time.Time) (pass, error) {
	if p.TOTP != "" && len(unspaced.Replace(word)) == totp.Digits {
		c, err := checkCode(p, word, now)
		if err == nil && c.fault != nil {
			return c.pass, c.fault.In("proof")
		}
		return c.pass, err
	}
	if is, _ := password.Is(p.Password, word); !is {
		return pass{}, fault.New(fault.Unknown, "that is not right").In("proof").ToMend("type your password, or a code of your second factor").
			Because(fmt.Errorf("account %d: not proved", p.ID))
	}
	return pass{}, nil
}

// proved notes when she showed who she is; a session goes on under another token.
func (t *Door) proved(s *studio.Studio, who Who, p access.Person) (Entered, error) {
	who.Person, who.Proved = p, t.Now
	if who.Key != 0 {
		k, err := t.DeviceKey(who.Key)
		if err != nil {
			return Entered{}, err
		}
		k.Proved, k.Seen = t.Now, t.Now
		_, err = t.SaveDeviceKey(k)
		return Entered{Who: who}, err
	}
	x, err := t.sessionOf(who)
	if err != nil {
		return Entered{}, err
	}
	token, err := s.Secret()
	if err != nil {
		return Entered{}, err
	}
	x.Hash, x.Proved, x.Seen = studio.HashOf(token), t.Now, t.Now
	_, err = t.SaveSession(x)
	return Entered{Who: who, Token: token}, err
}

// recoverySigns is how long a recovery code is: 80 bits in base32 (RFC 4648).
const recoverySigns = 16

// word draws 80 bits of chance, in four groups of four signs.
func word(random io.Reader) (string, error) {
	b := make([]byte, recoverySigns*5/8)
	if _, err := io.ReadFull(random, b); err != nil {
		return "", err
	}
	text := base32.StdEncoding.EncodeToString(b)
	return strings.Join([]string{text[:4], text[4:8], text[8:12], text[12:]}, "-"), nil
}
