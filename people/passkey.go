package people

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"

	"solander/access"
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// Site is where passkeys are used: they are good for this very name alone. Source: W3C, Web Authentication Level 2, 5.1.3 and 13.4.9: it
// is a domain name, reached by TLS, or localhost; an address of digits is none.
type Site struct {
	Name   string // "localhost", "studio.example"
	Origin string // "https://studio.example"
}

func (x Site) party(shown string) (*webauthn.WebAuthn, error) {
	if x.Name == "" {
		return nil, fault.New(fault.Refused, "passkeys need a name and TLS, or localhost").ToMend("open the studio as localhost, or by its name under https")
	}
	return webauthn.New(&webauthn.Config{
		RPID: x.Name, RPDisplayName: shown, RPOrigins: []string{x.Origin}, AttestationPreference: protocol.PreferNoAttestation,
		AuthenticatorSelection: protocol.AuthenticatorSelection{
			ResidentKey: protocol.ResidentKeyRequirementRequired, UserVerification: protocol.VerificationRequired,
		},
	})
}

// holder is a person with her passkeys of a site, as the library asks for them.
type holder struct {
	access.Person
	keys []access.Passkey
}

func (h holder) WebAuthnID() []byte          { return []byte(h.Handle) }
func (h holder) WebAuthnName() string        { return h.Name }
func (h holder) WebAuthnDisplayName() string { return h.Name }

func (h holder) WebAuthnCredentials() (out []webauthn.Credential) {
	for _, k := range h.keys {
		var c webauthn.Credential
		if json.Unmarshal(k.Body, &c) == nil { // a damaged one lets nobody in
			out = append(out, c)
		}
	}
	return out
}

func (t *Door) holder(p access.Person, site Site) (holder, error) {
	all, err := t.Store.Passkeys(p.ID)
	h := holder{Person: p}
	for _, k := range all {
		if k.Site == site.Name {
			h.keys = append(h.keys, k)
		}
	}
	return h, err
}

// Asked is the first half of a passkey's use: what the browser is asked, and the key of the second half.
type Asked struct {
	Key     string          `json:"key"`
	Options json.RawMessage `json:"options"`
}

// half is what is kept until the second half.
type half struct {
	Kind    string               `json:"kind"` // "new" or "use"
	Person  int64                `json:"person"`
	Session webauthn.SessionData `json:"session"`
}

func (t *Door) asked(s *studio.Studio, kind string, person int64, options any, data *webauthn.SessionData) (a Asked, err error) {
	if a.Key, err = s.Secret(); err != nil {
		return a, err
	}
	if a.Options, err = json.Marshal(options); err != nil {
		return a, err
	}
	return a, t.keep(a.Key, half{kind, person, *data})
}

func shownName(ctx context.Context, s *studio.Studio) (string, error) {
	set, err := s.Settings(ctx)
	return set.Studio, err
}

// OfferPasskey begins to make a passkey for oneself. Faults: Refused where the address allows none; Unknown.
func OfferPasskey(ctx context.Context, s *studio.Studio, site Site) (Asked, error) {
	party, err := theParty(ctx, s, site)
	if err != nil {
		return Asked{}, err
	}
	return studio.Got(ctx, s, apart, func(t *Door) (Asked, error) {
		p, err := t.active(Asking(ctx).Person.ID)
		if err != nil {
			return Asked{}, err
		}
		h, err := t.holder(p, site)
		if err != nil {
			return Asked{}, err
		}
		options, data, err := party.BeginRegistration(h, webauthn.WithExclusions(webauthn.Credentials(h.WebAuthnCredentials()).CredentialDescriptors()))
		if err != nil {
			return Asked{}, err
		}
		return t.asked(s, "new", p.ID, options.Response, data)
	})
}

func theParty(ctx context.Context, s *studio.Studio, site Site) (*webauthn.WebAuthn, error) {
	name, err := shownName(ctx, s)
	if err != nil {
		return nil, err
	}
	return site.party(name)
}

// TakePasskey keeps the passkey that the browser made. Faults: Invalid, Refused, Taken.
func TakePasskey(ctx context.Context, s *studio.Studio, site Site, key, name, answer string) error {
	if err := order.Text("name", name, 80, true); err != nil {
		return err
	}
	party, err := theParty(ctx, s, site)
	if err != nil {
		return err
	}
	got, err := protocol.ParseCredentialCreationResponseBytes([]byte(answer))
	if err != nil {
		return notRead(err)
	}
	x, err := finish(ctx, s, key, "new")
	if err != nil {
		return err
	}
	return write(ctx, s, func(t *Door) error {
		p, err := t.active(Asking(ctx).Person.ID)
		if err != nil {
			return err
		}
		if x.Person != p.ID {
			return unknown()
		}
		h, err := t.holder(p, site)
		if err != nil {
			return err
		}
		c, err := party.CreateCredential(h, x.Session, got)
		if err != nil {
			return notRead(err)
		}
		body, err := json.Marshal(c)
		if err != nil {
			return err
		}
		k := access.Passkey{Person: p.ID, Name: name, Site: site.Name, Credential: base64.RawURLEncoding.EncodeToString(c.ID), Body: body, Made: t.Now}
		if _, err := t.SavePasskey(k); err != nil {
			return err
		}
		return t.Note(0, "%s may sign in by the passkey %s", p.Name, name)
	})
}

func notRead(err error) error {
	return fault.New(fault.Invalid, "the passkey was not taken").ToMend("try once more; use the same browser and address").Because(errors.Join(err, detail(err)))
}

