package store

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/store/sqlite"
	"solander/studio"
)

// leftByAKill returns a folder with the files of a studio as a killed program left them: what it wrote
// lies in its log. The numbers of its receipts were acknowledged.
func leftByAKill(t *testing.T) (place string, receipts []string) {
	t.Helper()
	place = filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	receipts = killed(t, place, 0, true)
	if sqlite.LogOf(place) == "" || len(receipts) == 0 {
		t.Fatalf("there is no log with %d receipts in it: nothing is tested", len(receipts))
	}
	return place, receipts
}

// everything returns the files of a folder with what they hold.
func everything(t *testing.T, folder string) map[string]string {
	t.Helper()
	files, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	out := make(map[string]string)
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(folder, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name()] = string(data)
	}
	return out
}

// TestNothingBeginsBesideALog holds that a main file that is emptied or missing beside its log is refused
// with the way back, by whoever opens it or makes one there, and that nothing is touched; and that putting
// the file back brings back all that was acknowledged.
func TestNothingBeginsBesideALog(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	place, receipts := leftByAKill(t)
	whole, err := os.ReadFile(place)
	if err != nil {
		t.Fatal(err)
	}
	ways := map[string]func() error{
		"open": func() error {
			s, err := Open(t.Context(), place, Options{There: true})
			return closed(s, err)
		},
		"begin": func() error { s, err := Open(t.Context(), place, Options{}); return closed(s, err) },
		"make":  func() error { return Make(t.Context(), place, Options{}, func(studio.Store) error { return nil }) },
	}
	for state, harm := range map[string]func() error{
		"empty":   func() error { return os.Truncate(place, 0) },
		"missing": func() error { return os.Remove(place) },
	} {
		for _, log := range []string{"-wal", "-journal"} {
			if log == "-journal" {
				if err := os.Rename(place+"-wal", place+log); err != nil {
					t.Fatal(err)
				}
			}
			if err := harm(); err != nil {
				t.Fatal(err)
			}
			before := everything(t, filepath.Dir(place))
			for way, try := range ways {
				err := try()
				if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), state) || !strings.Contains(err.Error(), "studio.db"+log) || fault.All(err)[0].Mend == "" {
					t.Errorf("%s file beside a %s, %s: %v", state, log, way, err)
				}
				if diff := cmp.Diff(before, everything(t, filepath.Dir(place))); diff != "" {
					t.Errorf("%s file beside a %s, %s changed the folder (-before +after):\n%s", state, log, way, diff)
				}
			}
			if log == "-journal" {
				if err := os.Rename(place+log, place+"-wal"); err != nil {
					t.Fatal(err)
				}
			}
			if err := os.WriteFile(place, whole, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	told := map[string]bool{}
	for _, r := range receipts {
		told[r] = true
	}
	verified(t, opened(t, place), told)
}

func closed(s studio.Store, err error) error {
	if err != nil {
		return err
	}
	return s.Close()
}

// TestOnlySomeBegin holds that no studio is made where it must be there already, nor where a seal says that
// one stood.
func TestOnlySomeBegin(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	missing, empty, lost := filepath.Join(folder, "missing.db"), filepath.Join(folder, "empty.db"), filepath.Join(folder, "lost.db")
	if err := os.WriteFile(empty, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	stand(t, lost)
	if err := os.Remove(lost); err != nil {
		t.Fatal(err)
	}
	before := everything(t, folder)
	for place, want := range map[string]fault.Code{missing: fault.Missing, empty: fault.Missing, lost: fault.Refused} {
		if s, err := Open(t.Context(), place, Options{There: true}); !fault.Is(closed(s, err), want) {
			t.Errorf("%s: %v, want %s", place, err, want)
		}
	}
	if s, err := Open(t.Context(), lost, Options{}); !fault.Is(closed(s, err), fault.Refused) || !strings.Contains(err.Error(), "write ") {
		t.Errorf("begun where a studio stood: %v", err)
	}
	if diff := cmp.Diff(before, everything(t, folder)); diff != "" {
		t.Errorf("the folder was changed (-before +after):\n%s", diff)
	}
	for _, place := range []string{missing, empty} {
		if s, err := Open(t.Context(), place, Options{}); closed(s, err) != nil {
			t.Errorf("%s: %v", place, err)
		}
	}
}

// TestMakeWholeOrNothing holds that what is being made stands at its place only when it is whole, that a
// failure removes nothing that another program made there meanwhile, and that what killed programs left
// is cleared.
func TestMakeWholeOrNothing(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	place := filepath.Join(folder, "studio.db")
	dead, live := filepath.Join(folder, sqlite.NewPrefix+"999999999-1-wal"), filepath.Join(folder, sqlite.NewPrefix+"1-2")
	for _, remains := range []string{dead, live} { // no process has the one number, each system's first has the other
		if err := os.WriteFile(remains, []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	failure := errors.New("it failed")
	err := Make(t.Context(), place, Options{}, func(s studio.Store) error {
		filled(t, s)
		if _, err := os.Stat(place); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("it stands there half made: %v", err)
		}
		return failure
	})
	if !errors.Is(err, failure) {
		t.Errorf("got %v", err)
	}
	if left := everything(t, folder); len(left) != 1 || left[filepath.Base(live)] == "" {
		t.Errorf("the folder holds %v", left)
	}
	err = Make(t.Context(), place, Options{}, func(studio.Store) error {
		stand(t, place) // another program is quicker
		return failure
	})
	if !errors.Is(err, failure) {
		t.Errorf("got %v", err)
	}
	verified(t, opened(t, place), nil)
	stand(t, filepath.Join(folder, "other.db"))
	err = Make(t.Context(), filepath.Join(folder, "third.db"), Options{}, func(studio.Store) error {
		return os.Rename(filepath.Join(folder, "other.db"), filepath.Join(folder, "third.db"))
	})
	if !fault.Is(err, fault.Taken) {
		t.Errorf("made over another's: %v", err)
	}
	verified(t, opened(t, filepath.Join(folder, "third.db")), nil)
}

// TestMakeTakesLeave holds that a studio made where another one stood has a seal of its own.
func TestMakeTakesLeave(t *testing.T) {
	t.Parallel()
	place := filepath.Join(t.TempDir(), "studio.db")
	stand(t, place)
	old, ok := sqlite.ReadSeal(place)
	if !ok || os.Remove(place) != nil {
		t.Fatal("there is no seal")
	}
	if err := Make(t.Context(), place, Options{}, func(s studio.Store) error { filled(t, s); return nil }); err != nil {
		t.Fatal(err)
	}
	if now, ok := sqlite.ReadSeal(place); !ok || now.Studio == old.Studio {
		t.Errorf("the seal is %+v, was %+v", now, old)
	}
	s := opened(t, place)
	if err := s.Read(context.Background(), func(tx studio.Tx) error { _, err := tx.Works(); return err }); err != nil {
		t.Error(err)
	}
}
