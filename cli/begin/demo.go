package begin

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"runtime/debug"
	"time"

	"solander/calendar"
	"solander/cli/desk"
	"solander/fault"
	"solander/studio"
)

type Demo struct {
	serving
	Dir   string `placeholder:"FOLDER" help:"Where to keep it; else the user's data folder."`
	Fresh bool   `help:"Build it anew: what was changed in it is lost."`
	Seed  uint64 `default:"1" help:"Another number makes another invented studio."`
	Build bool   `name:"build-only" help:"Build it and stop."`
}

func (Demo) Help() string {
	return `An invented studio, two years old, dated relative to today. What you change in it is kept until it
is built anew. It never touches your own studio.

Example:

  solander demo
  solander demo --fresh --listen 127.0.0.1:8500`
}

// stamp tells what a demo was built from, and what its file was like then, so that an untouched one can
// be built anew when it is out of date.
type stamp struct {
	Day    calendar.Day `json:"day"`
	Seed   uint64       `json:"seed"`
	SHA256 string       `json:"sha256"`
}

// demoZone is where the invented studio stands.
const demoZone = "America/New_York"

func (c *Demo) Run(d *desk.Desk) error {
	folder, err := c.folder(d)
	if err != nil {
		return err
	}
	if c.Build {
		if _, err := c.studio(d, folder); err != nil {
			return err
		}
		return d.Say(map[string]string{"built": folder}, "the demo studio is built: %s", folder)
	}
	const name = "the demo studio"
	if c.Browser {
		return c.inBrowser(d, besideDemo(folder), name, func() (pages, error) { return c.pages(d, folder) })
	}
	return c.plainly(d, besideDemo(folder), name, func() (pages, error) { return c.pages(d, folder) })
}

func (c *Demo) pages(d *desk.Desk, folder string) (pages, error) {
	st, err := c.studio(d, folder)
	face := func(f desk.Face) http.Handler {
		f.Demo, f.Look = true, nil
		return d.Env.Web(st, f)
	}
	return pages{face: face, done: func() {}, accounts: accountsOf(st)}, err
}

// demoName is the file of the demo within its folder.
const demoName = "demo.db"

func (c *Demo) folder(d *desk.Desk) (string, error) {
	folder := c.Dir
	if folder == "" {
		data, err := d.DataFolder()
		if err != nil {
			return "", err
		}
		folder = filepath.Join(data, "demo")
	}
	return folder, desk.FileFault(os.MkdirAll(folder, 0o700), folder, "dir")
}

// studio opens the demo in a folder, building it when there is none, when it is asked for anew, or when
// it is of another day and nobody changed it.
func (c *Demo) studio(d *desk.Desk, folder string) (*studio.Studio, error) {
	db := filepath.Join(folder, demoName)
	today, err := demoDay(d.Env.Clock())
	if err != nil {
		return nil, err
	}
	want := stamp{Day: today, Seed: c.Seed}
	old, there := readStamp(db)
	if there && !c.Fresh {
		changed, err := touched(db, old)
		if err != nil {
			return nil, desk.FileFault(err, db, "dir")
		}
		asked := old.Day == want.Day && old.Seed == want.Seed
		if changed && !asked {
			fmt.Fprintf(d.Err, "this demo was built on %s with seed %d and you changed it since; --fresh builds the one asked for\n", old.Day.Long(), old.Seed)
		}
		if changed || asked {
			return d.OpenAt(db)
		}
	}
	if err := c.build(d, db, want); err != nil {
		return nil, err
	}
	return d.OpenAt(db)
}

func demoDay(now time.Time) (calendar.Day, error) {
	place, err := time.LoadLocation(demoZone)
	if err != nil {
		return calendar.Day{}, err
	}
	return calendar.In(now, place), nil
}

// touched reports whether anything was written into a demo since it was built: its file is another one,
// or a log lies beside it, as after a program that was killed.
func touched(db string, old stamp) (bool, error) {
	if log, err := os.Stat(db + "-wal"); err == nil && log.Size() > 0 {
		return true, nil
	}
	sum, err := sumOf(db)
	return sum != old.SHA256, err
}

func sumOf(path string) (string, error) {
	b, err := os.ReadFile(path)
	return fmt.Sprintf("%x", sha256.Sum256(b)), err
}

// build makes the demo beside its place and moves it there whole, so that an interrupted one leaves no
// half studio.
func (c *Demo) build(d *desk.Desk, db string, want stamp) error {
	next := db + ".next"
	if err := removeDatabase(next); err != nil {
		return desk.FileFault(err, next, "dir")
	}
	err := c.invent(d, next, want)
	if err == nil {
		want.SHA256, err = sumOf(next)
	}
	if err != nil {
		return errors.Join(err, removeDatabase(next))
	}
	if err := errors.Join(os.RemoveAll(stampOf(db)), removeDatabase(db), moveVouching(next, db), os.Rename(next, db)); err != nil {
		return desk.FileFault(err, db, "dir")
	}
	return writeStamp(db, want)
}

// invent fills a new database and waits until it is on the disk. Much is allocated and little kept
// meanwhile, so rubbish is collected less often.
func (c *Demo) invent(d *desk.Desk, place string, want stamp) error {
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	open := func(clock func() time.Time) (studio.Store, error) { return d.Env.Fill(d.Ctx, place, clock) }
	if err := d.Env.Demo(d.Ctx, open, want.Day, want.Seed); err != nil {
		return err
	}
	return desk.FileFault(syncFile(place), place, "dir")
}

// syncFile waits until a file is on the disk.
func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// removeDatabase removes a demo with all that stands beside it.
func removeDatabase(path string) error {
	var errs []error
	for _, tail := range append([]string{"", "-wal", "-shm", "-journal", "-seal"}, vouching...) {
		if err := os.Remove(path + tail); !errors.Is(err, os.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

// vouching are the tails of the files that the register's key, its newest checkpoint and the key of the rows stand in.
var vouching = []string{"-register-key", "-register-checkpoint", "-row-key"}

// moveVouching moves them along with their studio.
func moveVouching(from, to string) error {
	var errs []error
	for _, tail := range vouching {
		if err := os.Rename(from+tail, to+tail); !errors.Is(err, os.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

func stampOf(db string) string { return db + ".json" }

// readStamp reads what a demo was built from; ok is false when there is no whole demo.
func readStamp(db string) (s stamp, ok bool) {
	b, err := os.ReadFile(stampOf(db))
	if err != nil || json.Unmarshal(b, &s) != nil {
		return stamp{}, false
	}
	_, err = os.Stat(db)
	return s, err == nil
}

func writeStamp(db string, s stamp) error {
	b, err := json.Marshal(s)
	if err != nil {
		return fault.New(fault.Internal, "the demo's stamp cannot be written").Because(err)
	}
	return desk.FileFault(os.WriteFile(stampOf(db), b, 0o600), db, "dir")
}
