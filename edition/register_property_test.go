package edition

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/calendar"
)

// history draws steps at random; those that the rules refuse leave no entry.
func history(t *rapid.T, tries int) log {
	var l log
	for i := range tries {
		step := rapid.SampledFrom(allSteps()).Draw(t, fmt.Sprint("step ", i))
		line := rapid.Int64Range(0, 3).Draw(t, "line")
		reason := rapid.SampledFrom([]string{"", "a reason"}).Draw(t, "reason")
		_ = l.take(step, line, reason) // a refusal adds nothing
	}
	return l
}

// Whatever steps are tried, in whatever order.
func TestNoSequenceOfStepsBreaksTheRegister(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := history(t, rapid.IntRange(0, 40).Draw(t, "tries"))
		before := FreshStanding()
		for i, e := range l {
			after := e.After
			undone := e.Step == Correct
			if after.Turn != i+1 || e.Turn != i+1 {
				t.Fatalf("entry %d is turn %d and %d", i, e.Turn, after.Turn)
			}
			if after.Struck < 0 || after.Struck > 1 {
				t.Fatalf("entry %d: struck %d times again", i, after.Struck)
			}
			if before.Line != 0 && after.Line != 0 && before.Line != after.Line {
				t.Fatalf("entry %d, %s: line %d lost it to line %d without giving it back", i, e.Step, before.Line, after.Line)
			}
			if before.Line == 0 && after.Line != 0 && e.Step != Promise && !undone {
				t.Fatalf("entry %d: %s gave it to line %d", i, e.Step, after.Line)
			}
			if before.Signed && !after.Signed && e.Step != Spoil && !undone {
				t.Fatalf("entry %d: %s took the signature away", i, e.Step)
			}
			if (before.State == Withdrawn) && !undone {
				t.Fatalf("entry %d: %s of a withdrawn number", i, e.Step)
			}
			stands(t, i, after)
			before = after
		}
		if err := Verify(l); err != nil {
			t.Fatalf("%v is not verified: %v", steps(l), err)
		}
	})
}

// stands checks what is true of every standing on its own.
func stands(t *rapid.T, i int, s Standing) {
	held := s.Line != 0
	ok := true
	switch s.State {
	case Free:
		ok = !held && !s.Signed
	case Promised:
		ok = held && !s.Signed
	case Signed:
		ok = s.Signed
	case Sent:
		ok = held
	case Consigned, SoldThere:
		ok = !held && s.Signed
	case Returned, Kept, Withdrawn:
		ok = !held
	case Spoilt:
		ok = !s.Signed
	default:
		ok = false
	}
	if !ok {
		t.Fatalf("entry %d: it stands %+v", i, s)
	}
}

func steps(l log) []Step {
	var out []Step
	for _, e := range l {
		out = append(out, e.Step)
	}
	return out
}

// A signed number is free again only after its sheet was spoilt, or when the mark "signed" was wrong.
func TestSignedIsNeverSilentlyFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := history(t, rapid.IntRange(0, 40).Draw(t, "tries"))
		signed := false // by the entries in force
		for _, e := range InForce(l) {
			switch e.Step {
			case Sign:
				signed = true
			case Spoil:
				signed = false
			}
			if e.After.Signed != signed || signed && (e.After.State == Free || e.After.State == Promised) {
				t.Fatalf("%v: after %s it stands %+v, signed is %v", steps(l), e.Step, e.After, signed)
			}
		}
	})
}

// The entries in force alone are a history as well, save for their turns; and where they end, the whole
// history ends.
func TestCorrectionsLeaveWhatStoodBefore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := history(t, rapid.IntRange(0, 40).Draw(t, "tries"))
		s := FreshStanding()
		for _, e := range InForce(l) {
			var err error
			if s, err = s.After(e.Step, e.After.Line, e.Note); err != nil {
				t.Fatalf("%v: in force, %s is refused: %v", steps(l), e.Step, err)
			}
		}
		end := l.now()
		if s.Turn, end.Turn = 0, 0; s != end {
			t.Fatalf("%v: what is in force ends in %+v, the history in %+v", steps(l), s, end)
		}
	})
}

