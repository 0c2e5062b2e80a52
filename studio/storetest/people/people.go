// Package people is the contract of who may come in: rows of accounts, and the use cases of package people where two programs race.
package people

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"solander/access"
	"solander/fault"
	"solander/people"
	"solander/people/totp"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// Tests is the contract, one sentence a rule.
var Tests = map[string]func(*testing.T, studio.Store){
	"persons come back as they were, by name":                        personsKept,
	"a person is never deleted, nor called otherwise":                namesStay,
	"no write leaves the studio without an owner":                    ownerStays,
	"sessions, devices, passkeys and codes come back as they were":   rowsKept,
	"the first half of a passkey's use is taken once":                ceremonies,
	"two owners who end each other leave one":                        endEachOther,
	"two owners who make each other readers leave one owner":         demoteEachOther,
	"one code of a second factor lets in once, whoever is asked":     codeOnce,
	"one recovery code lets in once, whoever is asked":               recoveryOnce,
	"guesses on several servers are counted together":                guessesTogether,
	"of two who make the first account one does":                     firstOnce,
	"a second factor is demanded by role, and sessions end by it":    demandedByRole,
	"who ended is out at once, and who has another role may no more": rolesAtOnce,
}

const good = "kelp bicycle tuesday oven"

// servers are several programs over one store, with one clock that a test can move.
type servers struct {
	*testing.T
	all []*studio.Studio
	mu  sync.Mutex
	now time.Time
}

func (v *servers) clock() time.Time { v.mu.Lock(); defer v.mu.Unlock(); return v.now }

func (v *servers) pass(d time.Duration) { v.mu.Lock(); defer v.mu.Unlock(); v.now = v.now.Add(d) }

