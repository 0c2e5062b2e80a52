package place

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"

	"solander/fault"
)

// Folder is a folder that a studio's copies go to. A note in it says that it is the one that was chosen: without the note it is taken for
// a stick that is not there, and never made, so that nothing fills the disk below the place where a stick belongs.
type Folder struct {
	path, studio string
	disk         disk
}

// In is the folder at a path, for the copies of the studio of a mark.
func In(path, studio string) *Folder { return &Folder{path, studio, system{}} }

// partTail ends the name of a copy that is being written.
const partTail = ".part"

// Note is what the note of a studio is called.
func Note(studio string) string { return "solander-" + studio + ".txt" }

const noteText = `The copies of one studio, %s, lie in this folder: files whose names begin with
solander-%s. The program that makes them needs this note to know the folder again.

A copy that ends in .age is sealed: it opens with the key that was saved apart when this folder was chosen,
  solander restore COPY --key KEYFILE --store NEWPLACE
or, by any program of the format age, first to the plain copy:
  age --decrypt --identity KEYFILE COPY > PLAIN
`

// Claim puts the note into a folder that is there. Faults: Missing, Refused.
func (f *Folder) Claim() error {
	if !filepath.IsAbs(f.path) {
		return fault.Invalidf("folder", "%.200q is not a whole path", f.path).ToMend("begin it at the root or a drive")
	}
	if err := f.there(); err != nil {
		return err
	}
	name := filepath.Join(f.path, Note(f.studio))
	w, err := f.disk.create(name)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err == nil {
		_, err = fmt.Fprintf(w, noteText, f.studio, f.studio)
		if err = errors.Join(err, w.Sync(), w.Close()); err != nil {
			err = errors.Join(err, f.disk.remove(name))
		}
	}
	return f.told(err)
}

func (f *Folder) there() error {
	if _, err := f.disk.list(f.path); err != nil {
		return f.told(err)
	}
	return nil
}

// Where is the path.
func (f *Folder) Where() string { return f.path }

// Names are the files of the folder. Faults: Missing when it is not the one that was chosen.
func (f *Folder) Names(context.Context) ([]string, error) {
	names, err := f.disk.list(f.path)
	if err != nil {
		return nil, f.told(err)
	}
	for _, n := range names {
		if n == Note(f.studio) {
			return names, nil
		}
	}
	return nil, fault.New(fault.Missing, "the folder for copies is there, but its note %s is not: a stick may not be in, or the folder is another one", Note(f.studio)).
		At("%s", f.path).ToMend("put the stick in, or choose the folder again; " + stays)
}

// Put writes a file whole, or not at all.
func (f *Folder) Put(ctx context.Context, name string, write func(io.Writer) error) (Put, error) {
	names, err := f.Names(ctx)
	if err != nil {
		return Put{}, err
	}
	for _, n := range names {
		if n == name {
			return Put{}, fault.New(fault.Taken, "there is a copy %s already", name).At("%s", f.path).ToMend("wait a second, and make another one")
		}
		if strings.HasPrefix(n, "solander-"+f.studio+"-") && strings.HasSuffix(n, partTail) {
			_ = f.disk.remove(filepath.Join(f.path, n)) // of one that was broken off; if it stays, it is in nobody's way
		}
	}
	put, err := f.put(ctx, filepath.Join(f.path, name), write)
	return put, f.told(err)
}

// Whole writes a file at a path, in whatever folder, whole or not at all. Faults: Taken, Refused.
func Whole(ctx context.Context, path string, write func(io.Writer) error) (Put, error) {
	f := &Folder{path: filepath.Dir(path), disk: system{}}
	if _, err := os.Lstat(path); err == nil {
		return Put{}, fault.New(fault.Taken, "it exists already").At("%s", path).In("file").ToMend("choose another name")
	}
	put, err := f.put(ctx, path, write)
	return put, f.told(err)
}

