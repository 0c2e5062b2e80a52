package copies_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"solander/copies"
	"solander/copies/ages"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/internal/pgtest"
	"solander/measure"
	"solander/rota"
	"solander/store"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// home is a studio with something of everything, what keeps its copies, and a clock.
type home struct {
	*studio.Studio
	keep *copies.Keeper
	now  *time.Time
}

func at(t *testing.T, place string) studio.Store {
	t.Helper()
	s, err := store.Open(t.Context(), place, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func inFile(t *testing.T) string   { return filepath.Join(t.TempDir(), "studio.db") }
func onServer(t *testing.T) string { return pgtest.New(t) }

func keeper(t *testing.T) *copies.Keeper {
	return &copies.Keeper{
		Keys: copies.Keys{File: filepath.Join(t.TempDir(), "keys"), Get: func(string) string { return "" }},
		Scratch: func(ctx context.Context, use func(studio.Store, string) error) error {
			folder := t.TempDir()
			s, err := store.Open(ctx, filepath.Join(folder, "scratch.db"), store.Options{Hasty: true, Story: true})
			if err != nil {
				return err
			}
			return errors.Join(use(s, folder), s.Close())
		},
	}
}

func begun(t *testing.T, place string) home {
	t.Helper()
	s := at(t, place)
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	bed.Write(t, s, func(tx studio.Tx) error {
		return errors.Join(bed.Everything(tx, h, ed), tx.SaveSettings(settings()))
	})
	now := time.Date(2031, 3, 4, 2, 30, 0, 0, time.UTC)
	return home{studio.New(s, studio.Options{Clock: func() time.Time { return now }}), keeper(t), &now}
}

func settings() studio.Settings {
	set := house.Defaults(measure.Imperial).Settings
	set.Studio, set.Artist, set.TimeZone = "Weir House", "Ada Example", "America/New_York"
	return set
}

func (h home) choose(t *testing.T, folder string, open bool) {
	t.Helper()
	err := h.keep.Choose(t.Context(), h.Studio, copies.ChooseIn{To: copies.ToFolder, Folder: folder, Open: open, Hour: 2, Minute: 30, Keep: ages.Usual})
	if err != nil {
		t.Fatal(err)
	}
}

func (h home) make(t *testing.T) copies.Made {
	t.Helper()
	m, err := h.keep.Make(t.Context(), h.Studio)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func listed(t *testing.T, folder string) []string {
	t.Helper()
	all, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range all {
		names = append(names, e.Name())
	}
	return names
}

// The story of a copy, on both engines: made, sealed, opened by the reference program, brought back elsewhere, held in a drill, let go in time.
func TestACopyOfANight(t *testing.T) {
	for name, place := range map[string]func(*testing.T) string{"sqlite": inFile, "postgres": onServer} {
		t.Run(name, func(t *testing.T) {
			h, folder := begun(t, place(t)), t.TempDir()
			h.choose(t, folder, false)
			m := h.make(t)
			data, err := os.ReadFile(filepath.Join(folder, m.Name))
			if err != nil || !strings.HasSuffix(m.Name, "-20310304T023000Z.copy.age") || int64(len(data)) != m.Size || !bytes.HasPrefix(data, []byte("age-encryption.org/v1\n")) {
				t.Fatalf("%+v, %v", m, err)
			}
			keyName, key, err := h.keep.KeyFile(t.Context(), h.Studio)
			if err != nil {
				t.Fatal(err)
			}
			keyFile := filepath.Join(t.TempDir(), keyName)
			if err := os.WriteFile(keyFile, []byte(key), 0o600); err != nil {
				t.Fatal(err)
			}
			plain, err := exec.CommandContext(t.Context(), "age", "--decrypt", "--identity", keyFile, filepath.Join(folder, m.Name)).Output()
			if err != nil {
				t.Fatalf("the program age does not open it: %v", err)
			}
			other := studio.New(at(t, inFile(t)), studio.Options{})
			if err := copies.Bring(t.Context(), other, bytes.NewReader(data), key); err != nil {
				t.Fatal(err)
			}
			bed.Same(t, "what comes back", rows(t, plain), rows(t, bed.Dumped(t, other.Store)))
			again := studio.New(at(t, inFile(t)), studio.Options{})
			if err := copies.Bring(t.Context(), again, bytes.NewReader(plain), ""); err != nil {
				t.Fatalf("what age opened: %v", err)
			}
			if err := copies.Bring(t.Context(), again, bytes.NewReader(data), key); !fault.Is(err, fault.Refused) {
				t.Errorf("a studio is written over: %v", err)
			}
			d, err := h.keep.Drill(t.Context(), h.Studio)
			if err != nil || d.Name != m.Name || d.Found == 0 { // the bed's parcel has no plan, which the check finds
				t.Fatalf("%+v, %v", d, err)
			}
			v, err := copies.Look(t.Context(), h.Studio)
			if err != nil || v.Last == nil || v.Last.Name != m.Name || v.Drilled == nil || v.Drilled.Name != m.Name {
				t.Errorf("%+v, %v", v, err)
			}
		})
	}
}

// rows are the lines of a copy but its first and last.
func rows(t *testing.T, packed []byte) []string {
	t.Helper()
	l := bed.Lines(t, packed)
	return l[1 : len(l)-1]
}

// Forty nights: the classes are kept, and what this studio did not write stays as it was.
func TestOthersAreLeftAlone(t *testing.T) {
	h, folder := begun(t, inFile(t)), t.TempDir()
	foreign := []string{"solander-fedcba9876543210-20300101T000000Z.copy", "solander-fedcba9876543210-20300101T000000Z.copy.age.part", "letter.odt", "solander-notes.txt"}
	for _, n := range foreign {
		if err := os.WriteFile(filepath.Join(folder, n), []byte(n), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	h.choose(t, folder, true)
	went := 0
	for range 40 {
		went += h.make(t).Went
		*h.now = h.now.Add(24 * time.Hour)
	}
	own, others, err := h.keep.List(t.Context(), h.Studio)
	if err != nil || others != 1 {
		t.Errorf("%d copies of others, %v", others, err)
	}
	if len(own) != 40-went || len(own) < 9 || len(own) > 14 || !slices.Contains(own[0].Why, "newest") {
		t.Errorf("%d copies lie there, %d went: %+v", len(own), went, own)
	}
	for _, n := range foreign {
		if b, err := os.ReadFile(filepath.Join(folder, n)); err != nil || string(b) != n {
			t.Errorf("%s is not what it was: %v", n, err)
		}
	}
	v, err := copies.Look(t.Context(), h.Studio)
	if err != nil || v.Open != true {
		t.Errorf("%+v, %v", v, err)
	}
}

// A drill finds what a night did wrong: a copy changed where it lies, one of another studio under this one's name, one cut off.
func TestADrillFindsWhatIsWrong(t *testing.T) {
	h, folder := begun(t, inFile(t)), t.TempDir()
	h.choose(t, folder, true)
	if _, err := h.keep.Drill(t.Context(), h.Studio); !fault.Is(err, fault.Refused) {
		t.Errorf("without a copy: %v", err)
	}
	m := h.make(t)
	file := filepath.Join(folder, m.Name)
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	o := begun(t, inFile(t))
	theirs := t.TempDir()
	o.choose(t, theirs, true)
	o.Clock()
	om := o.make(t)
	another, err := os.ReadFile(filepath.Join(theirs, om.Name))
	if err != nil {
		t.Fatal(err)
	}
	flipped := bytes.Clone(whole)
	flipped[len(flipped)/2] ^= 4
	for what, bad := range map[string][]byte{"changed": flipped, "cut off": whole[:len(whole)/2], "another studio's": another, "empty": nil} {
		if err := os.WriteFile(file, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := h.keep.Drill(t.Context(), h.Studio); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", what, err)
		}
	}
	later := strings.Replace(m.Name, "023000Z", "023001Z", 1) // not the one that was written last: its sum is not known
	if err := errors.Join(os.WriteFile(file, whole, 0o600), os.WriteFile(filepath.Join(folder, later), another, 0o600)); err != nil {
		t.Fatal(err)
	}
	if _, err := h.keep.Drill(t.Context(), h.Studio); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "another one's") {
		t.Errorf("another studio's copy under this one's name: %v", err)
	}
	if err := os.Remove(filepath.Join(folder, later)); err != nil {
		t.Fatal(err)
	}
	if _, err := h.keep.Drill(t.Context(), h.Studio); err != nil {
		t.Errorf("as it was: %v", err)
	}
}

// By itself: in the night by the rota, with the clear word when the stick is out, and loud when it was out too long.
func TestWhileSheSleeps(t *testing.T) {
	s := at(t, inFile(t))
	h := begunIn(t, s)
	folder := t.TempDir()
	h.choose(t, folder, false)
	r := &rota.Runner{Studio: h.Studio, Jobs: h.keep.Jobs(), Holder: "here"}
	look := func() copies.View {
		t.Helper()
		if err := r.Look(t.Context()); err != nil {
			t.Fatal(err)
		}
		v, err := copies.Look(t.Context(), h.Studio)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if v := look(); v.Last != nil || v.Loud() {
		t.Errorf("at once: %+v", v)
	}
	if err := errors.Join(copies.AskCopy(t.Context(), h.Studio), copies.AskDrill(t.Context(), h.Studio)); err != nil {
		t.Fatal(err)
	}
	v := look()
	if v.Last == nil || v.Drilled == nil || v.Running() || !strings.Contains(v.Copy.Said, v.Last.Name) {
		t.Fatalf("asked for: %+v", v)
	}
	if err := os.Rename(folder, folder+"-out"); err != nil {
		t.Fatal(err)
	}
	if err := copies.AskCopy(t.Context(), h.Studio); err != nil {
		t.Fatal(err)
	}
	v = look()
	if v.Copy.Failures != 1 || !strings.Contains(v.Copy.Said, "a stick may have been pulled out") || !strings.Contains(v.Copy.Said, "earlier copies were not touched") || v.Last == nil {
		t.Errorf("without the stick: %+v", v.Copy)
	}
	if err := os.Rename(folder+"-out", folder); err != nil {
		t.Fatal(err)
	}
	if err := copies.AskCopy(t.Context(), h.Studio); err != nil {
		t.Fatal(err)
	}
	if v = look(); v.Copy.Failures != 0 || len(listed(t, folder)) != 2 { // its note, and the newest copy of the day
		t.Errorf("with the stick again: %+v, %v", v.Copy, listed(t, folder))
	}
	if err := h.keep.Stop(t.Context(), h.Studio); err != nil {
		t.Fatal(err)
	}
	if v = look(); !v.Copy.Due.IsZero() || v.Loud() {
		t.Errorf("stopped: %+v", v)
	}
}

// begunIn is a studio in a store whose instants are those of the real clock.
func begunIn(t *testing.T, s studio.Store) home {
	t.Helper()
	bed.Write(t, s, func(tx studio.Tx) error { return tx.SaveSettings(settings()) })
	return home{Studio: studio.New(s, studio.Options{}), keep: keeper(t)}
}

// The story of a new computer: one file, opened there; the old one can only be read, says so, and can be taken back.
func TestANewComputer(t *testing.T) {
	for name, place := range map[string]func(*testing.T) string{"sqlite": inFile, "postgres": onServer} {
		t.Run(name, func(t *testing.T) {
			h := begun(t, place(t))
			file := filepath.Join(t.TempDir(), "studio.move")
			write := func() error {
				return h.Store.Write(t.Context(), func(tx studio.Tx) error {
					_, err := tx.SaveWork(edition.Work{Title: "Late"})
					return err
				})
			}
			if _, err := h.keep.Leave(t.Context(), h.Studio, copies.LeaveIn{File: filepath.Join(t.TempDir(), "none", "x")}); !fault.Is(err, fault.Refused) {
				t.Errorf("into no folder: %v", err)
			}
			if err := write(); err != nil {
				t.Errorf("a leaving that failed keeps the studio shut: %v", err)
			}
			left, err := h.keep.Leave(t.Context(), h.Studio, copies.LeaveIn{File: file})
			if err != nil {
				t.Fatal(err)
			}
			if err := write(); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "left for another computer") {
				t.Errorf("it is written after it was left: %v", err)
			}
			if v, err := copies.Look(t.Context(), h.Studio); err != nil || v.Left.File != file {
				t.Errorf("%+v, %v", v.Left, err)
			}
			if _, err := h.keep.Leave(t.Context(), h.Studio, copies.LeaveIn{File: file + "2"}); !fault.Is(err, fault.Refused) {
				t.Errorf("it is left twice: %v", err)
			}
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			there := studio.New(at(t, inFile(t)), studio.Options{})
			if err := copies.Bring(t.Context(), there, bytes.NewReader(data), "wrong"); !fault.Is(err, fault.Invalid) {
				t.Errorf("by a wrong passphrase: %v", err)
			}
			if err := copies.Bring(t.Context(), there, bytes.NewReader(data), strings.ToLower(left.Passphrase)); err != nil {
				t.Fatal(err)
			}
			bed.Same(t, "rows", rows(t, bed.Dumped(t, h.Store)), rows(t, bed.Dumped(t, there.Store)))
			bed.Write(t, there.Store, func(tx studio.Tx) error { _, err := tx.SaveWork(edition.Work{Title: "There"}); return err })
			if err := copies.Back(t.Context(), h.Studio); err != nil {
				t.Fatal(err)
			}
			if err := write(); err != nil {
				t.Errorf("it is not taken back: %v", err)
			}
		})
	}
}

// Keys that others may read are not used, and those of another studio are not this one's.
func TestKeysAreForTheOwnerAlone(t *testing.T) {
	h, folder := begun(t, inFile(t)), t.TempDir()
	h.choose(t, folder, false)
	info, err := os.Stat(h.keep.Keys.File)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Fatalf("the keys have mode %v, %v", info.Mode(), err)
	}
	var dumped bytes.Buffer
	if err := h.Store.Dump(t.Context(), &dumped); err != nil {
		t.Fatal(err)
	}
	keys, err := os.ReadFile(h.keep.Keys.File)
	if err != nil || !bytes.Contains(keys, []byte("AGE-SECRET-KEY-")) {
		t.Fatalf("no key: %v", err)
	}
	if text := strings.Join(bed.Lines(t, dumped.Bytes()), ""); strings.Contains(text, "AGE-SECRET-KEY-") || strings.Contains(text, folder) {
		t.Error("a copy holds the key, or where copies go")
	}
	if err := os.Chmod(h.keep.Keys.File, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := h.keep.Drill(t.Context(), h.Studio); err == nil {
		t.Error("keys that others may read are used")
	}
	_ = h.make(t) // needs the public half alone
	if _, err := h.keep.Drill(t.Context(), h.Studio); !fault.Is(err, fault.Refused) {
		t.Errorf("a drill by keys that others may read: %v", err)
	}
	o := begun(t, inFile(t))
	o.keep = h.keep
	if err := os.Chmod(h.keep.Keys.File, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, err := o.keep.KeyFile(t.Context(), o.Studio); !fault.Is(err, fault.Missing) {
		t.Errorf("another studio is given the key: %v", err)
	}
}
