package engine

import (
	"context"
	"io"
)

// Upgrade is what opening did to a store that an older program had made: its tables were brought to a later form.
type Upgrade struct {
	From, To int64
	Copy     string // the file of the studio as it was before
}

// CopyOut makes copies of a studio in its own form, for an engine that has none of a file.
type CopyOut struct {
	// Write writes the rows that a transaction sees, in tables of an earlier form, and reports how many there are of each.
	Write func(ctx context.Context, q Session, opt Options, form int64, w io.Writer) (map[string]int64, error)
	// Read reads one to its end, and reports of which form it is and how many rows of each table it holds.
	Read func(r io.Reader) (form int64, rows map[string]int64, err error)
}