func (f *Folder) put(ctx context.Context, whole string, write func(io.Writer) error) (_ Put, err error) {
	part := whole + partTail
	w, err := f.disk.create(part)
	if err != nil {
		return Put{}, err
	}
	defer func() {
		if err != nil {
			_ = f.disk.remove(part) // a stick that is gone has it still: it is taken away next time
		}
	}()
	s := summing(&steady{file: w})
	if err := write(s); err != nil {
		return Put{}, errors.Join(err, w.Close())
	}
	if err := errors.Join(w.Sync(), w.Close()); err != nil {
		return Put{}, err
	}
	r, err := f.disk.open(part)
	if err != nil {
		return Put{}, err
	}
	if err := errors.Join(readBack(ctx, r, s.put()), r.Close()); err != nil {
		return Put{}, err
	}
	if err := f.disk.rename(part, whole); err != nil {
		return Put{}, err
	}
	return s.put(), f.disk.settle(f.path)
}

// Open reads a file.
func (f *Folder) Open(_ context.Context, name string) (io.ReadCloser, error) {
	r, err := f.disk.open(filepath.Join(f.path, name))
	return r, f.told(err)
}

// Drop takes a file away.
func (f *Folder) Drop(_ context.Context, name string) error {
	err := f.disk.remove(filepath.Join(f.path, name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return f.told(err)
}

// What Windows says of a full disk. Source: Microsoft, System Error Codes, ERROR_HANDLE_DISK_FULL and ERROR_DISK_FULL.
const (
	handleDiskFull = syscall.Errno(39)
	diskFull       = syscall.Errno(112)
)

// told says what a disk means.
func (f *Folder) told(err error) error {
	full := errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) ||
		runtime.GOOS == "windows" && (errors.Is(err, handleDiskFull) || errors.Is(err, diskFull))
	switch {
	case err == nil, errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case full:
		return failed(f.path, err, "there is no room for another copy", "make room there, or choose another folder")
	case errors.Is(err, fs.ErrNotExist):
		return failed(f.path, err, "the folder for copies is not there: a stick may have been pulled out", "put it in again, or choose another folder")
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return failed(f.path, err, "nothing may be written into the folder for copies", "change its permissions, or choose another folder")
	case errors.Is(err, errChanged):
		return failed(f.path, err, "the copy cannot be read back as it was written", "do not trust this disk: choose another one")
	case isPath(err):
		return failed(f.path, err, "the folder for copies cannot be used: it fails, or was pulled out", "look at the stick or disk, or choose another folder")
	}
	return err
}

// isPath reports whether a file or its disk failed, and not what was to be written.
func isPath(err error) bool {
	var p *fs.PathError
	var l *os.LinkError
	var e syscall.Errno
	return errors.As(err, &p) || errors.As(err, &l) || errors.As(err, &e)
}

// disk is what a folder asks of the system; tests put one in its place that fails.
type disk interface {
	create(path string) (file, error) // a file that is not there yet, for its owner alone
	open(path string) (io.ReadCloser, error)
	rename(from, to string) error
	remove(path string) error
	list(folder string) ([]string, error)
	settle(folder string) error // waits until the names in it are kept
}

type file interface {
	io.WriteCloser
	Sync() error
}

type system struct{}

func (system) create(path string) (file, error) {
	return os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
}
func (system) open(path string) (io.ReadCloser, error) { return os.Open(path) }
func (system) rename(from, to string) error            { return os.Rename(from, to) }
func (system) remove(path string) error                { return os.Remove(path) }

func (system) list(folder string) ([]string, error) {
	all, err := os.ReadDir(folder)
	names := make([]string, 0, len(all))
	for _, e := range all {
		names = append(names, e.Name())
	}
	return names, err
}

func (system) settle(folder string) error {
	if runtime.GOOS == "windows" { // a folder cannot be waited for there; the name is in the journal of the file system
		return nil
	}
	d, err := os.Open(folder)
	if err != nil {
		return err
	}
	err = d.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, syscall.ENOTSUP) { // some file systems of sticks and networks know no such wait
		err = nil
	}
	return errors.Join(err, d.Close())
}
