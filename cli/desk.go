package cli

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"solander/fault"
	"solander/measure"
	"solander/studio"
)

// desk is what one command works with: its streams, the parts of the house and, once it was asked for,
// the open studio.
type desk struct {
	ctx      context.Context
	in       io.Reader
	out, err io.Writer
	env      Env
	json     bool
	place    string // --store as given

	store studio.Store
	st    *studio.Studio
}

// open is a desk at which the studio is open: what most commands work with.
type open struct {
	*desk
	st *studio.Studio
}

// opened opens the studio for a command that needs it. It is called when a command asks for it, before that runs.
func (d *desk) opened() (*open, error) {
	st, err := d.studio()
	return &open{d, st}, err
}

// studio opens the studio that --store or SOLANDER_STORE names, once. It must be there: a misspelt path, or
// a file that went missing, must not become a new, empty studio.
func (d *desk) studio() (*studio.Studio, error) {
	if d.st != nil {
		return d.st, nil
	}
	place, err := d.placeOf()
	if err != nil {
		return nil, err
	}
	return d.openAt(place)
}

// openAt opens a studio that is there.
func (d *desk) openAt(place string) (*studio.Studio, error) {
	store, err := d.env.Open(d.ctx, place, d.env.Clock)
	var f *fault.Error
	if !isServer(place) && errors.As(err, &f) && f.Code == fault.Missing {
		err = f.ToMend("begin one with solander serve or solander set-up, or look around in solander demo")
	}
	return d.keep(store, err)
}

// begin opens the studio's place, making it when it is not there.
func (d *desk) begin() (*studio.Studio, error) {
	place, err := d.roomFor()
	if err != nil {
		return nil, err
	}
	store, err := d.env.Begin(d.ctx, place, d.env.Clock)
	return d.keep(store, err)
}

// fill makes a studio of what fill does, or leaves nothing at its place; then it opens it.
func (d *desk) fill(fill func(st *studio.Studio) error) (*studio.Studio, error) {
	place, err := d.roomFor()
	if err != nil {
		return nil, err
	}
	err = d.env.Make(d.ctx, place, d.env.Clock, func(store studio.Store) error {
		st, err := d.with(store)
		if err != nil {
			return err
		}
		return fill(st)
	})
	if err != nil {
		return nil, in(err, "store")
	}
	return d.openAt(place)
}

// roomFor returns the studio's place, with the folder that it needs.
func (d *desk) roomFor() (string, error) {
	place, err := d.placeOf()
	if err != nil || isServer(place) {
		return place, err
	}
	return place, fileFault(os.MkdirAll(filepath.Dir(place), 0o700), filepath.Dir(place), "store")
}

func (d *desk) keep(store studio.Store, err error) (*studio.Studio, error) {
	if err != nil {
		return nil, in(err, "store")
	}
	st, err := d.with(store)
	if err != nil {
		return nil, errors.Join(err, store.Close())
	}
	d.store, d.st = store, st
	return st, nil
}

// with puts a store and the other parts of the house together.
func (d *desk) with(store studio.Store) (*studio.Studio, error) {
	cards, err := d.env.Cards()
	if err != nil {
		return nil, err
	}
	return studio.New(store, studio.Options{Clock: d.env.Clock, Cards: cards, Zones: d.env.Zones, Files: d.env.Files}), nil
}

func (d *desk) close() error {
	if d.store == nil {
		return nil
	}
	store := d.store
	d.store, d.st = nil, nil
	return store.Close()
}

func isServer(place string) bool {
	return strings.HasPrefix(place, "postgres://") || strings.HasPrefix(place, "postgresql://")
}

// databaseName is the file of a studio within its folder.
const databaseName = "studio.db"

// placeOf returns where the studio is kept: --store, SOLANDER_STORE, or the user's data folder. A folder
// means the database file in it.
func (d *desk) placeOf() (string, error) {
	place := d.place
	if err := noPassword(place); err != nil {
		return "", err
	}
	if place == "" {
		place = d.env.Get("SOLANDER_STORE")
	}
	if place == "" {
		folder, err := d.dataFolder()
		if err != nil {
			return "", err
		}
		place = filepath.Join(folder, databaseName)
	}
	switch {
	case isServer(place):
		return place, nil
	case strings.Contains(place, "://"):
		return "", fault.Invalidf("store", "%.60q is no place for a studio", place).ToMend("give a file, a folder or postgres://…")
	}
	if info, err := os.Stat(place); err == nil && info.IsDir() || strings.HasSuffix(place, string(filepath.Separator)) {
		place = filepath.Join(place, databaseName)
	}
	return place, nil
}

// dataFolder is the user's data folder: $XDG_DATA_HOME/solander, else ~/.local/share/solander (XDG Base
// Directory Specification), or what the system uses instead.
func (d *desk) dataFolder() (string, error) {
	if dir := d.env.Get("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "solander"), nil
	}
	if dir := d.env.Get("LOCALAPPDATA"); dir != "" {
		return filepath.Join(dir, "solander"), nil
	}
	if home := d.env.Get("HOME"); home != "" {
		return filepath.Join(home, ".local", "share", "solander"), nil
	}
	return "", fault.Invalidf("store", "there is no data folder of the user").ToMend("give --store, or set SOLANDER_STORE")
}

// units is the system of units in which the studio sees lengths and masses.
func (d *desk) units() measure.System {
	if set := d.settings(); set.Ready() {
		return set.Units
	}
	return measure.Imperial
}

// currency is the studio's, or a plain one where no studio is asked.
func (d *desk) currency() string {
	if set := d.settings(); set.Ready() {
		return set.Currency
	}
	return "USD"
}

// settings are those of the open studio, else none.
func (d *desk) settings() studio.Settings {
	if d.st == nil {
		return studio.Settings{}
	}
	set, err := d.st.Settings(d.ctx)
	if err != nil {
		return studio.Settings{}
	}
	return set
}

func withWho(ctx context.Context, name string) context.Context { return studio.WithWho(ctx, name) }
