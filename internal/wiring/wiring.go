// Package wiring puts the parts of the house together: it hands the command line the store, the bundled
// price cards, the web face, the demo and the drawing of papers. It holds no rule.
package wiring

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"time"
	_ "time/tzdata" // a studio's time zone must be known on a machine without zone data

	"github.com/cli/browser"

	"solander/api"
	"solander/calendar"
	"solander/cli/desk"
	"solander/copies"
	"solander/demo"
	"solander/fault"
	"solander/intake"
	"solander/intake/csvfile"
	"solander/intake/xlsx"
	"solander/internal/watch"
	"solander/papers/pdf"
	"solander/privacy"
	"solander/record"
	"solander/record/keyring"
	"solander/rota"
	"solander/store"
	"solander/studio"
	"solander/tariff/cards"
	"solander/web"
	"solander/web/gate"
)

// Env returns the parts, with an environment and a clock.
func Env(get func(string) string, clock func() time.Time) desk.Env {
	p := newParts(get)
	return desk.Env{
		Get: get, Clock: clock,
		Open:    p.open,
		Begin:   p.begin,
		Make:    p.makeWhole,
		PutKey:  p.putKey,
		KeyFile: p.keyFile,
		Fill:    p.fill,
		Scratch: p.scratch,
		Cards:   cards.All,
		Zones:   cards.Estimated,
		Web:     p.face,
		Browse:  browse,
		Server:  func(h http.Handler) *http.Server { return web.Server("", h) },
		Jobs:    p.scheduled,
		Demo:    invent,
		Draw:    pdf.Draw,
		Files:   readFile,
		Version: build,

		Watch: p.watched, Planning: p.planning,
	}
}

// parts are what those that Env hands out share: the place of the copies that are made before an upgrade, and who watches; nobody does
// until it is asked for.
type parts struct {
	copies string
	key    string // the file with the key of a studio that is kept in cipher; "" = where the store says
	meter  *watch.Meter

	register, phrase string // the file with the register's key, as key; its passphrase
	rows             string // the file with the key of the rows, as key
	user             string // the file of this user that opens it without one
	ring             keyring.Ring
}

// newParts keeps copies of studios on a server in the user's data folder. Without one there is no upgrade of them, and opening says so.
func newParts(get func(string) string) *parts {
	folder, err := (&desk.Desk{Env: desk.Env{Get: get}}).DataFolder()
	if err != nil {
		folder = ""
	} else {
		folder = filepath.Join(folder, "before-upgrades")
	}
	user := ""
	if own := desk.KeysFolder(runtime.GOOS, get); own != "" {
		user = filepath.Join(own, "register-opener")
	}
	return &parts{copies: folder, key: get("SOLANDER_KEY"), register: get("SOLANDER_REGISTER_KEY"), phrase: get("SOLANDER_REGISTER_PASSPHRASE"), rows: get("SOLANDER_ROW_KEY"), user: user}
}

// options are those of every store.
func (p *parts) options(clock func() time.Time) store.Options {
	opt := store.Options{Clock: clock, Copies: p.copies, KeyFile: p.key, RegisterKey: p.register, Passphrase: p.phrase, RowKey: p.rows, UserKey: p.user, Ring: &p.ring}
	if p.meter != nil {
		opt.Watch = p.meter
	}
	return opt
}

func (p *parts) open(ctx context.Context, place string, clock func() time.Time) (studio.Store, error) {
	opt := p.options(clock)
	opt.There = true
	return store.Open(ctx, place, opt)
}

func (p *parts) begin(ctx context.Context, place string, clock func() time.Time) (studio.Store, error) {
	return store.Open(ctx, place, p.options(clock))
}

func (p *parts) makeWhole(ctx context.Context, place string, clock func() time.Time, fill func(studio.Store) error) error {
	return store.Make(ctx, place, p.options(clock), fill)
}

func (p *parts) putKey(ctx context.Context, place string, clock func() time.Time, key []byte) (string, error) {
	return store.PutKey(ctx, place, p.options(clock), key)
}

func (p *parts) keyFile(place string) string { return store.KeyFile(place, p.options(nil)) }

// fill opens a store that is filled in one go: it need not survive a failing machine until it is synced.
func (p *parts) fill(ctx context.Context, place string, clock func() time.Time) (studio.Store, error) {
	return p.scratch(ctx, place, place, clock)
}