// detail is what the library says of an error for a log.
func detail(err error) error {
	var e *protocol.Error
	if errors.As(err, &e) && e.DevInfo != "" {
		return errors.New(e.DevInfo)
	}
	return nil
}

// finish takes the first half, which is used up whatever comes of it.
func finish(ctx context.Context, s *studio.Studio, key, kind string) (half, error) {
	return studio.Got(ctx, s, apart, func(t *Door) (x half, err error) {
		if err = t.taken(key, &x); err == nil && x.Kind != kind {
			err = unknown()
		}
		return x, err
	})
}

// AskPasskey begins a sign-in by whatever passkey the browser has for this site. Faults: Refused where the address allows none.
func AskPasskey(ctx context.Context, s *studio.Studio, site Site) (Asked, error) {
	party, err := theParty(ctx, s, site)
	if err != nil {
		return Asked{}, err
	}
	options, data, err := party.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationRequired))
	if err != nil {
		return Asked{}, err
	}
	return studio.Got(ctx, s, apart, func(t *Door) (Asked, error) { return t.asked(s, "use", 0, options.Response, data) })
}

// ByPasskey is a passkey as the browser used it.
type ByPasskey struct {
	Key, Answer     string
	Browser, Before string // as in SignIn
}

// use looks whose passkey it is, and whether it was used rightly. It proves two things at once: that she has it, and that she unlocked
// it. Faults: Unknown.
func use(ctx context.Context, s *studio.Studio, site Site, in ByPasskey, then func(*Door, access.Person) (Entered, error)) (Entered, error) {
	party, err := theParty(ctx, s, site)
	if err != nil {
		return Entered{}, err
	}
	got, err := protocol.ParseCredentialRequestResponseBytes([]byte(in.Answer))
	if err != nil {
		return Entered{}, noKey(err)
	}
	x, err := finish(ctx, s, in.Key, "use")
	if err != nil {
		return Entered{}, err
	}
	return studio.Got(ctx, s, apart, func(t *Door) (Entered, error) {
		k, err := t.PasskeyOf(base64.RawURLEncoding.EncodeToString(got.RawID))
		if fault.Is(err, fault.Missing) || err == nil && k.Site != site.Name {
			return Entered{}, noKey(errors.New("it is not known here"))
		}
		if err != nil {
			return Entered{}, err
		}
		p, err := t.active(k.Person)
		if err != nil {
			return Entered{}, err
		}
		c, err := party.ValidateDiscoverableLogin(func(_, handle []byte) (webauthn.User, error) {
			if string(handle) != p.Handle {
				return nil, errors.New("it is somebody else's")
			}
			return t.holder(p, site)
		}, x.Session, got)
		if err != nil {
			return Entered{}, noKey(errors.Join(err, detail(err)))
		}
		if c.Authenticator.CloneWarning {
			return Entered{}, noKey(fmt.Errorf("passkey %d of account %d: its count went back: it may have been copied", k.ID, p.ID))
		}
		if k.Body, err = json.Marshal(c); err != nil {
			return Entered{}, err
		}
		k.Used = t.Now
		if _, err := t.SavePasskey(k); err != nil {
			return Entered{}, err
		}
		return then(t, p)
	})
}

func noKey(err error) error {
	return fault.New(fault.Unknown, "this passkey does not let in").ToMend("try once more, or use your password").Because(err)
}

// EnterByPasskey signs in by a passkey. Faults: Unknown, Refused.
func EnterByPasskey(ctx context.Context, s *studio.Studio, site Site, in ByPasskey) (Entered, error) {
	return use(ctx, s, site, in, func(t *Door, p access.Person) (Entered, error) {
		if err := t.endBefore(in.Before); err != nil {
			return Entered{}, err
		}
		return t.enter(s, p, in.Browser)
	})
}

// ProveByPasskey is Prove by a passkey of one's own.
func ProveByPasskey(ctx context.Context, s *studio.Studio, site Site, in ByPasskey) (Entered, error) {
	who := Asking(ctx)
	return use(ctx, s, site, in, func(t *Door, p access.Person) (Entered, error) {
		if p.ID != who.Person.ID {
			return Entered{}, noKey(errors.New("it is somebody else's"))
		}
		return t.proved(s, who, p)
	})
}

// DropPasskey ends the use of one of one's own passkeys. Faults: Missing.
func DropPasskey(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Door) error {
		p, err := t.active(Asking(ctx).Person.ID)
		if err != nil {
			return err
		}
		all, err := t.Store.Passkeys(p.ID)
		if err != nil {
			return err
		}
		for _, k := range all {
			if k.ID == id {
				if err := t.Store.DropPasskey(id); err != nil {
					return err
				}
				return t.Note(0, "%s may sign in no more by the passkey %s", p.Name, k.Name)
			}
		}
		return fault.New(fault.Missing, "you have no such passkey").ToMend("open your account anew")
	})
}

// SiteOf is the site of an address as a browser asked for it; none where passkeys do not work.
func SiteOf(scheme, host string) Site {
	name := host
	if i := strings.LastIndexByte(host, ':'); i > strings.LastIndexByte(host, ']') {
		name = host[:i]
	}
	name = strings.ToLower(strings.TrimSuffix(name, "."))
	switch digits := strings.Trim(name, "0123456789.") == "" || strings.HasPrefix(name, "["); {
	case digits, scheme != "https" && name != "localhost" && !strings.HasSuffix(name, ".localhost"):
		return Site{}
	}
	return Site{Name: name, Origin: scheme + "://" + host}
}
