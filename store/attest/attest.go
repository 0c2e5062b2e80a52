// Package attest keeps what was said of editions beside their declarations, that they were closed or cancelled, the certificates of their
// prints, and what owners told. Its rows are only ever added; but who told something may be forgotten.
package attest

import (
	"solander/disclosure"
	"solander/edition"
	"solander/fault"
	"solander/store/engine"
	"solander/store/table"
)

// Sayings are what was said, fact by fact.
var Sayings = table.Make("sayings", "saying", func(s *disclosure.Saying) table.Columns {
	return table.Columns{
		"id", &s.ID, "edition", &s.Edition, "fact", &s.Fact, "said", &s.Said, "words", &s.Words, "day", &s.Day, "at", &s.At, "who", &s.Who,
	}
})

// Closings are the ends of editions.
var Closings = table.Make("closings", "closing", func(c *edition.Closing) table.Columns {
	return table.Columns{
		"id", &c.ID, "edition", &c.Edition, "fact", &c.Fact, "files", &c.Files, "note", &c.Note, "withdrawn", &c.Withdrawn,
		"day", &c.Day, "at", &c.At, "who", &c.Who,
	}
})

// AttestRows are what is attested within one transaction.
type AttestRows struct{ conn *table.Conn }

// New returns what is attested, of a transaction.
func New(c *table.Conn) *AttestRows { return &AttestRows{c} }

// Sayings returns what was said of an edition, oldest first.
func (t *AttestRows) Sayings(ed int64) ([]disclosure.Saying, error) {
	return Sayings.List(t.conn, "WHERE edition = $1 ORDER BY id", ed)
}

// AddSaying adds one. Faults: Missing.
func (t *AttestRows) AddSaying(s disclosure.Saying) (int64, error) {
	if err := t.conn.Exists("editions", "edition", s.Edition); err != nil {
		return 0, err
	}
	return Sayings.Add(t.conn, s)
}

// Closings returns the ends of an edition, oldest first.
func (t *AttestRows) Closings(ed int64) ([]edition.Closing, error) {
	return Closings.List(t.conn, "WHERE edition = $1 ORDER BY id", ed)
}

// AddClosing adds one. Faults: Missing; Taken when the edition has one of that fact.
func (t *AttestRows) AddClosing(c edition.Closing) (int64, error) {
	if err := t.conn.Exists("editions", "edition", c.Edition); err != nil {
		return 0, err
	}
	taken := fault.New(fault.Taken, "it is %s already", c.Fact)
	before, err := Closings.List(t.conn, "WHERE edition = $1 AND fact = $2", c.Edition, c.Fact)
	if err == nil && len(before) > 0 {
		err = taken
	}
	if err != nil {
		return 0, err
	}
	id, err := Closings.Add(t.conn, c)
	return id, engine.When(err, engine.Unique, taken)
}
