package edition

import (
	"slices"
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
)

// State is where a number stands.
type State string

// The states of a number. Signed with a holder is ready for its buyer; signed without one lies in the
// drawer, signed. Sent is out of the house; returned is back in it, as it left, without a holder. Consigned is
// at a gallery, still the artist's own; sold by the gallery it has its buyer, whom no order names.
const (
	Free      State = "free"
	Promised  State = "promised"
	Signed    State = "signed"
	Sent      State = "sent"
	Returned  State = "returned"
	Spoilt    State = "spoilt"     // the sheet is destroyed
	Kept      State = "kept"       // in the artist's archive
	Withdrawn State = "withdrawn"  // never to be sold
	Consigned State = "consigned"  // at a gallery, for sale
	SoldThere State = "sold-there" // by the gallery at which it was
)

// States returns all states, in the order of a number's life.
func States() []State {
	return []State{Free, Promised, Signed, Sent, Consigned, SoldThere, Returned, Spoilt, Kept, Withdrawn}
}

// Step is one thing that happens to a number.
type Step string

// The steps. Each is one entry of the register.
const (
	Promise  Step = "promise"  // to an order line
	Release  Step = "release"  // the line gives it back; a signed sheet stays signed
	Sign     Step = "sign"     // signed and numbered by the artist
	Send     Step = "send"     // handed over to the operator or the buyer
	Return   Step = "return"   // the sheet came back whole
	Spoil    Step = "spoil"    // the sheet is destroyed; with a reason
	Restrike Step = "restrike" // a new sheet takes a spoilt number, once
	Keep     Step = "keep"     // into the artist's archive
	Withdraw Step = "withdraw" // out of the edition for good
	Consign  Step = "consign"  // to a gallery, signed
	Sell     Step = "sell"     // by the gallery that has it
	Correct  Step = "correct"  // takes a wrong mark back: the number stands as before it
)

// Standing is what the register says of one number now. The zero Standing but for State is free.
type Standing struct {
	State  State `json:"state"`
	Line   int64 `json:"line,omitempty"` // the order line that holds it; 0 = none
	Signed bool  `json:"signed"`         // a signed sheet of it exists (or existed, once sent)
	Struck int   `json:"struck"`         // how often it was struck again: 0 or 1
	Turn   int   `json:"turn"`           // entries so far; the next entry has Turn + 1
}

// Entry is one line of the register. Entries are only ever added.
type Entry struct {
	Seq     int64        `json:"seq"` // position in the whole register, given by the store
	Edition int64        `json:"edition"`
	Number  Number       `json:"number"`
	Turn    int          `json:"turn"` // 1, 2, 3 … within the number; unique with it, so no two writers take one turn
	Step    Step         `json:"step"`
	After   Standing     `json:"after"` // how the number stands after this entry
	Order   string       `json:"order,omitempty"`
	Day     calendar.Day `json:"day"`
	At      time.Time    `json:"at"`
	Who     string       `json:"who"`
	Note    string       `json:"note,omitempty"`
	Undoes  int          `json:"undoes,omitempty"` // for Correct: the turn it takes back, the latest in force
}

// FreshStanding is how a number stands before its first entry.
func FreshStanding() Standing { return Standing{State: Free} }

// rule is one allowed step: from which states, whether the number must be held or not, what follows.
type rule struct {
	from   []State
	held   int  // 1: a line must hold it; -1: no line may hold it; 0: either
	signed bool // there must be a signed sheet
	reason bool
	then   func(Standing, int64) Standing
}

var rules = map[Step]rule{
	Promise: {from: []State{Free, Signed, Returned}, held: -1, then: func(s Standing, line int64) Standing {
		s.Line, s.State = line, Promised
		if s.Signed {
			s.State = Signed
		}
		return s
	}},
	Release: {from: []State{Promised, Signed, Kept, Spoilt}, then: func(s Standing, _ int64) Standing {
		s.Line = 0
		switch {
		case s.State == Spoilt:
		case s.Signed:
			s.State = Signed
		default:
			s.State = Free
		}
		return s
	}},
	Sign: {from: []State{Free, Promised, Returned, Kept}, then: func(s Standing, _ int64) Standing {
		s.Signed = true
		if s.State != Kept {
			s.State = Signed
		}
		return s
	}},
	Send: {from: []State{Promised, Signed}, held: 1, then: func(s Standing, _ int64) Standing { s.State = Sent; return s }},
	Return: {from: []State{Sent, Consigned, SoldThere}, then: func(s Standing, _ int64) Standing {
		s.State, s.Line = Returned, 0
		return s
	}},
	Spoil: {from: []State{Free, Promised, Signed, Sent, Consigned, SoldThere, Returned, Kept}, reason: true, then: func(s Standing, _ int64) Standing {
		s.State, s.Signed = Spoilt, false
		return s
	}},
	Restrike: {from: []State{Spoilt}, then: func(s Standing, _ int64) Standing {
		s.Struck++
		s.State = Free
		if s.Line != 0 {
			s.State = Promised
		}
		return s
	}},
	Consign:  {from: []State{Signed, Returned}, held: -1, signed: true, then: func(s Standing, _ int64) Standing { s.State = Consigned; return s }},
	Sell:     {from: []State{Consigned}, then: func(s Standing, _ int64) Standing { s.State = SoldThere; return s }},
	Keep:     {from: []State{Free, Signed, Returned}, held: -1, then: func(s Standing, _ int64) Standing { s.State = Kept; return s }},
	Withdraw: {from: []State{Free, Signed, Returned, Kept, Spoilt}, held: -1, reason: true, then: func(s Standing, _ int64) Standing { s.State = Withdrawn; return s }},
}

