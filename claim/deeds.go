package claim

import (
	"solander/calendar"
	"solander/fault"
	"solander/money"
)

// Terms are by what a claim is filed: the days of the price card, and the cover of the parcel.
type Terms struct {
	Posted calendar.Day `json:"posted"`
	First  calendar.Day `json:"first,omitzero"`
	Last   calendar.Day `json:"last,omitzero"`
	Stated bool         `json:"stated"` // the card says the days
	Card   string       `json:"card,omitempty"`
	Words  string       `json:"words,omitempty"`  // of the card: "from day 15 to day 60"
	Note   string       `json:"note,omitempty"`   // where other days hold
	Source string       `json:"source,omitempty"` // of the days
	Status string       `json:"status,omitempty"`
	Cover  money.Amount `json:"cover"` // up to which the parcel is covered
	Worth  money.Amount `json:"worth"` // of the prints that the claim is about, at their prices
}

// Most is what the claim comes to at most: the worth of its prints, up to the cover.
func (t Terms) Most() money.Amount {
	return money.Of(min(t.Cover.Minor, t.Worth.Minor), t.Cover.Currency)
}

// Late is by how many days a day is past the last one; 0 = it is not, or the card does not tell.
func (t Terms) Late(day calendar.Day) int {
	if !t.Stated {
		return 0
	}
	return max(0, day.Sub(t.Last))
}

// Early is by how many days a day is before the first one.
func (t Terms) Early(day calendar.Day) int {
	if !t.Stated {
		return 0
	}
	return max(0, t.First.Sub(day))
}

func (c Claim) step(on calendar.Day, from ...State) error {
	for _, s := range from {
		if c.State == s {
			if on.Before(c.last()) {
				return fault.Invalidf("day", "%s is before what was noted last, of %s", on, c.last()).ToMend("look at the day")
			}
			return nil
		}
	}
	return fault.New(fault.Refused, "the claim is %s", c.said()).In("claim").ToMend("look at it again; what was noted wrongly is taken back first")
}

func (c Claim) said() string {
	switch c.State {
	case Granted:
		return "granted already"
	case Refused:
		return "refused already"
	case Paid:
		return "paid already"
	case Void:
		return "void: it was noted wrongly"
	}
	return c.State.Words()
}

// last is the latest day that was noted with the operator.
func (c Claim) last() calendar.Day {
	out := c.Told
	for _, d := range []calendar.Day{c.Filed, c.Answered, c.PaidOn} {
		if d.After(out) {
			out = d
		}
	}
	return out
}

// Filing is what is said when a claim is filed.
type Filing struct {
	Day       calendar.Day
	Reference string
	Amount    money.Amount
	Above     string // why more than the cover is claimed; needed for that alone
}

// File notes that the operator has the claim. One that is late is filed all the same: only the operator can say that it is too late.
// Faults: Refused when it was filed, before the first day, or above the cover without a word why; Invalid.
func (c Claim) File(in Filing, t Terms) (Claim, error) {
	if err := c.step(in.Day, Told); err != nil {
		return c, err
	}
	if in.Amount.Sign() <= 0 || in.Amount.Minor > money.MaxMinor {
		return c, fault.Invalidf("amount", "nothing, a negative or an absurd amount is claimed").ToMend("give what is claimed, such as %s", t.Most())
	}
	if n := t.Early(in.Day); n > 0 {
		return c, fault.New(fault.Refused, "it is %s too early: the operator takes it from %s on", fault.Count(n, "day"), t.First).In("day").ToMend("file it on that day; until then note what is told")
	}
	if in.Amount.Minor > t.Cover.Minor && in.Above == "" {
		return c, fault.New(fault.Refused, "%s is more than the cover of %s", in.Amount, t.Cover).In("amount").ToMend("claim %s at most, or say why it is more", t.Cover)
	}
	if in.Amount.Minor <= t.Cover.Minor {
		in.Above = ""
	}
	c.State, c.Filed, c.Reference, c.Claimed, c.Above = Filed, in.Day, in.Reference, in.Amount, in.Above
	return c, nil
}

// Hear notes the operator's answer: what it grants, nothing when it refuses. Faults: Refused; Invalid.
func (c Claim) Hear(on calendar.Day, granted money.Amount, words string) (Claim, error) {
	if err := c.step(on, Filed); err != nil {
		return c, err
	}
	if granted.Sign() < 0 || granted.Minor > c.Claimed.Minor {
		return c, fault.Invalidf("granted", "%s is negative, or more than the %s that was claimed", granted, c.Claimed).ToMend("give what the operator pays; 0 when it refuses")
	}
	c.State, c.Answered, c.Granted, c.Answer = Granted, on, granted, words
	if granted.IsZero() {
		c.State = Refused
	}
	return c, nil
}

// Receive notes that the operator paid. Without an answer before, the payment is the answer. Faults: Refused; Invalid.
func (c Claim) Receive(on calendar.Day, amount money.Amount) (Claim, error) {
	if err := c.step(on, Filed, Granted); err != nil {
		return c, err
	}
	most := c.Granted
	if c.State == Filed {
		most = c.Claimed
	}
	if amount.Sign() <= 0 || amount.Minor > most.Minor {
		return c, fault.Invalidf("amount", "%s is nothing, negative, or more than the %s that it owes", amount, most).ToMend("look at what came in")
	}
	if c.State == Filed {
		c.Answered, c.Granted = on, amount
	}
	c.State, c.PaidOn, c.Paid = Paid, on, amount
	return c, nil
}

// End closes a claim; what was granted and is not paid is written off. Faults: Refused while the buyer is not served, unless nothing is to be made
// good.
func (c Claim) End(on calendar.Day, arrived bool) (Claim, error) {
	if err := c.step(on, Told, Filed, Granted, Refused, Paid); err != nil {
		return c, err
	}
	switch {
	case arrived && c.Made != "" && c.Made != Arrived:
		return c, fault.New(fault.Refused, "it was made good already: %s", c.Made.Words()).In("arrived").ToMend("close it without saying that it arrived")
	case arrived:
		c.Made, c.MadeOn = Arrived, on
	case c.Made == "":
		return c, fault.New(fault.Refused, "nothing was made good to the buyer").In("arrived").ToMend("replace the print, pay it back, or say that nothing is to be made good")
	}
	c.State, c.Ended = Closed, on
	return c, nil
}

// MakeGood notes what the buyer gets. Faults: Refused when that was noted, or the claim is void.
func (c Claim) MakeGood(on calendar.Day, how Made, losses []Loss, instead []int64) (Claim, error) {
	if c.Made != "" {
		return c, fault.New(fault.Refused, "it was made good already: %s", c.Made.Words()).In("claim").ToMend("look at the order")
	}
	if !c.Open() {
		return c, fault.New(fault.Refused, "the claim is %s", c.said()).In("claim").ToMend("look at it again")
	}
	c.Made, c.MadeOn, c.Losses, c.Instead = how, on, losses, instead
	return c, nil
}
