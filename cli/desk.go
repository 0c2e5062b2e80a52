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

// studio opens the studio that --store or SOLANDER_STORE names, once. Commands that only read must not
// make a new, empty studio by a misspelt path: the place must exist.
func (d *desk) studio() (*studio.Studio, error) {
	if d.st != nil {
		return d.st, nil
	}
	place, err := d.placeOf()
	if err != nil {
		return nil, err
	}
	if !isServer(place) {
		if _, err := os.Stat(place); err != nil {
			if errors.Is(err, os.ErrNotExist) {
				return nil, fault.New(fault.Missing, "there is no studio yet").At("%s", place).In("store").
					ToMend("begin one with solander serve or solander set-up, or look around in solander demo")
			}
			return nil, fileFault(err, place, "store")
		}
	}
	return d.open(place)
}

// begin opens the studio's place, making it when it is not there.
func (d *desk) begin() (*studio.Studio, error) {
	place, err := d.placeOf()
	if err != nil {
		return nil, err
	}
	if !isServer(place) {
		if err := os.MkdirAll(filepath.Dir(place), 0o700); err != nil {
			return nil, fileFault(err, filepath.Dir(place), "store")
		}
	}
	return d.open(place)
}

func (d *desk) open(place string) (*studio.Studio, error) {
	store, err := d.env.Open(d.ctx, place, d.env.Clock)
	if err != nil {
		return nil, in(err, "store")
	}
	cards, err := d.env.Cards()
	if err != nil {
		return nil, errors.Join(err, store.Close())
	}
	d.store = store
	d.st = studio.New(store, studio.Options{Clock: d.env.Clock, Cards: cards, Zones: d.env.Zones, Files: d.env.Files})
	return d.st, nil
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
	if d.st != nil {
		if set, err := d.st.Settings(d.ctx); err == nil && set.Ready() {
			return set.Units
		}
	}
	return measure.Imperial
}

func withWho(ctx context.Context, name string) context.Context { return studio.WithWho(ctx, name) }
