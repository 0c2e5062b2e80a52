package desk

import (
	"context"
	"net/http"
	"time"

	"solander/calendar"
	"solander/copies"
	"solander/internal/nearby"
	"solander/mailing/server"
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
	Make func(ctx context.Context, place string, clock func() time.Time, fill func(studio.Store) error) error
	// PutKey puts the key of a studio that is kept in cipher where the store of a place looks for it, and returns where that is.
	PutKey func(ctx context.Context, place string, clock func() time.Time, key []byte) (string, error)
	Fill   func(ctx context.Context, place string, clock func() time.Time) (studio.Store, error) // as Open, not waiting for the disk
	// KeyFile is where the key lies of what a studio at a place keeps in cipher; "" = it has no place.
	KeyFile func(place string) string
	// Scratch is as Fill; what comes into it is in cipher by the key of the studio at another place.
	Scratch func(ctx context.Context, place, of string, clock func() time.Time) (studio.Store, error)
	Cards   func() ([]tariff.Card, error)                    // the bundled price cards
	Zones   func(from tariff.Place) (tariff.ZoneTable, bool) // estimates zones for an origin without a chart
	Web     func(st *studio.Studio, f Face) http.Handler
	Browse  func(address string) error        // shows her an address in her browser
	Server  func(h http.Handler) *http.Server // with its limits on time and size
	Demo    func(ctx context.Context, open func(clock func() time.Time) (studio.Store, error), day calendar.Day, seed uint64) error
	Jobs    func(st *studio.Studio, k *copies.Keeper) []rota.Job // the scheduled work of a studio that is served; nil = there is none
	Draw    func(papers.Paper) ([]byte, error)                   // as PDF
	Files   studio.FileReader                                    // reads workbooks and text files
	Version func() Build
	Times   studio.Times // how long searches may take; nothing = as usual

	// Watch says how the program is watched; it is to be asked before a studio is opened.
	// Faults: Invalid for a form or a level of the log that there is none of.
	Watch    func(w Watching) (Watcher, error)
	Planning func() (ended func()) // told of each plan that is made
}

// Watching says how a program is watched.
type Watching struct {
	Log, Level string        // the form of the log, and from where on it is written
	Slow       time.Duration // statements of the store that take longer are logged; 0 = none
}

// A Watcher tells how a program does.
type Watcher interface {
	// Pages answer whether it is alive and ready, and what was counted; that to who brings the key alone, if there is one.
	Pages(ready func(context.Context) error, key string) http.Handler
	// Stopping says that the program ends: it is ready no more.
	Stopping()
}

// A Face says how pages are opened.
type Face struct {
	Demo bool // they are those of the invented studio
	// Beyond this machine: under which names it is asked for, whether nobody comes in without an account, whether browsers speak TLS, and
	// whether a proxy does so for the studio.
	Hosts                 []string
	Shut, Secure, Proxied bool

	Until  context.Context                    // then no page waits for changes any more
	Opened string                             // what they answer to who asks whether they are open; nothing is answered without
	Close  func()                             // ends the program when she says so; nil = it is ended where it was begun
	Door   *nearby.Door                       // the door to phones; nil = there is none
	Near   bool                               // they are the pages that it answers with
	Keep   *copies.Keeper                     // of the copies; nil = none are made
	Mail   server.File                        // of the mail server; without a path none can be named
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
