// Package desk is what every command of the command line works with: its streams, the studio once it is asked for, and how things
// are named, read, shown and written. It knows no command.
//
// Amounts and days are read in the studio's own currency and units. A fault names the flag it came from. A file is written whole or
// not at all, for the user alone; what people read never controls their terminal.
package desk

import (
	"cmp"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"solander/fault"
	"solander/measure"
	"solander/studio"
)

// Desk is what one command works with: its streams, the parts of the house and, once it was asked for,
// the open studio.
type Desk struct {
	Ctx      context.Context
	In       io.Reader
	Out, Err io.Writer
	Env      Env
	JSON     bool
	Place    string // --store as given

	Store studio.Store
	st    *studio.Studio
}

// Open is a desk at which the studio is open: what most commands work with.
type Open struct {
	*Desk
	Studio *studio.Studio
}

// Opened opens the studio for a command that needs it. It is called when a command asks for it, before that runs.
// The studio is what --store or SOLANDER_STORE names. It must be there: a misspelt path, or a file that went missing, must not
// become a new, empty studio.
func (d *Desk) Opened() (*Open, error) {
	if d.st != nil {
		return &Open{d, d.st}, nil
	}
	place, err := d.placeOf()
	if err != nil {
		return nil, err
	}
	st, err := d.OpenAt(place)
	return &Open{d, st}, err
}

// OpenAt opens a studio that is there.
func (d *Desk) OpenAt(place string) (*studio.Studio, error) {
	store, err := d.opening(d.Env.Open, place)
	var f *fault.Error
	if !IsServer(place) && errors.As(err, &f) && f.Code == fault.Missing {
		err = f.ToMend("begin one with solander serve or solander set-up, or look around in solander demo")
	}
	return d.keep(store, err)
}

// Begin opens the studio's place, making it when it is not there.
func (d *Desk) Begin() (*studio.Studio, error) {
	place, err := d.roomFor()
	if err != nil {
		return nil, err
	}
	store, err := d.opening(d.Env.Begin, place)
	return d.keep(store, err)
}

// opening opens a store, and says so on a terminal when it takes long: to bring a large studio up to date is the work of minutes.
func (d *Desk) opening(open func(context.Context, string, func() time.Time) (studio.Store, error), place string) (studio.Store, error) {
	defer d.Waiting("opening the studio")()
	return open(d.Ctx, place, d.Env.Clock)
}

// Fill makes a studio of what fill does, or leaves nothing at its place; then it opens it.
func (d *Desk) Fill(fill func(st *studio.Studio) error) (*studio.Studio, error) {
	place, err := d.roomFor()
	if err != nil {
		return nil, err
	}
	err = d.Env.Make(d.Ctx, place, d.Env.Clock, func(store studio.Store) error {
		return fill(d.with(store))
	})
	if err != nil {
		return nil, In(err, "store")
	}
	return d.OpenAt(place)
}

// PutKey puts a key where the studio's place looks for it, and returns where that is. The studio need not be there yet.
func (d *Desk) PutKey(key []byte) (string, error) {
	place, err := d.roomFor()
	if err != nil {
		return "", err
	}
	return d.Env.PutKey(d.Ctx, place, d.Env.Clock, key)
}

// roomFor returns the studio's place, with the folder that it needs.
func (d *Desk) roomFor() (string, error) {
	place, err := d.placeOf()
	if err != nil || IsServer(place) {
		return place, err
	}
	return place, FileFault(os.MkdirAll(filepath.Dir(place), 0o700), filepath.Dir(place), "store")
}

func (d *Desk) keep(store studio.Store, err error) (*studio.Studio, error) {
	if err != nil {
		return nil, In(err, "store")
	}
	if u, ok := store.(upgraded); ok {
		if from, to, copy := u.Upgraded(); copy != "" {
			TellLine(d.Err, "the studio was brought up to date (form %d to %d); as it was before, it is kept in %s", from, to, copy)
		}
	}
	d.Store, d.st = store, d.with(store)
	return d.st, nil
}

// upgraded is a store that says what opening it did.
type upgraded interface {
	Upgraded() (from, to int64, copy string)
}

// with puts a store and the other parts of the house together.
func (d *Desk) with(store studio.Store) *studio.Studio {
	return studio.New(store, studio.Options{Clock: d.Env.Clock, Cards: d.Env.Cards, Zones: d.Env.Zones, Files: d.Env.Files, Times: d.Env.Times, Planning: d.Env.Planning})
}

func (d *Desk) Close() error {
	if d.Store == nil {
		return nil
	}
	store := d.Store
	d.Store, d.st = nil, nil
	return store.Close()
}

// IsServer tells a studio on a server from one in a file.
func IsServer(place string) bool {
	return strings.HasPrefix(place, "postgres://") || strings.HasPrefix(place, "postgresql://")
}

// databaseName is the file of a studio within its folder.
const databaseName = "studio.db"

// placeOf returns where the studio is kept: --store, SOLANDER_STORE, or the user's data folder. A folder
// means the database file in it.
func (d *Desk) placeOf() (string, error) {
	return d.placed(d.Place, "store", "SOLANDER_STORE")
}

// FromPlace is where a studio is that is to be moved: given, or where d.Place is.
func (d *Desk) FromPlace(given string) (string, error) {
	return d.placed(cmp.Or(given, d.Place), "from", "SOLANDER_STORE")
}

