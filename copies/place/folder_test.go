package place

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"solander/fault"
)

const mark = "0123456789abcdef"

// failing is a disk on which one operation fails, and all after it when the stick was pulled out.
type failing struct {
	system
	with error
	at   int // which operation fails, from 1; 0 = none
	gone bool
	n    int
	lies bool // what is read back is not what was written
}

func (d *failing) step(op, path string) error {
	d.n++
	if d.at == 0 || d.n < d.at || d.n > d.at && !d.gone {
		return nil
	}
	return &fs.PathError{Op: op, Path: path, Err: d.with}
}

func (d *failing) create(path string) (file, error) {
	if err := d.step("open", path); err != nil {
		return nil, err
	}
	f, err := d.system.create(path)
	return failingFile{f, d, path}, err
}

func (d *failing) open(path string) (io.ReadCloser, error) {
	if err := d.step("open", path); err != nil {
		return nil, err
	}
	if d.lies {
		return io.NopCloser(strings.NewReader("something else")), nil
	}
	return d.system.open(path)
}

func (d *failing) rename(from, to string) error {
	if err := d.step("rename", from); err != nil {
		return err
	}
	return d.system.rename(from, to)
}

func (d *failing) remove(path string) error {
	if err := d.step("remove", path); err != nil {
		return err
	}
	return d.system.remove(path)
}

func (d *failing) list(folder string) ([]string, error) {
	if err := d.step("readdir", folder); err != nil {
		return nil, err
	}
	return d.system.list(folder)
}

func (d *failing) settle(folder string) error {
	if err := d.step("sync", folder); err != nil {
		return err
	}
	return d.system.settle(folder)
}

type failingFile struct {
	file
	disk *failing
	path string
}

func (f failingFile) Write(p []byte) (int, error) {
	if err := f.disk.step("write", f.path); err != nil {
		n, _ := f.file.Write(p[:len(p)/2]) // a full disk takes some of it
		return n, err
	}
	return f.file.Write(p)
}

func (f failingFile) Sync() error {
	if err := f.disk.step("sync", f.path); err != nil {
		return err
	}
	return f.file.Sync()
}

func (f failingFile) Close() error { return errors.Join(f.disk.step("close", f.path), f.file.Close()) }

var body = bytes.Repeat([]byte("0123456789abcdef"), 100)

func inParts(w io.Writer) error {
	for part := range slices.Chunk(body, 300) {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

func names(t *testing.T, folder string) []string {
	t.Helper()
	all, err := system{}.list(folder)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Whatever operation of the disk fails, and however: either the copy stands whole and it is said so, or no file has its name; what lay there
// before is as it was, and the next copy can be made.
func TestNothingHalfWritten(t *testing.T) {
	tried := 0
	for _, with := range []error{syscall.ENOSPC, syscall.EIO, syscall.ENOENT, syscall.ENODEV, syscall.EROFS, syscall.EACCES, syscall.EDQUOT} {
		for _, gone := range []bool{false, true} {
			for at := 1; ; at++ {
				folder := t.TempDir()
				if err := In(folder, mark).Claim(); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(filepath.Join(folder, "earlier"), body, 0o600); err != nil {
					t.Fatal(err)
				}
				before := names(t, folder)
				d := &failing{with: with, at: at, gone: gone}
				f := &Folder{folder, mark, d}
				name := fmt.Sprintf("solander-%s-20310304T101112Z.copy", mark)
				put, err := f.Put(t.Context(), name, inParts)
				what := fmt.Sprintf("%v at operation %d, gone after it: %v", with, at, gone)
				if d.n < at {
					if err != nil || put.Size != int64(len(body)) {
						t.Fatalf("nothing failed, and yet %v, %+v", err, put)
					}
					break
				}
				tried++
				after := names(t, folder)
				whole := slices.Contains(after, name)
				if whole {
					if got, err := os.ReadFile(filepath.Join(folder, name)); err != nil || !bytes.Equal(got, body) {
						t.Errorf("%s: half of it has its name", what)
					}
				}
				if err == nil && !whole {
					t.Errorf("%s: it is said to stand, and does not", what)
				}
				if err != nil && (!fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), stays)) {
					t.Errorf("%s: %v", what, err)
				}
				for _, b := range before {
					if !slices.Contains(after, b) {
						t.Errorf("%s: %s is gone", what, b)
					}
				}
				if got, err := os.ReadFile(filepath.Join(folder, "earlier")); err != nil || !bytes.Equal(got, body) {
					t.Errorf("%s: the earlier file is not what it was", what)
				}
				next := strings.Replace(name, "101112", "101113", 1)
				if _, err := In(folder, mark).Put(t.Context(), next, inParts); err != nil {
					t.Errorf("%s: the next copy: %v", what, err)
				}
				if slices.ContainsFunc(names(t, folder), func(n string) bool { return strings.HasSuffix(n, partTail) }) {
					t.Errorf("%s: a part lies about after the next copy", what)
				}
			}
		}
	}
	if tried < 7*2*8 {
		t.Errorf("only %d faults were tried", tried)
	}
}

func TestWhatIsReadBackCounts(t *testing.T) {
	folder := t.TempDir()
	f := &Folder{folder, mark, &failing{lies: true}}
	if err := f.Claim(); err != nil {
		t.Fatal(err)
	}
	_, err := f.Put(t.Context(), "a", inParts)
	if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "cannot be read back") {
		t.Errorf("it says %v", err)
	}
	if all := names(t, folder); !slices.Equal(all, []string{Note(mark)}) {
		t.Errorf("there lie %v", all)
	}
}

// A stick that is not in leaves an empty folder, or none: nothing is written there, and no folder made.
func TestAStickThatIsNotIn(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "stick")
	f := In(folder, mark)
	if err := f.Claim(); !fault.Is(err, fault.Refused) {
		t.Errorf("a folder that is not there is claimed: %v", err)
	}
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Put(t.Context(), "a", inParts); !fault.Is(err, fault.Missing) {
		t.Errorf("it is written below where the stick belongs: %v", err)
	}
	if all := names(t, folder); len(all) != 0 {
		t.Errorf("there lie %v", all)
	}
	if err := In("stick", mark).Claim(); !fault.Is(err, fault.Invalid) {
		t.Errorf("half a path is taken: %v", err)
	}
	if err := f.Claim(); err != nil {
		t.Fatal(err)
	}
	if err := In(folder, "fedcba9876543210").Claim(); err != nil { // another studio's copies may lie beside
		t.Fatal(err)
	}
	if err := f.Claim(); err != nil { // again
		t.Fatal(err)
	}
	if _, err := f.Put(t.Context(), "a", inParts); err != nil {
		t.Error(err)
	}
	if _, err := f.Put(t.Context(), "a", inParts); !fault.Is(err, fault.Taken) {
		t.Errorf("a copy is written over: %v", err)
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := f.Put(ctx, "b", inParts); !errors.Is(err, context.Canceled) {
		t.Errorf("it goes on after the program ended: %v", err)
	}
	r, err := f.Open(t.Context(), "a")
	if err != nil {
		t.Fatal(err)
	}
	got, err := io.ReadAll(r)
	if err := errors.Join(err, r.Close()); err != nil || !bytes.Equal(got, body) {
		t.Errorf("it comes back as %d bytes, %v", len(got), err)
	}
	if info, err := os.Stat(filepath.Join(folder, "a")); err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("others may read it: %v, %v", info.Mode(), err)
	}
	if err := errors.Join(f.Drop(t.Context(), "a"), f.Drop(t.Context(), "a")); err != nil {
		t.Error(err)
	}
}
