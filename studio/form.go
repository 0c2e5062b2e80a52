package studio

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"sync/atomic"
	"time"

	"solander/fault"
)

// Form is one sending of a form of the pages. A form with a key is done once: the key is kept in the transaction
// that writes, so that neither a second click, nor a form sent again when nobody knows what became of the first, can
// do a thing twice.
type Form struct {
	Key   string // drawn by chance when the page was made; "" = it may be done any number of times
	Print string // tells what was typed from all else that may be typed, in hex

	wrote atomic.Bool
	mark  atomic.Int64
}

// Wrote reports whether something was written for this sending.
func (f *Form) Wrote() bool { return f.wrote.Load() }

// Made is the last mark that was made for this sending; 0 = none. Of the journal's last nobody knows who made it.
func (f *Form) Made() int64 { return f.mark.Load() }

// SentForm is a form that was sent and done, as the store keeps it.
type SentForm struct {
	Key   string // SHA-256 of the form's key, in hex
	Print string
	Mark  int64 // the first mark of what it did; 0 = it made none
	At    time.Time
}

// keepForms is how many forms are known again: those that were done last. It goes by count alone, so that a clock
// that is set makes none be forgotten.
const keepForms = 10_000

// SentBefore is the error of a form that was sent before and done then.
type SentBefore struct {
	Mark Mark // what it did; the zero Mark when it made none
}

// Error says so.
func (s *SentBefore) Error() string { return "this form was sent before, and was done then" }

type (
	formKey struct{}
	partKey struct{}
)

// WithForm returns a context in which what is written belongs to a form.
func WithForm(ctx context.Context, f *Form) context.Context {
	return context.WithValue(ctx, formKey{}, f)
}

// Part returns a context for a write that is not the last of its form: the key is kept with the last one.
func Part(ctx context.Context) context.Context { return context.WithValue(ctx, partKey{}, true) }

// FormOf returns the form that a context belongs to, or nil.
func FormOf(ctx context.Context) *Form {
	f, _ := ctx.Value(formKey{}).(*Form)
	return f
}

// Commit runs f in one writing transaction, and keeps the key of the form in it. Faults: those of Store.Write; a
// SentBefore when the form was done before; Taken when it was done with other contents.
func (s *Studio) Commit(ctx context.Context, f func(Tx) error) error {
	form := FormOf(ctx)
	if form == nil {
		return s.Store.Write(ctx, f)
	}
	once := form.Key != "" && !form.Wrote() && ctx.Value(partKey{}) == nil
	var seen *markedTx
	err := s.Store.Write(ctx, func(tx Tx) error {
		seen = &markedTx{Tx: tx}
		if once {
			return form.once(seen, f)
		}
		return f(seen)
	})
	if err == nil {
		form.wrote.Store(true)
		if seen.last != 0 {
			form.mark.Store(seen.last)
		}
	}
	return err
}

// once does f, unless the form was done before.
func (f *Form) once(seen *markedTx, do func(Tx) error) error {
	if err := f.before(seen); err != nil {
		return err
	}
	if err := do(seen); err != nil {
		return err
	}
	return seen.AddSentForm(SentForm{Key: f.hash(), Print: f.Print, Mark: seen.first, At: seen.Now()}, keepForms)
}

// before returns a SentBefore or a Taken when the form was done before.
func (f *Form) before(tx Tx) error {
	was, err := tx.SentForm(f.hash())
	if fault.Is(err, fault.Missing) {
		return nil
	}
	if err != nil {
		return err
	}
	var m Mark
	if was.Mark != 0 {
		if m, err = tx.Mark(was.Mark); err != nil {
			return err
		}
	}
	if was.Print == f.Print {
		return &SentBefore{m}
	}
	what := "this form was sent before with other words, and was done then"
	if m.Text != "" {
		what += fmt.Sprintf(": %s", m.Text)
	}
	return fault.New(fault.Taken, "%s", what).ToMend("look at what it did; if this is meant to be done as well, send it once more")
}

func (f *Form) hash() string {
	sum := sha256.Sum256([]byte(f.Key))
	return hex.EncodeToString(sum[:])
}

// SentBefore reports whether a form was sent before with the same contents and done then: a *SentBefore says what it
// did.
func (s *Studio) SentBefore(ctx context.Context, f *Form) error {
	if f.Key == "" {
		return nil
	}
	err := s.Store.Read(ctx, func(tx Tx) error { return f.before(tx) })
	if fault.Is(err, fault.Taken) {
		return nil // the write says so, beside what was typed
	}
	return err
}

// markedTx notes the first and the last mark that are made.
type markedTx struct {
	Tx
	first, last int64
}

// AddMark keeps a mark in the journal, with the key of the form that made it.
func (t *markedTx) AddMark(m Mark) (int64, error) {
	id, err := t.Tx.AddMark(m)
	if err == nil {
		t.first, t.last = cmp.Or(t.first, id), id
	}
	return id, err
}
