package intake

import (
	"fmt"
	"strconv"

	"solander/calendar"
	"solander/measure"
	"solander/money"
)

// Fact is something that a note says, as far as it was understood. It is a proposal: nothing of it is taken
// without the answer Yes to its ID.
type Fact struct {
	ID     string   `json:"id"`
	Kind   FactKind `json:"kind"`
	Row    int      `json:"row"`    // in the proposal's Rows, counted from 0
	Column int      `json:"column"` // of the note, counted from 0
	// Words are the bytes from Start up to and without End of the cell's text: the words it was read from.
	Words string `json:"words"`
	Start int    `json:"start"`
	End   int    `json:"end"`

	Amount  money.Amount   `json:"amount,omitzero"`
	Percent int            `json:"percent,omitempty"` // of the total: a half is 50
	Day     calendar.Day   `json:"day,omitzero"`
	NoYear  bool           `json:"no_year,omitempty"` // the year was not written: the first such day from the sale on, of SoldOnDay and SomeDay the nearest
	Width   measure.Length `json:"width_nm,omitempty"`
	Height  measure.Length `json:"height_nm,omitempty"`
	Text    string         `json:"text,omitempty"` // of a grade, a number, a count

	Sure    Confidence `json:"sure"`
	Against []string   `json:"against,omitempty"` // ids of facts that contradict it, and "row" for the row's own columns
	Says    string     `json:"says"`              // the fact in plain words: "80.00 USD still owed"
	Taken   bool       `json:"taken"`             // she said yes
	Refused bool       `json:"refused"`           // she said no
}

// FactKind tells what a fact is about.
type FactKind string

// The kinds of facts.
const (
	PaidPart   FactKind = "paid"         // an amount, or Percent of the total, was paid
	PaidAll    FactKind = "paid-in-full" // nothing is owed
	StillOwed  FactKind = "owed"         // an amount, or Percent, is still owed
	NotPaid    FactKind = "not-paid"     // nothing was paid
	SheetOn    FactKind = "sheet-on"     // the sheet comes, or came, from the lab on that day
	LabDay     FactKind = "lab-day"      // something happened at the lab on that day: no day of the sale or of its sending
	HoldUntil  FactKind = "hold-until"   // not to be sent before that day
	NeededBy   FactKind = "needed-by"    // to arrive by that day
	SentOnDay  FactKind = "sent-on"      // it left on that day
	SoldOnDay  FactKind = "sold-on"      // ordered on that day
	OfSize     FactKind = "size"
	OfGrade    FactKind = "grade"
	OfNumber   FactKind = "number"
	HowMany    FactKind = "quantity"
	IsGift     FactKind = "gift"
	SomeDay    FactKind = "day"    // a day without a word that says what for
	SomeAmount FactKind = "amount" // an amount without a word that says what for
)

// Confidence says how plainly a fact is written.
type Confidence string

// The confidences.
const (
	Plain    Confidence = "plain"    // the words say it and nothing else
	Likely   Confidence = "likely"   // the usual reading of the words
	Doubtful Confidence = "doubtful" // one of several readings
)

// Answers to facts.
const (
	Yes = "yes"
	No  = "no"
)

// Answers are what she said: the id of a fact or question, and Yes, No or the value chosen.
type Answers map[string]string

// InWords tells a fact in plain words.
func (f Fact) InWords() string {
	what := f.Amount.String()
	switch {
	case f.Percent > 0:
		what = strconv.Itoa(f.Percent) + " % of the total"
	case f.Amount.IsZero() && f.Text != "":
		what = f.Text
	case f.Amount.IsZero():
		what = "something"
	}
	day := f.Day.Long()
	if f.Day.IsZero() {
		day = f.Text
	}
	switch f.Kind {
	case PaidPart:
		return what + " is paid"
	case StillOwed:
		return what + " is still owed"
	case PaidAll:
		return "paid in full"
	case NotPaid:
		return "nothing is paid yet"
	case SomeAmount:
		return what + ", and the words do not say what for"
	case SomeDay:
		return day + ", and the words do not say what for"
	case OfSize:
		return sizeWords(f)
	case OfGrade:
		return "grade " + f.Text
	case OfNumber:
		return "number " + f.Text
	case HowMany:
		return f.Text + " prints"
	case IsGift:
		return "it is a gift"
	}
	return fmt.Sprintf("%s %s", map[FactKind]string{
		SheetOn: "the sheet is due from the lab on", LabDay: "a day at the lab:", HoldUntil: "not to be sent before", NeededBy: "to arrive by", SentOnDay: "sent on", SoldOnDay: "sold on",
	}[f.Kind], day)
}

func sizeWords(f Fact) string {
	if f.Width == 0 {
		return "size " + f.Text + ", without a unit"
	}
	system := measure.SystemOf(f.Width, f.Height)
	return "size " + f.Width.In(system) + " × " + f.Height.In(system)
}