// ToPlace is where it is to be, with the folder that it needs. Faults: Invalid when none is given.
func (d *Desk) ToPlace(given string) (string, error) {
	if given == "" && d.Env.Get("SOLANDER_MOVE_TO") == "" {
		return "", fault.Invalidf("to", "it is not said where the studio is to be").ToMend("give --to, a new file or postgres://…")
	}
	place, err := d.placed(given, "to", "SOLANDER_MOVE_TO")
	if err != nil || IsServer(place) {
		return place, err
	}
	return place, FileFault(os.MkdirAll(filepath.Dir(place), 0o700), filepath.Dir(place), "to")
}

// placed is a place as it was given under a name, else as a variable says, else in the user's data folder.
func (d *Desk) placed(place, name, variable string) (string, error) {
	if err := noPassword(name, variable, place); err != nil {
		return "", err
	}
	if place == "" {
		place = d.Env.Get(variable)
	}
	if place == "" {
		folder, err := d.DataFolder()
		if err != nil {
			return "", err
		}
		place = filepath.Join(folder, databaseName)
	}
	switch {
	case IsServer(place):
		return place, nil
	case strings.Contains(place, "://"):
		return "", fault.Invalidf(name, "%.60q is no place for a studio", place).ToMend("give a file, a folder or postgres://…")
	}
	if info, err := os.Stat(place); err == nil && info.IsDir() || os.IsPathSeparator(place[len(place)-1]) {
		place = filepath.Join(place, databaseName)
	}
	return place, nil
}

// NoteBeside is the file beside which a program notes that it has the studio open: the studio's own or, of one on a server, one in the
// user's data folder.
func (d *Desk) NoteBeside() (string, error) {
	place, err := d.placeOf()
	if err != nil || !IsServer(place) {
		return place, err
	}
	folder, err := d.DataFolder()
	return filepath.Join(folder, fmt.Sprintf("server-%x", sha256.Sum256([]byte(place)))[:len("server-")+16]), err
}

// TrustBeside is the folder of what vouches for the computer to phones, beside the file of a studio.
func TrustBeside(file string) string { return file + "-trust" }

// OpenToPhones is the note, in the folder of what vouches for a computer, that says where its studio is open to phones.
func OpenToPhones(folder string) string { return filepath.Join(folder, "open.json") }

// DataFolder is the user's data folder, by the convention of the system.
func (d *Desk) DataFolder() (string, error) {
	folder := dataFolder(runtime.GOOS, d.Env.Get, func(path string) bool {
		_, err := os.Stat(path)
		return err == nil
	})
	if folder == "" {
		return "", fault.Invalidf("store", "there is no data folder of the user").ToMend("give --store, or set SOLANDER_STORE")
	}
	return folder, nil
}

// dataFolder returns the folder for the data of this program on a system, "" where there is none:
// $XDG_DATA_HOME/solander wherever it is set, else on Windows %LOCALAPPDATA%\solander, on macOS
// ~/Library/Application Support/solander, elsewhere ~/.local/share/solander.
// Sources: XDG Base Directory Specification 0.8; Microsoft, KNOWNFOLDERID, FOLDERID_LocalAppData; Apple, File System Programming
// Guide, "Where to put your app's files".
func dataFolder(system string, get func(string) string, there func(path string) bool) string {
	if dir := get("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "solander")
	}
	if dir := get("LOCALAPPDATA"); dir != "" && system == "windows" {
		return filepath.Join(dir, "solander")
	}
	home := get("HOME")
	if home == "" {
		return ""
	}
	plain := filepath.Join(home, ".local", "share", "solander")
	if system != "darwin" || there(plain) { // a studio that was begun there is found again
		return plain
	}
	return filepath.Join(home, "Library", "Application Support", "solander")
}

// KeysFolder is the folder of a user's own settings, by the convention of the system, for what opens keys: never that of the data. "" = there is none.
// $XDG_CONFIG_HOME/solander-keys wherever it is set, else on Windows %APPDATA%\solander-keys, on macOS ~/Library/Application Support/solander-keys,
// elsewhere ~/.config/solander-keys. Sources: as dataFolder; FOLDERID_RoamingAppData.
func KeysFolder(system string, get func(string) string) string {
	const name = "solander-keys"
	if dir := get("XDG_CONFIG_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, name)
	}
	if dir := get("APPDATA"); dir != "" && system == "windows" {
		return filepath.Join(dir, name)
	}
	home := get("HOME")
	switch {
	case !filepath.IsAbs(home):
		return ""
	case system == "darwin":
		return filepath.Join(home, "Library", "Application Support", name)
	}
	return filepath.Join(home, ".config", name)
}

// Units is the system of units in which the studio sees lengths and masses.
func (d *Desk) Units() measure.System {
	if set := d.settings(); set.Ready() {
		return set.Units
	}
	return measure.Imperial
}

// Currency is the studio's, or a plain one where no studio is asked.
func (d *Desk) Currency() string {
	if set := d.settings(); set.Ready() {
		return set.Currency
	}
	return "USD"
}

// settings are those of the open studio, else none.
func (d *Desk) settings() studio.Settings {
	if d.st == nil {
		return studio.Settings{}
	}
	set, err := d.st.Settings(d.Ctx)
	if err != nil {
		return studio.Settings{}
	}
	return set
}

func WithWho(ctx context.Context, name string) context.Context { return studio.WithWho(ctx, name) }
