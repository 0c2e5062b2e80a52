// Package people is the use cases of who may come in: accounts and their roles, signing in and out, second factors, passkeys, and keys
// of devices. Nothing of it is asked while there is no account: then who sits at the machine is the artist.
//
// Whatever lets in (a session's token, a device's key, a recovery code) is 80 bits of chance or more, is shown once, and is kept as a
// hash alone. Who asks stands in the context (WithWho), and every entry and mark names that person.
//
// How a device is let in, for whoever pairs one (each step is a use case here; the two that write take a turn, so that they happen in
// the transaction that uses up a one-time secret):
//
//	any, err := people.Any(ctx, s)                    // is there an account? If not, ask for a name and a password, and
//	p, err := people.FirstOwner(ctx, s, name, word)   // make the owner's; web/gate.Gate.Enter signs her in at once
//	made, err := people.In(turn).Grant(people.Grant{Person: p.ID, Name: "kitchen phone"})  // made.Secret is shown to nobody but the device
//	gate.GiveKey(w, r, made.Secret)                   // the device's browser holds it: HttpOnly, SameSite, Secure under TLS
//	who, err := people.ByKey(ctx, s, secret)          // at every request: who asks, or Unknown (revoked, ended, none)
//	err = people.Seen(ctx, s, who)                    // when it was last seen, to the minute; the gate does it
//	keys, err := people.Devices(ctx, s)               // for a list
//	err = people.Revoke(ctx, s, key.ID)               // at once, everywhere
package people

import (
	"context"
	"time"

	"solander/access"
	"solander/fault"
	"solander/studio"
	"solander/upkeep"
)

// Store is what this room asks of the store.
type Store interface {
	access.Store
	SaveSettings(studio.Settings) error
}

// Door is one transaction as this room sees it.
type Door struct {
	*studio.Turn
	Store
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Door { return &Door{t, t.Tx} }

var inside, read = studio.Doors(In)

// write writes also in a studio that was left for another computer: who looks into it signs in, and an owner must show who she is before she
// takes it back.
func write(ctx context.Context, s *studio.Studio, f func(*Door) error) error {
	return inside(upkeep.WhileLeaving(ctx), s, f)
}

// FreshFor is how long a proof of who one is suffices for what could do the most harm.
const FreshFor = 10 * time.Minute

// Who is who asks. The zero Who is nobody.
type Who struct {
	Person  access.Person
	Role    access.Role // what may be done: the person's role, or less with a device that may do less
	Session int64       // by which she came; 0 = by a device's key
	Key     int64       // by which she came; 0 = by a session
	Seen    time.Time   // when session or key was seen before
	Proved  time.Time   // when she last proved who she is
	// Lacks: a second factor is demanded of her who comes by a session from another machine, and she has none.
	Lacks bool
	// Alone: there is no account, and who sits at the machine is the artist. Role is owner then, Person nobody.
	Alone bool
}

// Alone is who sits at a machine that is used by one alone.
func Alone() Who { return Who{Role: access.Owner, Alone: true} }

// Known reports whether it is somebody.
func (w Who) Known() bool { return w.Alone || w.Person.ID != 0 }

// Fresh reports whether she proved who she is lately. Alone at the machine nothing is to be proved.
func (w Who) Fresh(now time.Time) bool {
	return w.Alone || w.Known() && now.Sub(w.Proved) < FreshFor && !w.Proved.After(now.Add(time.Minute))
}

type whoKey struct{}

// Caller is who asks in one request, once that is known.
type Caller struct {
	Who  Who
	Told bool // it is known
}

type callerKey struct{}

// WithCaller returns a context in which the caller is told as soon as somebody is known to ask.
func WithCaller(ctx context.Context) (context.Context, *Caller) {
	c := &Caller{}
	return context.WithValue(ctx, callerKey{}, c), c
}

// CallerOf is the caller of a context; nil when it has none.
func CallerOf(ctx context.Context) *Caller {
	c, _ := ctx.Value(callerKey{}).(*Caller)
	return c
}

// WithWho returns a context in which w asks: every entry and mark names that person.
func WithWho(ctx context.Context, w Who) context.Context {
	ctx = context.WithValue(ctx, whoKey{}, w)
	if c := CallerOf(ctx); c != nil {
		c.Who, c.Told = w, true
	}
	if w.Person.ID != 0 {
		ctx = studio.WithWho(ctx, w.Person.Name)
	}
	return ctx
}

// Asking returns who asks; nobody when the context names none, as at the command line, where whoever may read the studio's file is
// beyond all of this.
func Asking(ctx context.Context) Who {
	w, ok := ctx.Value(whoKey{}).(Who)
	if c := CallerOf(ctx); !ok && c != nil {
		return c.Who
	}
	return w
}

// Any reports whether there are accounts.
func Any(ctx context.Context, s *studio.Studio) (bool, error) {
	all, err := All(ctx, s)
	return len(all) > 0, err
}

// All returns all persons by name, those who ended too.
func All(ctx context.Context, s *studio.Studio) ([]access.Person, error) {
	return studio.Got(ctx, s, read, func(t *Door) ([]access.Person, error) { return t.Persons() })
}

// unknown is what is said of a session or key that does not let in, whatever the reason.
func unknown() *fault.Error {
	return fault.New(fault.Unknown, "you are not signed in here").ToMend("sign in")
}

// active reads a person who may sign in. Faults: Unknown.
func (t *Door) active(id int64) (access.Person, error) {
	p, err := t.Person(id)
	if fault.Is(err, fault.Missing) || err == nil && !p.Active() {
		return access.Person{}, unknown()
	}
	return p, err
}
