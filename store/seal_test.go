package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/edition"
	"solander/fault"
	"solander/store/sqlite"
	"solander/studio"
)

// losses are the ways in which a studio at rest loses its latest writes. Each is given the file as it was
// before those writes.
var losses = map[string]func(place string, older []byte) error{
	"no log":        func(place string, _ []byte) error { return os.Remove(place + "-wal") },
	"empty log":     func(place string, _ []byte) error { return os.Truncate(place+"-wal", 0) },
	"half a log":    func(place string, _ []byte) error { return halve(place + "-wal") },
	"a flipped log": func(place string, _ []byte) error { return flipIn(place+"-wal", 100, 3) },
	"an older file": func(place string, older []byte) error {
		return errors.Join(os.Remove(place+"-wal"), os.Remove(place+"-shm"), os.WriteFile(place, older, 0o600))
	},
}

func halve(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	return os.Truncate(path, info.Size()/2)
}

func flipIn(path string, at int64, bit uint) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	b := make([]byte, 1)
	if _, err := f.ReadAt(b, at); err != nil {
		return err
	}
	b[0] ^= 1 << bit
	_, err = f.WriteAt(b, at)
	return err
}

// TestLostLogIsNoticed holds that a studio that lost acknowledged writes is not opened: the fault names
// what is missing and the way back, and the file is left as it is; the files put back, all is there.
func TestLostLogIsNoticed(t *testing.T) {
	t.Parallel()
	for name, lose := range losses {
		t.Run(name, func(t *testing.T) {
			place, receipts := leftByAKill(t)
			older, err := os.ReadFile(place)
			if err != nil {
				t.Fatal(err)
			}
			whole := everything(t, filepath.Dir(place))
			if err := lose(place, older); err != nil {
				t.Fatal(err)
			}
			for range 2 { // looking at it changes nothing
				s, err := Open(t.Context(), place, Options{})
				if !fault.Is(closed(s, err), fault.Refused) || !strings.Contains(err.Error(), "order S-") || !strings.Contains(err.Error(), "studio.db-wal") {
					t.Fatalf("it is opened, or the fault does not say what is missing: %v", err)
				}
			}
			os.Remove(place + "-shm")
			for file, data := range whole {
				if err := os.WriteFile(filepath.Join(filepath.Dir(place), file), []byte(data), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			told := map[string]bool{}
			for _, r := range receipts {
				told[r] = true
			}
			verified(t, opened(t, place), told)
		})
	}
}

// TestSealMovedAway holds that the told way to take a file as it is works.
func TestSealMovedAway(t *testing.T) {
	place, _ := leftByAKill(t)
	if err := errors.Join(os.Remove(place+"-wal"), os.Rename(place+sqlite.SealTail, place+".put-aside")); err != nil {
		t.Fatal(err)
	}
	verified(t, opened(t, place), nil)
	if now, ok := sqlite.ReadSeal(place); !ok || now.Entry != 0 || now.Writes != 2 { // its rows were vouched for, and it was furnished
		t.Errorf("the seal is %+v", now)
	}
}

// TestAnotherStudiosFile holds that a file that took the place of another is refused, before its log could
// be taken for its own; and that a file under a new name opens.
func TestAnotherStudiosFile(t *testing.T) {
	place, _ := leftByAKill(t)
	other := filepath.Join(t.TempDir(), "other.db")
	stand(t, other)
	if err := os.Rename(other, place); err != nil {
		t.Fatal(err)
	}
	before := everything(t, filepath.Dir(place))
	s, err := Open(t.Context(), place, Options{})
	if !fault.Is(closed(s, err), fault.Refused) || !strings.Contains(err.Error(), "another one") {
		t.Fatalf("got %v", err)
	}
	if after := everything(t, filepath.Dir(place)); len(after) != len(before) || after["studio.db"] != before["studio.db"] || after["studio.db-wal"] != before["studio.db-wal"] {
		t.Error("it was changed")
	}
	moved := filepath.Join(t.TempDir(), "moved.db")
	if err := os.Rename(place, moved); err != nil {
		t.Fatal(err)
	}
	verified(t, opened(t, moved), nil)
}

// TestSealLagsAndNeverLies holds that a seal that is behind its file, torn or damaged hinders nobody, and
// is brought up to the file when that is opened.
func TestSealLagsAndNeverLies(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	behind, err := os.ReadFile(place + sqlite.SealTail)
	if err != nil {
		t.Fatal(err)
	}
	some := func(n int) {
		t.Helper()
		s, err := Open(t.Context(), place, Options{})
		for range n {
			if err == nil {
				_, err = take(s)
			}
		}
		if err := closed(s, err); err != nil {
			t.Fatal(err)
		}
	}
	some(20) // once around its blocks
	if high, ok := sqlite.ReadSeal(place); !ok || high.Entry != 20 || high.Writes != 22 {
		t.Fatalf("the seal is %+v", high)
	}
	for name, harm := range map[string]func() error{
		"behind":  func() error { return os.WriteFile(place+sqlite.SealTail, behind, 0o600) },
		"damaged": func() error { return flipIn(place+sqlite.SealTail, 21%sqlite.SealBlocks*sqlite.SealBlock+30, 2) },
		"torn":    func() error { return halve(place + sqlite.SealTail) },
		"empty":   func() error { return os.Truncate(place+sqlite.SealTail, 0) },
		"gone":    func() error { return os.Remove(place + sqlite.SealTail) },
	} {
		if err := harm(); err != nil {
			t.Fatal(err)
		}
		some(0)
		if high, ok := sqlite.ReadSeal(place); !ok || high.Entry != 20 || high.Writes != 22 {
			t.Errorf("%s: the seal is %+v", name, high)
		}
	}
}

// TestSealOfTwoWriters holds that two stores on one file, writing in turn, leave the highest seal.
func TestSealOfTwoWriters(t *testing.T) {
	t.Parallel()
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	a, b := opened(t, place), opened(t, place)
	for i := range 10 {
		for _, s := range []studio.Store{a, b} {
			if _, err := take(s); err != nil {
				t.Fatal(err)
			}
		}
		if high, ok := sqlite.ReadSeal(place); !ok || high.Entry != int64(2*i+2) {
			t.Fatalf("the seal is %+v after %d entries", high, 2*i+2)
		}
	}
}

// TestSealThatCannotBeWritten holds that no write follows one whose seal could not be put, and that the
// store goes on when it can.
func TestSealThatCannotBeWritten(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	s := opened(t, place)
	if err := errors.Join(os.Remove(place+sqlite.SealTail), os.Mkdir(place+sqlite.SealTail, 0o700)); err != nil {
		t.Fatal(err)
	}
	if _, err := take(s); err != nil {
		t.Fatalf("what is committed is acknowledged: %v", err)
	}
	if _, err := take(s); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "seal") {
		t.Errorf("got %v", err)
	}
	if err := os.Remove(place + sqlite.SealTail); err != nil {
		t.Fatal(err)
	}
	if e, err := take(s); err != nil || e.Seq != 2 {
		t.Errorf("entry %d, %v", e.Seq, err)
	}
	if high, ok := sqlite.ReadSeal(place); !ok || high.Entry != 2 {
		t.Errorf("the seal is %+v", high)
	}
}

// TestCheckComparesTheSeal holds that check says what the seal knows and the open file does not.
func TestCheckComparesTheSeal(t *testing.T) {
	t.Parallel()
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	s := opened(t, place)
	if _, err := take(s); err != nil {
		t.Fatal(err)
	}
	high, ok := sqlite.ReadSeal(place)
	if !ok {
		t.Fatal("there is no seal")
	}
	for want, change := range map[string]func(*sqlite.Seal){
		"the latest 3 writes are missing": func(h *sqlite.Seal) { h.Writes += 3 },
		"another entry or order":          func(h *sqlite.Seal) { h.Digest = "00" },
		"not the file":                    func(h *sqlite.Seal) { h.Studio++ },
	} {
		h := high
		change(&h)
		if err := errors.Join(os.Remove(place+sqlite.SealTail), sqlite.NewSeal(place+sqlite.SealTail, h)); err != nil {
			t.Fatal(err)
		}
		found, err := s.Integrity(t.Context())
		if err != nil || len(found) != 1 || !strings.Contains(found[0], want) {
			t.Errorf("found %q (%v), want %q", found, err, want)
		}
	}
}

// TestMainFileAloneAtRest holds that the main file alone is whole a while after the last write, while the
// store is open, and that looking and writing nothing leaves the count of writes as it is.
func TestMainFileAloneAtRest(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	s, err := Open(t.Context(), place, Options{Rest: 50 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	for range 5 {
		if _, err := take(s); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Write(t.Context(), func(tx studio.Tx) error { _, err := tx.Works(); return err }); err != nil {
		t.Fatal(err)
	}
	if high, ok := sqlite.ReadSeal(place); !ok || high.Writes != 7 {
		t.Errorf("the seal is %+v", high)
	}
	patiently(t, func() error {
		if log := sqlite.LogOf(place); log != "" {
			return errors.New("the log still holds something")
		}
		return nil
	})
	alone := filepath.Join(t.TempDir(), "alone.db")
	data, err := os.ReadFile(place)
	if err == nil {
		err = os.WriteFile(alone, data, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	if n := verified(t, opened(t, alone), nil); n != 5 {
		t.Errorf("%d entries are in the file alone, want 5", n)
	}
}

// TestOlderStudioIsSealed holds that a studio made before there were ids and seals gets both when it is
// opened.
func TestOlderStudioIsSealed(t *testing.T) {
	t.Parallel()
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	db := raw(t, place)
	for _, query := range []string{`PRAGMA user_version = 0`, `PRAGMA wal_checkpoint(TRUNCATE)`} {
		if _, err := db.Exec(query); err != nil {
			t.Fatal(err)
		}
	}
	db.Close()
	if err := os.Remove(place + sqlite.SealTail); err != nil {
		t.Fatal(err)
	}
	s := opened(t, place)
	if err := s.Write(context.Background(), func(tx studio.Tx) error { _, err := tx.SaveWork(edition.Work{Title: "x"}); return err }); err != nil {
		t.Fatal(err)
	}
	if high, ok := sqlite.ReadSeal(place); !ok || high.Studio == 0 || high.Writes != 3 { // its rows were vouched for, it was furnished, and now a work
		t.Errorf("the seal is %+v", high)
	}
}