// Taking a step and taking it back leaves the number as it stood, two turns on; done for every entry in
// force, it leads back to free.
func TestEveryMarkCanBeTakenBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := history(t, rapid.IntRange(0, 30).Draw(t, "tries"))
		before, n := l.now(), len(l)
		step := rapid.SampledFrom(allSteps()[:len(allSteps())-1]).Draw(t, "step")
		if l.take(step, 2, "a reason") == nil {
			if err := l.take(Correct, 0, ""); err != nil {
				t.Fatal(err)
			}
			before.Turn += 2
			if l.now() != before {
				t.Fatalf("%s and back: %+v, want %+v", step, l.now(), before)
			}
		}
		for range InForce(l) {
			if err := l.take(Correct, 0, ""); err != nil {
				t.Fatal(err)
			}
		}
		if s := l.now(); s != (Standing{State: Free, Turn: len(l)}) || len(l) < n {
			t.Fatalf("all taken back, it stands %+v", s)
		}
		if err := Verify(l); err != nil {
			t.Fatal(err)
		}
	})
}

// tampering changes one field of an entry; it returns false when that entry cannot show the change.
var tampering = map[string]func(t *rapid.T, l log, i int) bool{
	"edition": func(t *rapid.T, l log, i int) bool { l[i].Edition++; return len(l) > 1 },
	"kind":    func(t *rapid.T, l log, i int) bool { l[i].Number.Kind = AP; return len(l) > 1 },
	"number":  func(t *rapid.T, l log, i int) bool { l[i].Number.N++; return len(l) > 1 },
	"seq": func(t *rapid.T, l log, i int) bool {
		if i == 0 {
			return false
		}
		l[i].Seq = l[i-1].Seq - rapid.Int64Range(0, 5).Draw(t, "back")
		return true
	},
	"turn":         func(t *rapid.T, l log, i int) bool { l[i].Turn += amiss(t); return true },
	"after.turn":   func(t *rapid.T, l log, i int) bool { l[i].After.Turn += amiss(t); return true },
	"both turns":   func(t *rapid.T, l log, i int) bool { l[i].Turn++; l[i].After.Turn++; return true },
	"after.struck": func(t *rapid.T, l log, i int) bool { l[i].After.Struck += amiss(t); return true },
	"after.signed": func(t *rapid.T, l log, i int) bool { l[i].After.Signed = !l[i].After.Signed; return true },
	"undoes":       func(t *rapid.T, l log, i int) bool { l[i].Undoes += amiss(t); return true },
	"step": func(t *rapid.T, l log, i int) bool {
		is := func(s Step) bool { return s != l[i].Step }
		l[i].Step = rapid.SampledFrom(append(allSteps(), "jump", "")).Filter(is).Draw(t, "step")
		return true
	},
	"after.state": func(t *rapid.T, l log, i int) bool {
		is := func(s State) bool { return s != l[i].After.State }
		l[i].After.State = rapid.SampledFrom(append(States(), "lost", "")).Filter(is).Draw(t, "state")
		return true
	},
	// To whom a number was promised shows while a later entry says to whom.
	"after.line": func(t *rapid.T, l log, i int) bool {
		was := l[i].After.Line
		l[i].After.Line = rapid.Int64Range(-1, 9).Filter(func(n int64) bool { return n != was }).Draw(t, "line")
		return l[i].Step != Promise || l[i].After.Line <= 0 || i+1 < len(l) && l[i+1].After.Line == was
	},
	"reason": func(t *rapid.T, l log, i int) bool {
		l[i].Note = ""
		return l[i].Step == Spoil || l[i].Step == Withdraw
	},
}

func amiss(t *rapid.T) int {
	return rapid.SampledFrom([]int{-3, -1, 1, 2}).Draw(t, "amiss")
}

