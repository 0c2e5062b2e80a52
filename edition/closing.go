package edition

import (
	"time"

	"solander/calendar"
	"solander/fault"
)

// EndFact is how an edition ended. That it is sold out is told by its numbers, and is neither of these.
type EndFact string

// The two. Closed: nothing more of it is made or sold. Cancelled: its plate or its files can print no more.
const (
	Closed    EndFact = "closed"
	Cancelled EndFact = "cancelled"
)

// Closing is a declaration that an edition was closed, or cancelled; each once, and never taken back.
type Closing struct {
	ID        int64        `json:"id"`
	Edition   int64        `json:"edition"`
	Fact      EndFact      `json:"fact"`
	Files     string       `json:"files"` // what became of plate and files
	Note      string       `json:"note,omitempty"`
	Withdrawn int          `json:"withdrawn"` // numbers that were withdrawn with it
	Day       calendar.Day `json:"day"`
	At        time.Time    `json:"at"`
	Who       string       `json:"who"`
}

// Validate looks at a closing alone.
func (c Closing) Validate() error {
	var l fault.List
	l.Check(c.Edition > 0, "edition", "the edition is missing", "say which edition is meant")
	l.Check(c.Fact == Closed || c.Fact == Cancelled, "fact", "an edition is closed, or cancelled", "use closed or cancelled")
	l.Add(text("files", c.Files, true))
	l.Add(text("note", c.Note, false))
	return l.Err()
}
