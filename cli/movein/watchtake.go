package movein

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"solander/cli/desk"
	"solander/fault"
	"solander/movein"
)

// reading is what was read of a file.
type reading struct {
	info fs.FileInfo // of the file as it was opened
	body []byte
}

// filed is a file that was put away.
type filed struct {
	candidate
	sighting
}

func (w *Watched) take(ctx context.Context, c candidate, info fs.FileInfo) error {
	r, err := readPlain(c.path, info)
	if err != nil {
		if fault.CodeOf(err) == fault.Internal {
			return err
		}
		return w.aside(c, movein.Dropped{Aside: true, Why: err})
	}
	got, err := movein.DropFile(ctx, w.st, movein.DropIn{Name: c.name, Body: r.body, Mapping: w.mapping})
	if err != nil {
		return err
	}
	c, same, err := w.claim(c, r)
	switch {
	case err != nil:
		return err
	case !same:
		w.told("%s: it was written to while it was read; it is read again when it stands still", c.name)
		return nil
	case got.Aside:
		return w.aside(c, got)
	case got.Intake != nil:
		w.told("%s: %d orders brought in, as file %d", c.name, got.Intake.Made.Orders, got.Intake.ID)
	default:
		w.told("%s: nothing in it is new", c.name)
	}
	target, err := w.free(c.name, broughtFolder)
	if err != nil {
		return err
	}
	return w.putAway(c, target)
}

// readPlain reads a plain file up to the size that the studio takes. A link is never followed, and a file with another
// name elsewhere is not read: either could lead anywhere. Faults: Refused, TooLarge.
func readPlain(path string, info fs.FileInfo) (reading, error) {
	switch {
	case !info.Mode().IsRegular():
		return reading{}, fault.New(fault.Refused, "it is a link or no plain file").ToMend("copy the file itself into the folder")
	case info.Size() > movein.MaxFile:
		return reading{}, fault.New(fault.TooLarge, "it has more than %d MB", movein.MaxFile>>20).ToMend("save the sheet with the sales alone, or in parts")
	}
	f, err := os.Open(path)
	if err != nil {
		return reading{}, err
	}
	defer f.Close()
	opened, err := f.Stat()
	if err != nil {
		return reading{}, err
	}
	if !os.SameFile(info, opened) {
		return reading{}, errors.New("another file took its place")
	}
	names, err := namesOf(f, opened)
	if err != nil {
		return reading{}, err
	}
	if names > 1 {
		return reading{}, fault.New(fault.Refused, "the same file has another name elsewhere (a hard link)").ToMend("copy the file itself into the folder")
	}
	body, err := io.ReadAll(io.LimitReader(f, movein.MaxFile+1))
	return reading{opened, body}, err
}

// claim renames a file that was read out of the watched folder, so that nobody can write to it by its name any more, and
// reports whether it is, byte for byte, what was read. What is not stays where it then is.
func (w *Watched) claim(c candidate, r reading) (candidate, bool, error) {
	same, err := w.still(c.path, r)
	if !same || err != nil || c.taking {
		return c, same, err
	}
	dir, err := os.MkdirTemp(filepath.Join(w.folder, takingFolder), "*")
	if err != nil {
		return c, false, err
	}
	to := filepath.Join(dir, c.name)
	if err := os.Rename(c.path, to); err != nil {
		return c, false, errors.Join(err, os.Remove(dir))
	}
	c.path, c.taking = to, true
	same, err = w.still(c.path, r)
	return c, same, err
}

// still reports whether a file is what was read, and no program can write to it.
func (w *Watched) still(path string, r reading) (bool, error) {
	info, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil || !os.SameFile(info, r.info) {
		return false, err
	}
	if open, err := w.isOpen(path, info); open || err != nil {
		return false, err
	}
	now, err := readPlain(path, info)
	if err != nil {
		return false, err
	}
	return sha256.Sum256(now.body) == sha256.Sum256(r.body), nil
}

// putAway renames a file to where it stays, and remembers to look after it.
func (w *Watched) putAway(c candidate, target string) error {
	if err := os.Rename(c.path, target); err != nil {
		return err
	}
	if c.taking {
		_ = os.Remove(filepath.Dir(c.path)) // empty now; else the next look removes it
	}
	info, err := os.Lstat(target)
	if err != nil {
		return nil // she was quicker
	}
	w.filed = append(w.filed, filed{candidate{target, c.name, false}, sighting{info: info, since: w.clock()}})
	return nil
}

// lookAfter takes a file back that was written to after it was put away, by a writer who could not be seen: its later rows are
// read as well.
func (w *Watched) lookAfter() error {
	var keep []filed
	var errs []error
	for _, x := range w.filed {
		info, err := os.Lstat(x.path)
		switch {
		case err != nil || !os.SameFile(info, x.info):
			continue // it was moved on
		case x.same(info):
			if w.clock().Sub(x.since) < looksAfter {
				keep = append(keep, x)
			}
			continue
		}
		w.told("%s: it was written to after it was read; it is read again", x.name)
		dir, err := os.MkdirTemp(filepath.Join(w.folder, takingFolder), "*")
		if err == nil {
			err = os.Rename(x.path, filepath.Join(dir, x.name))
		}
		if err != nil {
			keep, errs = append(keep, x), append(errs, err)
		}
	}
	w.filed = keep
	return errors.Join(errs...)
}

// unfinished is the name of a report that is being written.
const unfinished = ".solander-*"

// clearReports removes what a program that was killed left of a report.
func (w *Watched) clearReports() error {
	left, err := filepath.Glob(filepath.Join(w.folder, asideFolder, unfinished))
	if err != nil {
		return nil // the folder's own name reads like a pattern: what is left there does no harm
	}
	for _, path := range left {
		err = errors.Join(err, os.Remove(path))
	}
	return err
}

// aside moves a file away with a report beside it: the report first, so that no file lies there without one.
func (w *Watched) aside(c candidate, got movein.Dropped) error {
	target, err := w.free(c.name, asideFolder)
	if err != nil {
		return err
	}
	report := target + ".report.txt"
	tmp, err := os.CreateTemp(filepath.Dir(target), unfinished)
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name()) // gone already once it was renamed
	writeAside(tmp, c.name, got)
	if err := errors.Join(tmp.Sync(), tmp.Close()); err != nil {
		return err
	}
	if err := os.Rename(tmp.Name(), report); err != nil {
		return err
	}
	w.told("%s: left aside, see %s", c.name, report)
	return w.putAway(c, target)
}

func writeAside(w io.Writer, name string, got movein.Dropped) {
	hang(w, "", desk.Shown(name)+" was left aside. Nothing was made of it.")
	for _, f := range fault.All(got.Why) {
		hang(w, "", desk.Shown(f.Error()))
	}
	if got.Arrival != 0 {
		hang(w, "", "It waits in the studio, under Orders, Bring in a file: answer there what is asked. Or mend it and drop it into the folder again.")
	}
	if got.Trial != nil {
		fmt.Fprintln(w)
		printTrial(w, *got.Trial, "read as "+got.Trial.Mapping)
	}
}

// free finds a name that is free in a folder: "sales.csv", "sales-2.csv" …
func (w *Watched) free(name, folder string) (string, error) {
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
