// Package page is what every page of the studio shares: the frame around it, its templates, forms that are asked and
// read by the same names, faults beside their fields, what was just done, and computations that take longer than a page
// should. It knows no page of its own but the plain ones (an error, one form, help) and holds no rules.
//
// Quantities are read and shown in the studio's units and currency. It never writes but by a use case of studio.
package page

import (
	"io/fs"
	"log/slog"
	"net/http"

	"solander/studio"
)

// Options are what New needs beside the studio and the templates. Log defaults to slog.Default.
type Options struct {
	Log     *slog.Logger
	Version string
	Demo    bool // this is the invented studio: every page says so
}

// Kit is what the handlers of every room use. It is safe for concurrent use.
type Kit struct {
	Studio *studio.Studio
	Log    *slog.Logger

	// The pages that a form may be sent from; the one that it came from is shown again when it fails. The door sets
	// them, so that no room has to know another.
	AtBench func(http.ResponseWriter, *http.Request, *Failure) error
	AtOrder func(http.ResponseWriter, *http.Request, int64, *Failure) error

	demo       bool
	version    string
	pages      Pages
	reckonings reckonings
}

// New returns the kit over a studio, with every page of the templates.
func New(st *studio.Studio, templates fs.FS, opt Options) *Kit {
	if opt.Log == nil {
		opt.Log = slog.Default()
	}
	return &Kit{Studio: st, Log: opt.Log, demo: opt.Demo, version: opt.Version, pages: MustPages(templates)}
}
