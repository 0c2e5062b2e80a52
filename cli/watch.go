package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"solander/fault"
	"solander/studio"
)

// The folders within a watched one, and how often it is looked at.
const (
	broughtFolder = "brought-in"
	asideFolder   = "left-aside"
	lookEvery     = 2 * time.Second
)

// watched is a folder whose files are brought in by one mapping. A file is read when its size and time stand still from one look
// to the next. It then moves, by renaming alone: into brought-in when it was brought in or nothing in it was new, else into
// left-aside, with a report beside it. When the program ends between the two, the next look finds the file again, and the
// same file changes nothing.
type watched struct {
	st      *studio.Studio
	folder  string
	mapping string
	seen    map[string]stillness // files that are still to stand still
	told    func(format string, args ...any)
}

// stillness is what stands still when a file is complete.
type stillness struct {
	size int64
	at   time.Time
}

func newWatched(st *studio.Studio, folder, mapping string, told func(string, ...any)) (*watched, error) {
	info, err := os.Stat(folder)
	if err != nil {
		return nil, fileFault(err, folder, "watch")
	}
	if !info.IsDir() {
		return nil, fault.Invalidf("watch", "it is no folder").At("%s", folder).ToMend("name the folder into which files are dropped")
	}
	for _, sub := range []string{broughtFolder, asideFolder} {
		if err := os.MkdirAll(filepath.Join(folder, sub), 0o700); err != nil {
			return nil, fileFault(err, folder, "watch")
		}
	}
	return &watched{st: st, folder: folder, mapping: mapping, seen: map[string]stillness{}, told: told}, nil
}

// run looks at every tick until the context ends.
func (w *watched) run(ctx context.Context, tick <-chan time.Time) {
	for {
		if err := w.look(ctx); err != nil && ctx.Err() == nil {
			w.told("watched folder %s: %v", w.folder, err)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick:
		}
	}
}

// look goes once through the folder, in the order of names.
func (w *watched) look(ctx context.Context) error {
	entries, err := os.ReadDir(w.folder)
	if err != nil {
		return fileFault(err, w.folder, "watch")
	}
	still := map[string]stillness{}
	var errs []error
	for _, e := range entries {
		if !dropped(e) {
			continue
		}
		info, err := e.Info()
		if err != nil {
			continue // it is gone again
		}
		now := stillness{info.Size(), info.ModTime()}
		if w.seen[e.Name()] != now {
			still[e.Name()] = now
			continue
		}
		if err := w.take(ctx, e.Name(), info); err != nil {
			still[e.Name()] = now // tried again at the next look
			errs = append(errs, fmt.Errorf("%s: %w", e.Name(), err))
		}
	}
	w.seen = still
	return errors.Join(errs...)
}

// dropped reports a file that is meant for us: neither hidden nor a lock file of an office program nor a folder.
func dropped(e fs.DirEntry) bool {
	name := e.Name()
	ending := strings.ToLower(filepath.Ext(name))
	return !e.IsDir() && !strings.HasPrefix(name, ".") && !strings.HasPrefix(name, "~") && slices.Contains([]string{".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".xls"}, ending)
}

func (w *watched) take(ctx context.Context, name string, info fs.FileInfo) error {
	body, err := readPlain(filepath.Join(w.folder, name), info)
	if err != nil {
		if fault.CodeOf(err) == fault.Internal {
			return err
		}
		return w.aside(name, studio.Dropped{Aside: true, Why: err})
	}
	got, err := w.st.DropIn(ctx, studio.DropIn{Name: name, Body: body, Mapping: w.mapping})
	switch {
	case err != nil:
		return err
	case got.Aside:
		return w.aside(name, got)
	case got.Intake != nil:
		w.told("%s: %d orders brought in, as file %d", name, got.Intake.Made.Orders, got.Intake.ID)
	default:
		w.told("%s: nothing in it is new", name)
	}
	_, err = w.move(name, broughtFolder)
	return err
}

// readPlain reads a plain file up to the size that the studio takes. A link is never followed: it could lead anywhere.
// Faults: Refused, TooLarge.
func readPlain(path string, info fs.FileInfo) ([]byte, error) {
	switch {
	case !info.Mode().IsRegular():
		return nil, fault.New(fault.Refused, "it is a link or no plain file").ToMend("copy the file itself into the folder")
	case info.Size() > studio.MaxFile:
		return nil, fault.New(fault.TooLarge, "it has more than %d MB", studio.MaxFile>>20).ToMend("save the sheet with the sales alone, or in parts")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	opened, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if !os.SameFile(info, opened) {
		return nil, fmt.Errorf("another file took its place")
	}
	return io.ReadAll(io.LimitReader(f, studio.MaxFile+1))
}

// aside moves a file away with a report beside it: the report first, so that no file lies there without one.
func (w *watched) aside(name string, got studio.Dropped) error {
	target, err := w.free(name, asideFolder)
	if err != nil {
		return err
	}
	report := target + ".report.txt"
	tmp, err := os.CreateTemp(filepath.Dir(target), ".solander-*")
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name()) // gone already once it was renamed
	writeAside(tmp, name, got)
	if err := errors.Join(tmp.Sync(), tmp.Close()); err != nil {
		return err
	}
	if err := os.Rename(tmp.Name(), report); err != nil {
		return err
	}
	w.told("%s: left aside, see %s", name, report)
	return os.Rename(filepath.Join(w.folder, name), target)
}

func writeAside(w io.Writer, name string, got studio.Dropped) {
	hang(w, "", name+" was left aside. Nothing was made of it.")
	for _, f := range fault.All(got.Why) {
		hang(w, "", f.Error())
	}
	if got.Arrival != 0 {
		hang(w, "", "It waits in the studio, under Orders, Bring in a file: answer there what is asked. Or mend it and drop it into the folder again.")
	}
	if got.Trial != nil {
		fmt.Fprintln(w)
		printTrial(w, *got.Trial, "read as "+got.Trial.Mapping)
	}
}

// move renames a file into a folder beside it, under a name that is free there.
func (w *watched) move(name, folder string) (string, error) {
	target, err := w.free(name, folder)
	if err != nil {
		return "", err
	}
	return target, os.Rename(filepath.Join(w.folder, name), target)
}

// free finds a name that is free in a folder: "sales.csv", "sales-2.csv" …
func (w *watched) free(name, folder string) (string, error) {
	ending := filepath.Ext(name)
	for n := 1; n < 10_000; n++ {
		as := name
		if n > 1 {
			as = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(name, ending), n, ending)
		}
		target := filepath.Join(w.folder, folder, as)
		if _, err := os.Lstat(target); errors.Is(err, fs.ErrNotExist) {
			return target, nil
		} else if err != nil {
			return "", err
		}
	}
	return "", fault.New(fault.Refused, "%s holds too many files of that name", folder).ToMend("clear it out")
}
