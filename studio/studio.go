// Package studio is the use cases: one file each, one transaction each. The faces call only this
// package; it calls the domain rooms and, through its own interfaces, a store.
//
// Every write checks the form first (Validate, the same for every face), then opens one transaction,
// asks the rules, and writes. Whether a number is free is asked inside the transaction.
package studio

import (
	"context"
	"crypto/rand"
	"io"
	"log/slog"
	"time"

	"solander/dayplan"
	"solander/intake"
	"solander/tariff"
)

// Studio is the use cases over one store. It is safe for concurrent use.
type Studio struct {
	Store Store
	Clock func() time.Time
	Cards *cardShelf
	Plans *dayplan.Plans
	zones func(from tariff.Place) (tariff.ZoneTable, bool)

	Random io.Reader
	Files  FileReader
	Times  Times
}

// Options are what New needs beside the store. Clock defaults to time.Now.
type Options struct {
	Clock func() time.Time
	// Cards reads the bundled price cards, once they are asked for: few commands ask, and to read them takes longer than most
	// commands. The studio's own come from the store.
	Cards func() ([]tariff.Card, error)
	// Zones estimates a zone table for an origin that no card has a chart for; nil = never.
	Zones func(from tariff.Place) (table tariff.ZoneTable, ok bool)
	// Random gives the chance in tokens and secrets; nil = crypto/rand.
	Random io.Reader
	// Files reads workbooks and text files to be brought in; nil = none is read.
	Files FileReader
	// Times bound what a face waits for.
	Times Times
	// Planning is told of each plan that is made; what it returns is called when that ends. nil = nobody is told.
	Planning func() (ended func())
}

// Times bound searches whose answer is the best found by then. What is 0 takes the usual time. Tests give more than plenty: what
// they see must not depend on how busy the machine is.
type Times struct {
	Bench  time.Duration // for what one more piece would save; what is not known by then is left out of the bench
	Boards time.Duration // for a cutting list
	Ways   time.Duration // for the ways to send an order
}

// FileReader reads the bytes of a file into a table; it tells how far it is. Package intake/xlsx and
// intake/csvfile do it.
type FileReader func(name string, data []byte, progress func(done, total int)) (intake.Table, error)

// New returns the use cases over a store.
func New(store Store, opt Options) *Studio {
	if opt.Clock == nil {
		opt.Clock = time.Now
	}
	if opt.Random == nil {
		opt.Random = rand.Reader
	}
	plans := dayplan.NewPlans(unsound)
	plans.Begun = opt.Planning
	return &Studio{Random: opt.Random, Store: store, Clock: opt.Clock, Cards: newCardShelf(opt.Cards), Plans: plans, zones: opt.Zones, Files: opt.Files, Times: opt.Times}
}

// who is the key under which the context carries the person at the bench.
type who struct{}

// WithWho returns a context that says who does what follows; it stands in every entry and mark.
func WithWho(ctx context.Context, name string) context.Context {
	return context.WithValue(ctx, who{}, name)
}

// Who returns the person the context names; "studio" when it names none.
func Who(ctx context.Context) string {
	if n, ok := ctx.Value(who{}).(string); ok && n != "" {
		return n
	}
	return "studio"
}

func unsound(ctx context.Context, err error) {
	slog.ErrorContext(ctx, "a plan did not pass the check", "findings", err)
}
