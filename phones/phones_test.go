package phones

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/access"
	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/people"
	"solander/studio"
)

// home is a studio with an owner.
type home struct {
	*bed.Bed
	owner access.Person
}

func aHome(t *testing.T) *home {
	t.Helper()
	b := bed.New(t)
	in, err := people.FirstOwner(b.Ctx, b.Studio, "Mara Vell", "four plain words here", "a test")
	b.Must(err)
	return &home{b, in.Person}
}

func (h *home) after(d time.Duration) { h.Clock.Instant = h.Clock.Now().Add(d) }

func (h *home) invite(most access.Role) string {
	h.Helper()
	o, err := Invite(h.Ctx, h.Studio, h.owner.ID, most)
	h.Must(err)
	return o.Code
}

func (h *home) letIn(name string) Let {
	h.Helper()
	let, err := LetIn(h.Ctx, h.Studio, h.invite(""), name)
	h.Must(err)
	return let
}

// use is a request with a key: the key that the phone holds afterwards; "" when nobody is let in.
func (h *home) use(key string) string {
	h.Helper()
	k, err := Know(h.Ctx, h.Studio, key)
	h.Must(err)
	switch {
	case k.Why != nil:
		if k.Who.Known() || k.Next != "" || !fault.Is(k.Why, fault.Unknown) {
			h.Errorf("not let in, and yet %+v", k)
		}
		return ""
	case !k.Who.Known():
		h.Error("let in, and nobody knows who it is")
	case k.Next != "":
		return k.Next
	}
	return key
}

func (h *home) why(key string) string {
	h.Helper()
	k, err := Know(h.Ctx, h.Studio, key)
	h.Must(err)
	return fmt.Sprint(k.Why)
}

// A code lets one phone in, once, for ten minutes; however it is typed.
func TestACodeLetsOnePhoneIn(t *testing.T) {
	h := aHome(t)
	code := h.invite(access.Helper)
	if len(code) != 14 || strings.Trim(code, letters+"-") != "" {
		t.Errorf("the code is %q", code)
	}
	typed := strings.ToLower(strings.NewReplacer("-", " ", "0", "o", "1", "l").Replace(code))
	let, err := LetIn(h.Ctx, h.Studio, " "+typed+" ", "kitchen phone")
	h.Must(err)
	k, err := Know(h.Ctx, h.Studio, let.Key)
	h.Must(err)
	if k.Who.Person.Name != "Mara Vell" || k.Who.Role != access.Helper || k.Who.Key != let.Phone.ID {
		t.Errorf("by the key comes %+v", k.Who)
	}
	h.Refused(second(LetIn(h.Ctx, h.Studio, code, "thief")), fault.Refused, "code", "has let a phone in already, at 12:00") // 17:00 UTC, where the studio stands
	old := h.invite("")
	h.after(CodeLasts)
	h.Refused(second(LetIn(h.Ctx, h.Studio, old, "late")), fault.Refused, "code", "ended at 12:10")
	first, next := h.invite(""), h.invite("")
	h.Refused(second(LetIn(h.Ctx, h.Studio, first, "x")), fault.Refused, "code", "ended at")
	h.Must(Withdraw(h.Ctx, h.Studio))
	h.Refused(second(LetIn(h.Ctx, h.Studio, next, "x")), fault.Refused, "code", "ended at")
	h.Refused(second(LetIn(h.Ctx, h.Studio, "ABCD-EFGH", "x")), fault.Invalid, "code", "twelve letters")
	h.Refused(second(LetIn(h.Ctx, h.Studio, "ABCD-EFGH-JKM!", "x")), fault.Invalid, "code", "twelve letters")
	code = h.invite("")
	h.Refused(second(LetIn(h.Ctx, h.Studio, code, " ")), fault.Invalid, "", "")
	if _, err := LetIn(h.Ctx, h.Studio, code, "second phone"); err != nil {
		t.Errorf("a name that was wrong used the code up: %v", err)
	}
	all, err := All(h.Ctx, h.Studio)
	h.Must(err)
	if len(all) != 2 || all[0].Name != "kitchen phone" || all[0].Of != "Mara Vell" {
		t.Errorf("the phones are %+v", all)
	}
	if _, err := Invite(h.Ctx, h.Studio, 99, ""); !fault.Is(err, fault.Missing) {
		t.Errorf("under nobody: %v", err)
	}
	if _, err := Invite(h.Ctx, h.Studio, h.owner.ID, "king"); !fault.Is(err, fault.Invalid) {
		t.Errorf("as a king: %v", err)
	}
}