// scratch is as fill; what comes into it is in cipher by the key of the studio at another place.
func (p *parts) scratch(ctx context.Context, place, of string, clock func() time.Time) (studio.Store, error) {
	opt := p.options(clock)
	opt.Hasty, opt.Story, opt.KeyFile, opt.RegisterKey = true, true, store.KeyFile(of, opt), store.RegisterKeyFile(of, opt)
	if place != of {
		opt.RowKey = "" // its rows are vouched for by a key of its own, if at all
	}
	return store.Open(ctx, place, opt)
}

// watched sets the log of the whole program, and begins to count.
func (p *parts) watched(w desk.Watching) (desk.Watcher, error) {
	log, err := watch.Log(os.Stderr, w.Log, w.Level)
	if err != nil {
		return nil, err
	}
	slog.SetDefault(log)
	p.meter = watch.New(build().Version, w.Slow)
	return p.meter, nil
}

func (p *parts) planning() func() {
	if p.meter == nil {
		return func() {}
	}
	return p.meter.Planning()
}

// readFile reads a workbook, which is a ZIP archive (ECMA-376 part 2; APPNOTE 4.3.7: it begins with PK and 3, 4),
// or else a text file.
func readFile(name string, data []byte, progress func(done, total int)) (intake.Table, error) {
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) || bytes.HasPrefix(data, []byte{0xD0, 0xCF, 0x11, 0xE0}) {
		return xlsx.Read(name, data, progress)
	}
	return csvfile.Read(name, data, progress)
}

// face is the pages for people, and beside them, behind guards of their own, the calls and web-hooks for programs.
func (p *parts) face(st *studio.Studio, f desk.Face) http.Handler {
	opt := web.Options{Version: build().Version, Demo: f.Demo, Until: f.Until, Opened: f.Opened, Close: f.Close, Look: f.Look, Hosts: f.Hosts, Near: f.Near, Keep: f.Keep, Mail: f.Mail, Gate: gate.Options{Shut: f.Shut, Secure: f.Secure, Proxied: f.Proxied}}
	if f.Door != nil {
		opt.Door = f.Door
	}
	pages := web.New(st, opt)
	if f.Near { // programs have no business with phones' pages
		return pages
	}
	programs := api.New(st, api.Options{})
	return watch.Requests(p.meter, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, api.Base+"/") || strings.HasPrefix(r.URL.Path, "/hooks/") {
			programs.ServeHTTP(w, r)
			return
		}
		pages.ServeHTTP(w, r)
	}))
}

// scheduled is all work that is due by a rule, for a studio that is served.
func (p *parts) scheduled(_ *studio.Studio, k *copies.Keeper) []rota.Job {
	all := append(k.Jobs(), privacy.Job(), record.Job())
	for i, j := range all {
		all[i] = p.counted(j)
	}
	return all
}

// brokeDown is how a job counts that ended without an end of its own: it panicked, which the rota catches.
var brokeDown = fault.New(fault.Internal, "the job broke down")

// counted is a job whose every end is counted, while anything is.
func (p *parts) counted(j rota.Job) rota.Job {
	do := j.Do
	j.Do = func(ctx context.Context, st *studio.Studio) (said string, err error) {
		began, end := time.Now(), error(brokeDown)
		defer func() {
			if p.meter != nil {
				p.meter.Job(j.Name, st.Clock(), time.Since(began), end)
			}
		}()
		said, end = do(ctx, st)
		return said, end
	}
	return j
}

// browse shows an address in her browser, whose own words do not belong among a command's.
func browse(address string) error {
	browser.Stdout, browser.Stderr = io.Discard, io.Discard
	return browser.OpenURL(address)
}

func invent(ctx context.Context, open func(clock func() time.Time) (studio.Store, error), day calendar.Day, seed uint64) error {
	all, err := cards.All()
	if err != nil {
		return err
	}
	return demo.Build(ctx, open, demo.Options{Day: day, Seed: seed, Cards: all})
}

// released is what make release tells the linker of its source: the version, the commit, and when that was made.
var released string

// build reads what make release, or else the Go tool, wrote into the program.
func build() desk.Build {
	b := desk.Build{Version: "unknown", Go: runtime.Version()}
	if told := strings.Fields(released); len(told) == 3 {
		b.Version, b.Revision, b.Time = told[0], told[1], told[2]
		b.Modified = strings.HasSuffix(b.Version, "-dirty")
		return b
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return b
	}
	b.Version = info.Main.Version
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			b.Revision = s.Value
		case "vcs.time":
			b.Time = s.Value
		case "vcs.modified":
			b.Modified = s.Value == "true"
		}
	}
	return b
}
