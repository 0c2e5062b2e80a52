package claim

import (
	"fmt"

	"solander/calendar"
	"solander/fault"
)

// AnswerDays is after how many days an answer of the operator is asked for. Common practice, no source: no card says it.
const AnswerDays = 30

// Due is one thing to do for a claim.
type Due struct {
	Deed string       `json:"deed"` // stable: "file", "answer", "paid", "good", "replacement", "close"
	What string       `json:"what"`
	Why  string       `json:"why"`
	By   calendar.Day `json:"by,omitzero"` // the last day on which it is in time; no day = it is not stated
	Late int          `json:"late"`        // days past it
	Wait bool         `json:"wait"`        // it cannot be done yet
}

// Todo says what is to be done for a claim on a day: file it, ask for an answer or the money, make it good to the buyer, close it. sending are
// the prints of a replacement that are still in the house, by name.
func (c Claim) Todo(t Terms, day calendar.Day, sending []string) []Due {
	if !c.Open() {
		return nil
	}
	var out []Due
	switch c.State {
	case Told:
		out = append(out, c.toFile(t, day))
	case Filed:
		if by := c.Filed.Add(AnswerDays); day.After(by) {
			out = append(out, Due{Deed: "answer", What: "ask the operator for its answer", Why: fmt.Sprintf("filed on %s%s", c.Filed.Short(), c.known()), By: by, Late: day.Sub(by)})
		}
	case Granted:
		if by := c.Answered.Add(AnswerDays); day.After(by) {
			out = append(out, Due{Deed: "paid", What: "ask the operator for its payment", Why: fmt.Sprintf("%s granted on %s%s", c.Granted, c.Answered.Short(), c.known()), By: by, Late: day.Sub(by)})
		}
	}
	switch {
	case c.Made == "":
		out = append(out, Due{Deed: "good", What: "make it good to the buyer", Why: "replace the print or pay it back"})
	case len(sending) > 0:
		out = append(out, Due{Deed: "replacement", What: "replacement to make", Why: sending[0] + others(len(sending)-1)})
	case c.State == Refused || c.State == Paid:
		out = append(out, Due{Deed: "close", What: "close the claim", Why: c.State.Words()})
	}
	return out
}

func (c Claim) known() string {
	if c.Reference == "" {
		return ""
	}
	return ", reference " + c.Reference
}

func others(n int) string {
	if n == 0 {
		return ""
	}
	return " and " + fault.Count(n, "more print")
}

func (c Claim) toFile(t Terms, day calendar.Day) Due {
	d := Due{Deed: "file", What: "file the claim with the operator", By: t.Last, Late: t.Late(day)}
	switch {
	case !t.Stated:
		d.Why = "the card does not tell by when; ask the operator"
	case t.Early(day) > 0:
		d.What, d.Why, d.Wait = "file the claim later", fmt.Sprintf("the operator takes it from %s to %s", t.First.Short(), t.Last.Short()), true
	case d.Late > 0:
		d.Why = fmt.Sprintf("its last day was %s; only the operator can say that it is too late", t.Last.Short())
	default:
		d.Why = fmt.Sprintf("by %s, %s left", t.Last.Short(), fault.Count(t.Last.Sub(day), "day"))
	}
	return d
}
