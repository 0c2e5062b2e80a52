package movein

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"solander/cli/desk"
	"solander/fault"
	"solander/studio"
)

// The folders within a watched one, and how often it is looked at.
const (
	broughtFolder = "brought-in"
	asideFolder   = "left-aside"
	takingFolder  = ".taking" // files on their way from the watched folder into one of the others
	LookEvery     = 2 * time.Second
)

const (
	// standsStill is how long a file must be unchanged before it is read. Common practice, no source.
	standsStill = 10 * time.Second
	// looksAfter is how long a file is looked at again after it was put away, for a writer that nobody could see.
	looksAfter = time.Minute
)

// Watched is a folder whose files are brought in by one mapping. A file is read when it was unchanged for standsStill and no
// program holds it open, where the system can tell. It then moves, by renaming alone: into brought-in when it was brought in or
// nothing in it was new, else into left-aside, with a report beside it. It moves only as what was read: it is renamed out of the
// reach of whoever writes by its name, and its bytes are compared once more; what changed meanwhile is read again. When the
// program ends anywhere in between, the next look finds the file again, and rows that are known change nothing.
type Watched struct {
	st      *studio.Studio
	folder  string
	mapping string
	seen    map[string]sighting // by path: files that are still to be read
	filed   []filed             // put away lately
	told    func(format string, args ...any)
	clock   func() time.Time
	isOpen  func(path string, info fs.FileInfo) (bool, error)
}

// candidate is a file to be read, in the watched folder or on its way.
type candidate struct {
	path, name string
	taking     bool // it was renamed out of the watched folder already
}

// sighting is how a file was last seen.
type sighting struct {
	info  fs.FileInfo
	since time.Time // it is like that
	told  bool      // that it is open
}

// same reports whether nothing was done to a file.
func (s sighting) same(now fs.FileInfo) bool {
	return os.SameFile(s.info, now) && s.info.Size() == now.Size() && s.info.ModTime().Equal(now.ModTime())
}

func NewWatched(st *studio.Studio, folder, mapping string, told func(string, ...any)) (*Watched, error) {
	info, err := os.Stat(folder)
	if err != nil {
		return nil, desk.FileFault(err, folder, "watch")
	}
	if !info.IsDir() {
		return nil, fault.Invalidf("watch", "it is no folder").At("%s", folder).ToMend("name the folder into which files are dropped")
	}
	for _, sub := range []string{broughtFolder, asideFolder, takingFolder} {
		if err := os.MkdirAll(filepath.Join(folder, sub), 0o700); err != nil {
			return nil, desk.FileFault(err, folder, "watch")
		}
	}
	w := &Watched{st: st, folder: folder, mapping: mapping, seen: map[string]sighting{}, told: told, clock: time.Now, isOpen: openElsewhere}
	return w, desk.FileFault(w.clearReports(), folder, "watch")
}

// Run looks at every tick until the context ends.
func (w *Watched) Run(ctx context.Context, tick <-chan time.Time) {
	for {
		if err := w.look(ctx); err != nil && ctx.Err() == nil {
			for _, line := range strings.Split(err.Error(), "\n") {
				w.told("watched folder %s: %s", w.folder, line)
			}
		}
		select {
		case <-ctx.Done():
			return
		case <-tick:
		}
	}
}

// look goes once through the folder, in the order of names.
func (w *Watched) look(ctx context.Context) error {
	errs := []error{w.lookAfter()}
	found, err := w.candidates()
	errs = append(errs, err)
	seen := map[string]sighting{}
	for _, c := range found {
		info, err := os.Lstat(c.path)
		if err != nil {
			continue // it is gone again
		}
		s, known := w.seen[c.path]
		if !known || !s.same(info) {
			s = sighting{info: info, since: w.clock()}
		}
		free, err := w.isFree(c, &s)
		if free && err == nil {
			err = w.take(ctx, c, info)
		}
		seen[c.path] = s // what is still there is tried again at the next look
		if err != nil {
			errs = append(errs, fmt.Errorf("%s: %w", desk.Shown(c.name), err))
		}
	}
	w.seen = seen
	return errors.Join(errs...)
}

// isFree reports whether a file stood still for long enough and is not being written.
func (w *Watched) isFree(c candidate, s *sighting) (bool, error) {
	if w.clock().Sub(s.since) < standsStill {
		return false, nil
	}
	if !s.info.Mode().IsRegular() {
		return true, nil
	}
	open, err := w.isOpen(c.path, s.info)
	if open && !s.told {
		w.told("%s: another program has it open; it is left alone until it is closed", c.name)
		s.told = true
	}
	return !open, err
}

// candidates lists the files on their way, then those of the folder.
func (w *Watched) candidates() ([]candidate, error) {
	var out []candidate
	taking := filepath.Join(w.folder, takingFolder)
	dirs, err := os.ReadDir(taking)
	if err != nil {
		return nil, desk.FileFault(err, taking, "watch")
	}
	for _, d := range dirs {
		dir := filepath.Join(taking, d.Name())
		entries, err := os.ReadDir(dir)
		if err != nil || len(entries) == 0 {
			_ = os.Remove(dir) // empty: the program ended between two steps
			continue
		}
		for _, e := range entries {
			out = append(out, candidate{filepath.Join(dir, e.Name()), e.Name(), true})
		}
	}
	entries, err := os.ReadDir(w.folder)
	if err != nil {
		return out, desk.FileFault(err, w.folder, "watch")
	}
	for _, e := range entries {
		if dropped(e) {
			out = append(out, candidate{filepath.Join(w.folder, e.Name()), e.Name(), false})
		}
	}
	return out, nil
}

// dropped reports a file that is meant for us: neither hidden nor a lock file of an office program nor a folder.
func dropped(e fs.DirEntry) bool {
	name := e.Name()
	ending := strings.ToLower(filepath.Ext(name))
	return !e.IsDir() && !strings.HasPrefix(name, ".") && !strings.HasPrefix(name, "~") && slices.Contains([]string{".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".xls"}, ending)
}