// After returns how a number stands after a step; line is the order line for Promise. Correct is not a
// step of this table: see Corrected.
// Faults: Taken when somebody holds the number, Refused when the step is not allowed from here or was
// used up, Invalid when a reason is missing.
func (s Standing) After(step Step, line int64, reason string) (Standing, error) {
	r, ok := rules[step]
	if !ok {
		return s, fault.New(fault.Invalid, "%.40q is not a step of a number", string(step))
	}
	if step == Promise && (s.State == Promised || s.State == Signed && s.Line != 0 || s.State == Sent || s.State == Consigned || s.State == SoldThere) {
		return s, fault.New(fault.Taken, "it is %s already", takenAs(s.State)).ToMend("choose a free number").In("number")
	}
	switch {
	case step == Consign && s.State == Free:
		return s, fault.New(fault.Refused, "it is not signed").ToMend("sign it first").In("number")
	case !slices.Contains(r.from, s.State):
		return s, fault.New(fault.Refused, "a %s number cannot take the step %q", s.State, step).ToMend("see its history in the register").In("number")
	case r.held > 0 && s.Line == 0:
		return s, fault.New(fault.Refused, "no order holds it").ToMend("promise it to an order first").In("number")
	case r.held < 0 && s.Line != 0:
		return s, fault.New(fault.Taken, "an order holds it").ToMend("cancel the order or give it another number first").In("number")
	case step == Release && s.Line == 0 && s.State != Kept:
		return s, fault.New(fault.Refused, "no order holds it, and it is not in the archive").ToMend("see its history in the register").In("number")
	case step == Sign && s.Signed:
		return s, fault.New(fault.Refused, "it is signed already").ToMend("see its history in the register").In("number")
	case r.signed && !s.Signed:
		return s, fault.New(fault.Refused, "it is not signed").ToMend("sign it first").In("number")
	case r.reason && strings.TrimSpace(reason) == "":
		return s, fault.Invalidf("reason", "the reason is missing").ToMend("say in a few words why")
	case step == Promise && line <= 0:
		return s, fault.Invalidf("line", "the order line is missing")
	case step == Restrike && s.Struck > 0:
		return s, fault.New(fault.Refused, "it was struck again once already").ToMend("a number may be struck again only once: withdraw it").In("number")
	}
	after := r.then(s, line)
	after.Turn++
	return after, nil
}

func takenAs(s State) string {
	switch s {
	case Signed:
		return "signed for an order"
	case SoldThere:
		return "sold by a gallery"
	}
	return string(s)
}

// InForce returns the entries of one number that were not taken back, in order: a correction removes
// the latest one that was still in force before it, and is never in force itself. history holds the
// number's entries in order.
func InForce(history []Entry) []Entry {
	var out []Entry
	for _, e := range history {
		switch {
		case e.Step != Correct:
			out = append(out, e)
		case len(out) > 0:
			out = out[:len(out)-1]
		}
	}
	return out
}

// Corrected returns how a number stands after the latest entry in force was taken back: as before that
// entry, one turn on. So marks are taken back one after the other, the latest first; a correction itself
// cannot be corrected. history holds the number's entries in order.
// Faults: Refused when there is nothing to take back.
func Corrected(history []Entry) (Standing, error) {
	valid := InForce(history)
	if len(valid) == 0 {
		return FreshStanding(), fault.New(fault.Refused, "there is no entry of this number to take back").ToMend("see its history in the register")
	}
	before := FreshStanding()
	if len(valid) > 1 {
		before = valid[len(valid)-2].After
	}
	before.Turn = history[len(history)-1].Turn + 1
	return before, nil
}

// Verify replays the entries of one number from the start and reports the first entry that is out of
// its place, that the rules do not allow, or whose standing is not what follows from them.
//
// It cannot see what the rules leave open: day, time, who and order mark of an entry, the words of a
// note, and to which line a number was promised, as long as the later entries say the same.
func Verify(history []Entry) error {
	s := FreshStanding()
	for i, e := range history {
		if first := history[0]; e.Edition != first.Edition || e.Number != first.Number || i > 0 && e.Seq <= history[i-1].Seq {
			return fault.New(fault.Refused, "entry %d (%s of %s) is out of its place", e.Seq, e.Step, e.Number)
		}
		want, err := follow(s, history[:i], e)
		if err != nil {
			return fault.New(fault.Refused, "entry %d (%s of %s) is not allowed", e.Seq, e.Step, e.Number).Because(err)
		}
		if e.Turn != want.Turn || e.After != want {
			return fault.New(fault.Refused, "entry %d (%s of %s) does not follow from the one before", e.Seq, e.Step, e.Number)
		}
		s = want
	}
	return nil
}

// follow returns how a number that stands so after past stands after e.
func follow(s Standing, past []Entry, e Entry) (Standing, error) {
	if e.Step != Correct {
		if e.Undoes != 0 {
			return s, fault.New(fault.Refused, "it is no correction, and says that it takes back turn %d", e.Undoes)
		}
		return s.After(e.Step, e.After.Line, e.Note)
	}
	want, err := Corrected(past)
	if valid := InForce(past); err == nil && e.Undoes != valid[len(valid)-1].Turn {
		err = fault.New(fault.Refused, "it says that it takes back turn %d", e.Undoes)
	}
	return want, err
}
