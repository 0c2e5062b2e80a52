package desk

import (
	"context"
	"net/http"
	"time"

	"solander/calendar"
	"solander/copies"
	"solander/papers"
	"solander/rota"
	"solander/studio"
	"solander/tariff"
)

// Env is what a command may know of the world beside its streams, and the parts of the house that it
// does not make itself. Package internal/wiring fills it.
type Env struct {
	Get   func(name string) string // an environment variable; "" when it is not set
	Clock func() time.Time

	Open  func(ctx context.Context, place string, clock func() time.Time) (studio.Store, error) // one that is there
	Begin func(ctx context.Context, place string, clock func() time.Time) (studio.Store, error) // as Open, making one where there is none
	// Make makes one whole, or not at all, of what fill does.
	Make    func(ctx context.Context, place string, clock func() time.Time, fill func(studio.Store) error) error
	Fill    func(ctx context.Context, place string, clock func() time.Time) (studio.Store, error) // as Open, not waiting for the disk
	Cards   func() ([]tariff.Card, error)                                                         // the bundled price cards
	Zones   func(from tariff.Place) (tariff.ZoneTable, bool)                                      // estimates zones for an origin without a chart
	Web     func(st *studio.Studio, f Face) http.Handler
	Browse  func(address string) error        // shows her an address in her browser
	Server  func(h http.Handler) *http.Server // with its limits on time and size
	Demo    func(ctx context.Context, open func(clock func() time.Time) (studio.Store, error), day calendar.Day, seed uint64) error
	Jobs    func(st *studio.Studio, k *copies.Keeper) []rota.Job // the scheduled work of a studio that is served; nil = there is none
	Draw    func(papers.Paper) ([]byte, error)                   // as PDF
	Files   studio.FileReader                                    // reads workbooks and text files
	Version func() Build
	Times   studio.Times // how long searches may take; nothing = as usual
}

// A Face says how pages are opened.
type Face struct {
	Demo   bool                               // they are those of the invented studio
	Opened string                             // what they answer to who asks whether they are open; nothing is answered without
	Close  func()                             // ends the program when she says so; nil = it is ended where it was begun
	Keep   *copies.Keeper                     // of the copies; nil = none are made
	Look   func() (address string, err error) // opens the invented studio beside them; nil = that is not offered
}

// Build says which build this is.
type Build struct {
	Version  string `json:"version"`
	Revision string `json:"revision,omitempty"`
	Time     string `json:"time,omitempty"`
	Modified bool   `json:"modified,omitempty"`
	Go       string `json:"go"`
}