func TestVerifySeesEveryTamperedEntry(t *testing.T) {
	for name, tamper := range tampering {
		t.Run(name, func(t *testing.T) {
			seen := 0
			law := func(t *rapid.T) {
				l := history(t, 25)
				if len(l) == 0 {
					return
				}
				bad := slices.Clone(l)
				if i := rapid.IntRange(0, len(l)-1).Draw(t, "entry"); !tamper(t, bad, i) {
					return
				}
				seen++
				if Verify(bad) == nil {
					t.Fatalf("%v: entry changed unseen\nfrom %+v\nto   %+v", steps(l), l, bad)
				}
			}
			for range 9 { // a run that drew little draws on
				if rapid.Check(t, law); seen > 0 {
					break
				}
			}
			if seen == 0 {
				t.Error("no entry was tampered with: nothing was tested")
			}
		})
	}
}

// An entry taken out, put in twice or moved is seen; only the latest can be torn off unseen.
func TestVerifySeesMissingAndMovedEntries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := history(t, 30)
		if len(l) < 2 {
			return
		}
		i := rapid.IntRange(0, len(l)-2).Draw(t, "entry")
		for what, bad := range map[string]log{
			"taken out": slices.Delete(slices.Clone(l), i, i+1),
			"twice":     slices.Insert(slices.Clone(l), i, l[i]),
		} {
			if Verify(bad) == nil {
				t.Fatalf("%v: entry %d %s unseen", steps(l), i, what)
			}
		}
		moved := slices.Clone(l)
		moved[i], moved[i+1] = moved[i+1], moved[i]
		moved[i].Seq, moved[i+1].Seq = moved[i+1].Seq, moved[i].Seq
		if Verify(moved) == nil {
			t.Fatalf("%v: entries %d and %d exchanged unseen", steps(l), i, i+1)
		}
		if err := Verify(l[:len(l)-1]); err != nil {
			t.Fatalf("%v without its latest entry: %v", steps(l), err)
		}
	})
}

// What the rules leave open may differ: who wrote an entry, when, and in which words.
func TestVerifyLeavesTheRestOpen(t *testing.T) {
	l := logOf(t, Promise, Sign, Send, Return)
	for i := range l {
		l[i].Who, l[i].Order, l[i].Note = "someone", "S-9", "other words"
		l[i].At, l[i].Day = time.Date(2031, 3, 2, 9, 0, 0, 0, time.UTC), calendar.Date(2031, 3, 2)
	}
	if err := Verify(l); err != nil {
		t.Error(err)
	}
}

// Many orders after the numbers of one edition: no number is ever held by two, and no order that gave
// its number back holds it still.
func TestNoNumberIsHeldTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		numbers := make([]log, 4)
		holds := map[int64]int{} // line → number, as the orders remember it
		for i := range rapid.IntRange(0, 60).Draw(t, "tries") {
			n := rapid.IntRange(0, len(numbers)-1).Draw(t, fmt.Sprint("number ", i))
			line := int64(rapid.IntRange(1, 6).Draw(t, "line"))
			step := rapid.SampledFrom([]Step{Promise, Sign, Release, Spoil, Restrike, Send, Return}).Draw(t, "step")
			if _, has := holds[line]; has && step == Promise {
				continue // an order line holds one number: the store's index
			}
			was := numbers[n].now().Line
			if numbers[n].take(step, line, "a reason") != nil {
				continue
			}
			switch is := numbers[n].now().Line; {
			case was == 0 && is != 0:
				holds[is] = n
			case was != 0 && is == 0:
				delete(holds, was)
			case was != is:
				t.Fatalf("number %d went from line %d to %d by %s", n, was, is, step)
			}
		}
		for n := range numbers {
			if line := numbers[n].now().Line; line != 0 && holds[line] != n {
				t.Fatalf("number %d says line %d, which holds %d", n, line, holds[line])
			}
		}
		for line, n := range holds {
			if numbers[n].now().Line != line {
				t.Fatalf("line %d holds number %d, which stands %+v", line, n, numbers[n].now())
			}
		}
	})
}