// open is several servers over a studio that is set up; the store's own clock is what it is.
func open(t *testing.T, s studio.Store) *servers {
	t.Helper()
	bed.Furnished(t, s)
	v := &servers{T: t}
	bed.Read(t, s, func(tx studio.Tx) error { v.now = tx.Now(); return nil })
	for range 2 {
		v.all = append(v.all, studio.New(s, studio.Options{Clock: v.clock}))
	}
	return v
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func as(e people.Entered) context.Context { return people.WithWho(context.Background(), e.Who) }

// owners makes two owners, who are signed in.
func (v *servers) owners() (first, second people.Entered) {
	v.Helper()
	first = must[people.Entered](v.T)(people.FirstOwner(context.Background(), v.all[0], "Mara", good, ""))
	made := must[people.NewPerson](v.T)(people.Add(as(first), v.all[0], "Nell", access.Owner))
	second = must[people.Entered](v.T)(people.Enter(context.Background(), v.all[0], people.SignIn{Name: "Nell", Password: made.First}))
	second = must[people.Entered](v.T)(people.SetPassword(as(second), v.all[0], "", good+" Nell", ""))
	return first, second
}

// atOnce does two things side by side, and returns what came of each.
func atOnce(first, second func() error) (a, b error) {
	var both sync.WaitGroup
	both.Go(func() { a = first() })
	both.Go(func() { b = second() })
	both.Wait()
	return a, b
}

func activeOwners(t *testing.T, s *studio.Studio) (out []string) {
	t.Helper()
	for _, p := range must[[]access.Person](t)(people.All(context.Background(), s)) {
		if p.Active() && p.Role == access.Owner {
			out = append(out, p.Name)
		}
	}
	return out
}

func (v *servers) oneIsRefused(a, b error) {
	v.Helper()
	one := func(err error) bool {
		return fault.Is(err, fault.Refused) || fault.Is(err, fault.Unknown) || fault.Is(err, fault.Denied)
	}
	if (a == nil) == (b == nil) || !one(errors.Join(a, b)) {
		v.Errorf("one came to %v, the other to %v", a, b)
	}
	if left := activeOwners(v.T, v.all[0]); len(left) != 1 {
		v.Errorf("the owners left are %v", left)
	}
}

func endEachOther(t *testing.T, s studio.Store) {
	v := open(t, s)
	mara, nell := v.owners()
	v.oneIsRefused(atOnce(
		func() error { _, err := people.End(as(mara), v.all[0], nell.Person.ID); return err },
		func() error { _, err := people.End(as(nell), v.all[1], mara.Person.ID); return err }))
}

func demoteEachOther(t *testing.T, s studio.Store) {
	v := open(t, s)
	mara, nell := v.owners()
	v.oneIsRefused(atOnce(
		func() error {
			_, err := people.SetRole(as(mara), v.all[0], nell.Person.ID, access.Reader)
			return err
		},
		func() error {
			_, err := people.SetRole(as(nell), v.all[1], mara.Person.ID, access.Reader)
			return err
		}))
	// Nor does the last one leave by herself, whoever asks.
	last := mara
	if activeOwners(t, v.all[0])[0] == "Nell" {
		last = nell
	}
	for what, err := range map[string]error{
		"ends herself":                 errOf(people.End(as(last), v.all[0], last.Person.ID)),
		"becomes a helper":             errOf(people.SetRole(as(last), v.all[0], last.Person.ID, access.Helper)),
		"is ended at the command":      errOf(people.End(context.Background(), v.all[0], last.Person.ID)),
		"becomes one at the command":   errOf(people.SetRole(context.Background(), v.all[0], last.Person.ID, access.Reader)),
		"is given no role of any kind": errInvalid(people.SetRole(as(last), v.all[0], last.Person.ID, "duke")),
	} {
		if !fault.Is(err, fault.Refused) {
			t.Errorf("the last owner %s: %v", what, err)
		}
	}
}

func errOf[T any](_ T, err error) error { return err }

// errInvalid turns the fault that is expected into Refused.
func errInvalid[T any](_ T, err error) error {
	if fault.Is(err, fault.Invalid) {
		return fault.New(fault.Refused, "as expected")
	}
	return err
}

// withSecond gives the first owner a second factor, and returns its secret and her recovery codes.
func (v *servers) withSecond() (secret string, codes []string) {
	v.Helper()
	mara := must[people.Entered](v.T)(people.FirstOwner(context.Background(), v.all[0], "Mara", good, ""))
	o := must[people.Offered](v.T)(people.OfferSecond(as(mara), v.all[0]))
	codes = must[[]string](v.T)(people.TakeSecond(as(mara), v.all[1], o.Key, v.code(o.Secret, 0)))
	return o.Secret, codes
}

func (v *servers) code(secret string, off int64) string {
	v.Helper()
	return totp.Code(must[[]byte](v.T)(totp.Key(secret)), totp.StepAt(v.clock())+off)
}

// nearer reports whether a step nearer to now has the code of the one that is off by so many.
func (v *servers) nearer(secret string, off int64) bool {
	far := max(off, -off)
	for i := 1 - far; i < far; i++ {
		if v.code(secret, i) == v.code(secret, off) {
			return true
		}
	}
	return false
}

func codeOnce(t *testing.T, s studio.Store) {
	v := open(t, s)
	secret, _ := v.withSecond()
	enter := func(i int, code string) func() error {
		return func() error {
			return errOf(people.Enter(context.Background(), v.all[i], people.SignIn{Name: "Mara", Password: good, Code: code}))
		}
	}
	if err := enter(0, v.code(secret, 0))(); !fault.Is(err, fault.Unknown) {
		t.Errorf("the code that set it up lets in: %v", err)
	}
	v.pass(totp.Step)
	a, b := atOnce(enter(0, v.code(secret, 0)), enter(1, v.code(secret, 0)))
	if (a == nil) == (b == nil) || !fault.Is(errors.Join(a, b), fault.Unknown) {
		t.Errorf("of two at once one came to %v, the other to %v", a, b)
	}
	v.pass(totp.Step)
	if err := enter(1, v.code(secret, 1))(); err != nil {
		t.Errorf("a clock that is a step ahead: %v", err)
	}
	for off, says := range map[int64]string{24 * 120: "24 hours ahead of", -24 * 120: "24 hours behind"} {
		for v.nearer(secret, off) { // six digits of two steps may be the same by chance
			v.pass(totp.Step)
		}
		if err := enter(0, v.code(secret, off))(); !fault.Is(err, fault.Unknown) || !strings.Contains(err.Error(), says) {
			t.Errorf("a clock that is off by %d steps: %v", off, err)
		}
	}
}

func recoveryOnce(t *testing.T, s studio.Store) {
	v := open(t, s)
	_, codes := v.withSecond()
	if len(codes) != 10 || len(slices.Compact(slices.Sorted(slices.Values(codes)))) != 10 {
		t.Fatalf("codes %q", codes)
	}
	enter := func(i int, code string) func() error {
		return func() error {
			return errOf(people.Enter(context.Background(), v.all[i], people.SignIn{Name: "Mara", Password: good, Code: code}))
		}
	}
	a, b := atOnce(enter(0, codes[0]), enter(1, strings.ToLower(strings.ReplaceAll(codes[0], "-", " "))))
	if (a == nil) == (b == nil) || !fault.Is(errors.Join(a, b), fault.Unknown) {
		t.Errorf("of two at once one came to %v, the other to %v", a, b)
	}
	if err := enter(0, codes[1])(); err != nil {
		t.Errorf("another code: %v", err)
	}
	if err := enter(0, "AAAA-AAAA-AAAA-AAAA")(); !fault.Is(err, fault.Unknown) {
		t.Errorf("a code that is none: %v", err)
	}
}

// Five guesses are free; of a hundred at once on two servers no more are looked at. Then each one more must wait, longer and longer, but
// never for good; and a name that nobody has is slowed the same.
func guessesTogether(t *testing.T, s studio.Store) {
	v := open(t, s)
	must[people.Entered](t)(people.FirstOwner(context.Background(), v.all[0], "Mara", good, ""))
	for _, name := range []string{"Mara", "Nobody"} {
		var mu sync.Mutex
		said := map[fault.Code]int{}
		texts := map[string]bool{}
		var all sync.WaitGroup
		for i := range 24 {
			all.Go(func() {
				_, err := people.Enter(context.Background(), v.all[i%2], people.SignIn{Name: name, Password: fmt.Sprint("guess number ", i)})
				mu.Lock()
				defer mu.Unlock()
				said[fault.CodeOf(err)]++
				if fault.Is(err, fault.Unknown) {
					texts[err.Error()] = true
				}
			})
		}
		all.Wait()
		if said[fault.Unknown] != 5 || said[fault.TooMany] != 19 || len(texts) != 1 || !texts["name, password or code is not right (look at each and try again; who has a second factor needs its code, too)"] {
			t.Errorf("%s: %v, %v", name, said, texts)
		}
	}
	if _, err := people.Enter(context.Background(), v.all[1], people.SignIn{Name: "Mara", Password: good}); !fault.Is(err, fault.TooMany) {
		t.Errorf("the right password at once after: %v", err)
	}
	if _, err := people.Readmit(context.Background(), v.all[0], 1); err != nil {
		t.Fatal(err)
	}
	if _, err := people.Enter(context.Background(), v.all[1], people.SignIn{Name: "Mara", Password: good}); !fault.Is(err, fault.Unknown) {
		t.Errorf("the password of before: %v", err)
	}
	// From one address twenty are free, whatever the names.
	for i := range 21 {
		_, err := people.Enter(context.Background(), v.all[i%2], people.SignIn{Name: fmt.Sprint("name ", i), Password: "guess", Address: "192.0.2.7"})
		if want := map[bool]fault.Code{true: fault.Unknown, false: fault.TooMany}[i < 20]; !fault.Is(err, want) {
			t.Errorf("attempt %d from one address: %v", i, err)
		}
	}
}

func firstOnce(t *testing.T, s studio.Store) {
	v := open(t, s)
	a, b := atOnce(
		func() error { return errOf(people.FirstOwner(context.Background(), v.all[0], "Mara", good, "")) },
		func() error { return errOf(people.FirstOwner(context.Background(), v.all[1], "Nell", good, "")) })
	if (a == nil) == (b == nil) || !fault.Is(errors.Join(a, b), fault.Taken) {
		t.Errorf("one came to %v, the other to %v", a, b)
	}
}

func rolesAtOnce(t *testing.T, s studio.Store) {
	v := open(t, s)
	mara, nell := v.owners()
	key := must[people.NewKey](t)(people.GrantKey(as(nell), v.all[0], people.Grant{Person: nell.Person.ID, Name: "kitchen phone", Most: access.Helper}))
	if who, err := people.ByKey(context.Background(), v.all[1], key.Secret); err != nil || who.Role != access.Helper || who.Person.Name != "Nell" {
		t.Errorf("by the key comes %+v, %v", who, err)
	}
	must[access.Person](t)(people.SetRole(as(mara), v.all[0], nell.Person.ID, access.Reader))
	for by, who := range map[string]people.Who{
		"session": must[people.Who](t)(people.BySession(context.Background(), v.all[1], nell.Token)),
		"key":     must[people.Who](t)(people.ByKey(context.Background(), v.all[1], key.Secret)),
	} {
		if who.Role != access.Reader {
			t.Errorf("by %s she is still %s", by, who.Role)
		}
	}
	if _, err := people.Add(as(nell), v.all[1], "Odo", access.Owner); !fault.Is(err, fault.Denied) {
		t.Errorf("whose page was opened as an owner adds one: %v", err)
	}
	must[access.Person](t)(people.End(as(mara), v.all[0], nell.Person.ID))
	if _, err := people.BySession(context.Background(), v.all[1], nell.Token); !fault.Is(err, fault.Unknown) {
		t.Errorf("by her session: %v", err)
	}
	if _, err := people.ByKey(context.Background(), v.all[1], key.Secret); !fault.Is(err, fault.Unknown) {
		t.Errorf("by her key: %v", err)
	}
	if _, err := people.Add(as(mara), v.all[0], "Nell", access.Reader); !fault.Is(err, fault.Taken) {
		t.Errorf("her name is given again: %v", err)
	}
	bed.Read(t, s, func(tx studio.Tx) error {
		marks, err := tx.RecentMarks(50)
		var told []string
		for _, m := range marks {
			told = append(told, m.Text+", by "+m.Who)
		}
		for _, want := range []string{"Nell may come in no more, by Mara", "Nell may now come in as reader, by Mara", "kitchen phone let in under Nell, by Nell", "Mara may come in as owner, by Mara"} {
			if !slices.Contains(told, want) {
				t.Errorf("the journal does not say %q: %q", want, told)
			}
		}
		return err
	})
}
