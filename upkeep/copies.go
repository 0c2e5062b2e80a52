package upkeep

import (
	"context"
	"encoding/json"
	"time"

	"solander/fault"
)

// LeftFor says that the studio was left for another machine. It can only be read here until that is taken back.
type LeftFor struct {
	At   time.Time `json:"at"` // the zero time: it was not
	Who  string    `json:"who"`
	File string    `json:"file"` // what it was carried away in; "" = that is not written yet
}

// Refused is what a write is told.
func (l LeftFor) Refused() error {
	return fault.New(fault.Refused, "this studio was left for another computer on %s, and can only be read here", l.At.Format("2 January 2006")).
		ToMend("work on there; or take it back here, on the page Copies or by: solander leave --back")
}

type aboutLeaving struct{}

// WhileLeaving is a context whose writes are about leaving the studio, or coming back: they alone may be made in one that was left.
func WhileLeaving(ctx context.Context) context.Context {
	return context.WithValue(ctx, aboutLeaving{}, true)
}

// AboutLeaving reports whether a context is from WhileLeaving.
func AboutLeaving(ctx context.Context) bool { return ctx.Value(aboutLeaving{}) != nil }

// CopyStore keeps which studio it is, what its copies go by, and whether it was left. Only the first goes into a copy.
type CopyStore interface {
	Identity() (string, error) // 16 hexadecimal digits; "" before it has any
	// SaveIdentity gives the studio its mark, which never changes. Faults: Taken when it has another one.
	SaveIdentity(mark string) error
	Copying() (json.RawMessage, error) // nil before anything was chosen
	SaveCopying(json.RawMessage) error
	LeftFor() (LeftFor, error)
	SaveLeftFor(LeftFor) error // the zero LeftFor: it was not left, or is taken back
}
