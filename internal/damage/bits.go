// Package damage damages a studio as a failing disk or a stranger would, and tells what the program makes of it: a
// helper of tests.
package damage

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"

	"solander/fault"
	"solander/house"
	"solander/store"
	"solander/studio"
)

// Told is what became of a number of flips.
type Told struct {
	Flips   int
	Refused int // the file was not opened
	Changed int // something that was kept is another, or cannot be read any more
	Seen    int // of those, how many check found, or opening refused
	Alarms  int // check found something, though all that was kept is as it was: an index, a count, a page that is free

	Broken []string // what ended in a failure of the program or a panic: none may
}

func (t Told) String() string {
	return fmt.Sprintf("%d bits flipped: %d changed what was kept, %d of them seen, %d unseen; %d more seen that changed nothing kept; %d refused at opening; %d broke the program",
		t.Flips, t.Changed, t.Seen, t.Changed-t.Seen, t.Alarms, t.Refused, len(t.Broken))
}

// Bits flips n bits of the file of a studio that nobody has open, one at a time, each in a fresh copy in folder. The
// same seed flips the same bits.
func Bits(ctx context.Context, file, folder string, seed uint64, n int) (Told, error) {
	whole, err := os.ReadFile(file)
	if err != nil {
		return Told{}, err
	}
	want, err := keptIn(ctx, file)
	if err != nil {
		return Told{}, err
	}
	r := rand.New(rand.NewPCG(seed, 0))
	path := filepath.Join(folder, "flipped.db")
	told := Told{Flips: n}
	for range n {
		at, bit := r.IntN(len(whole)), r.IntN(8)
		data := bytes.Clone(whole)
		data[at] ^= 1 << bit
		for _, tail := range []string{"-wal", "-shm", "-journal"} {
			os.Remove(path + tail)
		}
		if err := os.WriteFile(path, data, 0o600); err != nil {
			return told, err
		}
		told.add(fmt.Sprintf("byte %d, bit %d", at, bit), one(ctx, path, want))
	}
	return told, nil
}

// flipped is what became of one flip.
type flipped struct {
	refused, changed bool
	found            int
	broke            string
}

func (t *Told) add(where string, f flipped) {
	switch {
	case f.broke != "":
		t.Broken = append(t.Broken, where+": "+f.broke)
	case f.refused:
		t.Refused++
		t.Changed++
		t.Seen++
	case f.changed:
		t.Changed++
		if f.found > 0 {
			t.Seen++
		}
	case f.found > 0:
		t.Alarms++
	}
}

func one(ctx context.Context, path string, want []byte) (f flipped) {
	defer func() {
		if broke := recover(); broke != nil {
			f.broke = fmt.Sprintf("panic: %v", broke)
		}
	}()
	st, err := store.Open(ctx, path, store.Options{})
	if err != nil {
		if fault.CodeOf(err) == fault.Internal {
			f.broke = "opening: " + err.Error()
		}
		f.refused = true
		return f
	}
	defer st.Close()
	found, err := house.Check(ctx, studio.New(st, studio.Options{}))
	if err != nil {
		f.broke = "check: " + err.Error()
	}
	f.found = len(found)
	got, err := keptBy(ctx, st)
	f.changed = err != nil || !bytes.Equal(got, want)
	return f
}

func keptIn(ctx context.Context, file string) ([]byte, error) {
	st, err := store.Open(ctx, file, store.Options{})
	if err != nil {
		return nil, err
	}
	defer st.Close()
	return keptBy(ctx, st)
}

// keptBy is all that a copy holds, without its head, which tells the time.
func keptBy(ctx context.Context, st studio.Store) ([]byte, error) {
	var packed bytes.Buffer
	if err := st.Dump(ctx, &packed); err != nil {
		return nil, err
	}
	zip, err := gzip.NewReader(&packed)
	if err != nil {
		return nil, err
	}
	lines := bufio.NewReader(zip)
	if _, err := lines.ReadString('\n'); err != nil {
		return nil, err
	}
	rest, err := io.ReadAll(lines)
	if at := bytes.LastIndexByte(bytes.TrimRight(rest, "\n"), '\n'); at > 0 {
		rest = rest[:at] // the last line is the sum of all, the head's time among it
	}
	return rest, err
}