func second(_ Let, err error) error { return err }

// Ten wrong codes end the one that is open, and then nothing is written any more.
func TestGuessesEnd(t *testing.T) {
	h := aHome(t)
	good := h.invite("")
	for i := range MostTries {
		h.Refused(second(LetIn(h.Ctx, h.Studio, fmt.Sprintf("0000-0000-%04d", i), "x")), fault.Unknown, "code", "no phone is let in by this code")
	}
	h.Refused(second(LetIn(h.Ctx, h.Studio, good, "x")), fault.Refused, "code", "ended at")
	tries := func() (n int) {
		h.Must(h.Read(h.Ctx, func(turn *studio.Turn) error {
			all, err := In(turn).PhoneCodes()
			for _, c := range all {
				n += c.Tries
			}
			return err
		}))
		return n
	}
	for range 5 {
		h.Refused(second(LetIn(h.Ctx, h.Studio, "0000-0000-0000", "x")), fault.Unknown, "code", "")
	}
	if n := tries(); n != MostTries {
		t.Errorf("%d tries are counted", n)
	}
	h.after(2 * told)
	h.invite("")
	if n := tries(); n != 0 {
		t.Error("codes of two days ago are still there")
	}
}

// Sixty-four at once with one code: one phone is let in.
func TestOneCodeManyAtOnce(t *testing.T) {
	h := aHome(t)
	code := h.invite("")
	var in atomic.Int32
	var all sync.WaitGroup
	for i := range 64 {
		all.Go(func() {
			if _, err := LetIn(h.Ctx, h.Studio, code, fmt.Sprint("phone ", i)); err == nil {
				in.Add(1)
			} else if !fault.Is(err, fault.Refused) {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if n := in.Load(); n != 1 {
		t.Errorf("%d were let in", n)
	}
}

// The key turns as it is used. What was asked for at once with the key before is answered; an answer that was lost does no harm.
func TestAKeyTurns(t *testing.T) {
	h := aHome(t)
	first := h.letIn("phone").Key
	for range 2 {
		if h.use(first) != first {
			t.Error("it turned at once")
		}
	}
	h.after(TurnEvery)
	second := h.use(first)
	if second == first || second == "" {
		t.Fatalf("after %s: %q", TurnEvery, second)
	}
	if h.use(first) != first { // on its way with the one that turned it
		t.Error("what came at once with it was not answered, or turned it once more")
	}
	h.after(time.Hour) // the answer was lost: the phone still has the first key
	third := h.use(first)
	if third == first || third == "" || third == second {
		t.Fatalf("after a lost answer: %q", third)
	}
	if h.use(third) != third {
		t.Error("the key that was given does not fit")
	}
	h.after(30 * 24 * time.Hour)
	fourth := h.use(third)
	if fourth == third || fourth == "" {
		t.Error("after a month it does not turn")
	}
	h.after(IdleFor + time.Hour)
	if h.use(fourth) != "" || !strings.Contains(h.why(fourth), "away for so long") {
		t.Errorf("after %s: %s", IdleFor, h.why(fourth))
	}
}

// A copied key: whichever of the two devices comes first after a turn, both end at the latest when the other comes again, and she is told.
func TestACopiedKeyIsFound(t *testing.T) {
	h := aHome(t)
	rapid.Check(t, func(rt *rapid.T) {
		let := h.letIn("phone")
		held := [2]string{let.Key, let.Key} // by the phone and by the thief
		used := [2]bool{}
		for range 60 {
			h.after(time.Duration(rapid.IntRange(1, 15).Draw(rt, "minutes")) * time.Minute)
			who := rapid.IntRange(0, 1).Draw(rt, "who")
			was := held[who]
			held[who] = h.use(was)
			used[who] = true
			if held[who] == "" {
				break
			}
		}
		if !used[0] || !used[1] {
			return
		}
		for range 4 { // both go on, each more than a turn later
			for who := range held {
				h.after(TurnEvery + Grace)
				if held[who] != "" {
					held[who] = h.use(held[who])
				}
			}
		}
		if held[0] != "" || held[1] != "" {
			rt.Fatalf("both were used, and still let in: %q", held)
		}
		if all, err := Cloned(h.Ctx, h.Studio); err != nil || len(all) != 1 || all[0].Name != "phone" {
			rt.Fatalf("she is told of %+v, %v", all, err)
		}
		if !strings.Contains(h.why(let.Key), "used from two devices") {
			rt.Fatalf("the phone is told: %s", h.why(let.Key))
		}
		h.Must(Hide(h.Ctx, h.Studio, let.Phone.ID))
		if all, err := Cloned(h.Ctx, h.Studio); err != nil || len(all) != 0 {
			rt.Fatalf("after she has seen it: %+v, %v", all, err)
		}
	})
}

// A phone alone is never taken for two, whatever it asks for at once and whichever answers are lost.
func TestOnePhoneIsOne(t *testing.T) {
	h := aHome(t)
	rapid.Check(t, func(rt *rapid.T) {
		held := h.letIn("phone").Key
		for range rapid.IntRange(1, 40).Draw(rt, "times") {
			h.after(time.Duration(rapid.IntRange(0, 600).Draw(rt, "seconds")) * time.Second)
			sent := held
			for range rapid.IntRange(1, 4).Draw(rt, "at once") {
				got := h.use(sent)
				if got == "" {
					rt.Fatalf("it is let in no more: %s", h.why(sent))
				}
				if got != sent && rapid.Bool().Draw(rt, "arrives") {
					held = got
				}
			}
		}
	})
}

func TestAPhoneIsEnded(t *testing.T) {
	h := aHome(t)
	one, two := h.letIn("one"), h.letIn("two")
	h.Must(End(h.Ctx, h.Studio, one.Phone.ID))
	if h.use(one.Key) != "" || h.use(two.Key) == "" {
		t.Error("the wrong one is ended")
	}
	if !strings.Contains(h.why(one.Key), "one is let in no more") {
		t.Error(h.why(one.Key))
	}
	h.Refused(End(h.Ctx, h.Studio, 99), fault.Missing, "", "")
	h.Refused(Hide(h.Ctx, h.Studio, two.Phone.ID), fault.Refused, "", "two is let in")
	if all, err := Cloned(h.Ctx, h.Studio); err != nil || len(all) != 0 {
		t.Errorf("she is told of copies: %+v, %v", all, err)
	}
	number, family, turn := one.Phone.ID, strings.Split(two.Key, ".")[1], strings.Split(two.Key, ".")[2]
	for _, strange := range []string{
		"", "x", "1", "1.2", "1.2.3", "99." + family + "." + turn, written(number, family, turn), "-1..", "..", written(two.Phone.ID, "", turn), written(two.Phone.ID, family+"x", turn),
		two.Key + strings.Repeat("x", 300), "0..",
	} {
		if h.use(strange) != "" {
			t.Errorf("%q lets in", strange)
		}
	}
	if h.use(two.Key) == "" {
		t.Error("a stranger's guess ended a phone")
	}
}

// What stands in the store lets nobody in, and a copy holds neither codes nor how keys turn: from a copy phones are let in anew.
func TestNothingKeptLetsIn(t *testing.T) {
	h := aHome(t)
	let := h.letIn("phone")
	var copied bytes.Buffer
	h.Must(house.Backup(h.Ctx, h.Studio, &copied))
	zip, err := gzip.NewReader(&copied)
	h.Must(err)
	text, err := io.ReadAll(zip)
	h.Must(err)
	_, family, turn, _ := parts(let.Key)
	for _, secret := range []string{family, turn, studio.HashOf(family), `"table":"phone_keys"`, `"table":"phone_codes"`} {
		if strings.Contains(string(text), secret) {
			t.Errorf("the copy holds %s", secret)
		}
	}
	h.Must(h.Read(h.Ctx, func(turned *studio.Turn) error {
		k, err := In(turned).PhoneKey(let.Phone.ID)
		if strings.Contains(fmt.Sprint(k), family) {
			t.Error("the family stands in the store as it is")
		}
		return err
	}))
	if _, err := people.ByKey(h.Ctx, h.Studio, let.Key); !fault.Is(err, fault.Unknown) {
		t.Errorf("the key of a phone opens another door: %v", err)
	}
}
