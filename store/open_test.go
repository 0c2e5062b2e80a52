package store

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/edition"
	"solander/fault"
	"solander/internal/pgtest"
	"solander/order"
	"solander/store/migrations"
	"solander/store/sqlite"
	"solander/studio"
	"solander/studio/storetest/bed"
)

func TestIsPostgres(t *testing.T) {
	for place, want := range map[string]bool{
		"studio.db": false, "/tmp/a=b.db": false, "sqlite:studio.db": false, "hosts.db": false, "postgres.db": false, "": false,
		"postgres://ines@host/studio": true, "postgresql:///studio?host=/run": true, "host=/run/pg dbname=studio": true,
		"dbname=studio": true, " user = ines dbname=x": true,
	} {
		if got := isPostgres(place); got != want {
			t.Errorf("isPostgres(%q) = %v", place, got)
		}
	}
}

// TestOpenAgain keeps what was written, in a file whose name holds every awkward sign.
func TestOpenAgain(t *testing.T) {
	folder := t.TempDir()
	t.Chdir(folder)
	for _, place := range []string{filepath.Join(folder, "a b?c%41#&;é=.db"), "sqlite:" + filepath.Join(folder, "plain.db"), "sqlite:relative.db", "relative2.db"} {
		for i := range 2 {
			s, err := Open(t.Context(), place, Options{})
			if err != nil {
				t.Fatal(err)
			}
			err = s.Write(t.Context(), func(tx studio.Tx) error {
				works, err := tx.Works()
				if len(works) != i {
					t.Errorf("%s: %d works, want %d", place, len(works), i)
				}
				if err != nil {
					return err
				}
				_, err = tx.SaveWork(edition.Work{Title: "x"})
				return err
			})
			if err := errors.Join(err, s.Close()); err != nil {
				t.Fatal(err)
			}
		}
	}
	left, err := os.ReadDir(folder)
	if err != nil || len(left) != 12 {
		t.Errorf("the folder holds %v: each store is one file, its seal and the key of its rows once it is closed (%v)", left, err)
	}
	for _, f := range left {
		if info, err := f.Info(); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s may be read by others: %v %v", f.Name(), info.Mode(), err)
		}
	}
}

// TestCloseLetsGo closes every file, and waits for a read that is running.
func TestCloseLetsGo(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	s := opened(t, place)
	filled(t, s)
	inside, end := make(chan bool), make(chan bool)
	var wg sync.WaitGroup
	wg.Go(func() {
		err := s.Read(context.Background(), func(tx studio.Tx) error {
			close(inside)
			<-end
			_, err := tx.Works()
			return err
		})
		if err != nil {
			t.Errorf("the read was cut off: %v", err)
		}
	})
	<-inside
	if n := openFiles(t, place); n < 4 {
		t.Fatalf("%d files are open: nothing is tested", n)
	}
	time.AfterFunc(50*time.Millisecond, func() { close(end) })
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	wg.Wait()
	if n := openFiles(t, place); n != 0 {
		t.Errorf("%d files are still open", n)
	}
	if _, err := os.Stat(place + "-wal"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the log was left beside the file: %v", err)
	}
}

// openFiles counts the open files of a store in this process.
func openFiles(t *testing.T, place string) int {
	t.Helper()
	n := 0
	all, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Skipf("this system does not list open files: %v", err)
	}
	for _, f := range all {
		if to, err := os.Readlink("/proc/self/fd/" + f.Name()); err == nil && strings.HasPrefix(to, place) {
			n++
		}
	}
	return n
}

// TestOpenRefuses leaves alone what is no studio.
func TestOpenRefuses(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	folder := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	foreign, inUse := filepath.Join(folder, "other.db"), filepath.Join(folder, "used.db")
	for _, path := range []string{foreign, inUse} {
		db, err := sql.Open("sqlite", path)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		if path == inUse { // what it wrote lies in its log
			if _, err := db.Exec(`PRAGMA journal_mode = WAL`); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := db.Exec(`CREATE TABLE editions (id INTEGER)`); err != nil {
			t.Fatal(err)
		}
		if path == foreign {
			db.Close()
		}
	}
	left := filepath.Join(folder, "left.db") // as its program left it when it was killed
	for _, end := range []string{"", "-wal"} {
		data, err := os.ReadFile(inUse + end)
		if err != nil || len(data) == 0 {
			t.Fatalf("there is no log to test with: %v", err)
		}
		file("left.db"+end, string(data))
	}
	head := make([]byte, 5000) // a head like a studio's, and nothing behind it
	copy(head, "SQLite format 3\x00\x10\x00\x02\x02\x00\x40\x20\x20")
	binary.BigEndian.PutUint32(head[68:], sqlite.ApplicationID)
	marked := file("marked.db", string(head))
	for place, want := range map[string]fault.Code{
		file("notes.txt", "dear diary\n"):                                fault.Refused,
		file("short", "SQL"):                                             fault.Refused,
		file("liar.db", "SQLite format 3\x00"+strings.Repeat("x", 5000)): fault.Refused,
		foreign: fault.Refused, inUse: fault.Refused, left: fault.Refused, marked: fault.Refused,
		folder:                                fault.Refused,
		filepath.Join(folder, "no", "a.db"):   fault.Missing,
		"":                                    fault.Invalid,
		"sqlite:":                             fault.Invalid,
		":memory:":                            fault.Invalid,
		"postgres://%zz":                      fault.Invalid,
		"host=" + folder + " user=x dbname=y": fault.Busy,
	} {
		before := everything(t, folder)
		s, err := Open(t.Context(), place, Options{Patience: time.Second})
		if !fault.Is(err, want) {
			t.Errorf("%q: got %v, want a fault %q", place, err, want)
		}
		if err == nil {
			s.Close()
			continue
		}
		if all := fault.All(err); all[0].Mend == "" {
			t.Errorf("%q: %v does not say how to mend it", place, err)
		}
		if diff := cmp.Diff(before, everything(t, folder)); diff != "" {
			t.Errorf("%q changed the folder (-before +after):\n%s", place, diff)
		}
	}
}

func TestOpenRefusesPostgres(t *testing.T) {
	t.Parallel()
	dsn := pgtest.New(t)
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	u.Path = "/nobody_made_this"
	if _, err := Open(t.Context(), u.String(), Options{}); !fault.Is(err, fault.Missing) {
		t.Errorf("an unknown database: %v", err)
	}
	place := newSchema(t, dsn, "foreign_tables")
	db := raw(t, place)
	if _, err := db.Exec(`CREATE TABLE editions (id INTEGER)`); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(t.Context(), place, Options{}); !fault.Is(err, fault.Refused) {
		t.Errorf("tables of something else: %v", err)
	}
	var n int
	if err := db.QueryRow(`SELECT count(*) FROM pg_tables WHERE schemaname = 'foreign_tables'`).Scan(&n); err != nil || n != 1 {
		t.Errorf("%d tables are there now (%v)", n, err)
	}
}

// TestNewer refuses what a newer program made.
func TestNewer(t *testing.T) {
	t.Parallel()
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			place := places(t)(t)
			s, err := Open(t.Context(), place, Options{})
			if err != nil {
				t.Fatal(err)
			}
			s.Close()
			db := raw(t, place)
			known, err := migrations.Schema()
			if err != nil {
				t.Fatal(err)
			}
			query := `INSERT INTO schema_versions (version_id, is_applied) VALUES ($1, 1)`
			if engine == "postgres" {
				query = `INSERT INTO schema_versions (version_id, is_applied) VALUES ($1, true)`
			}
			if _, err := db.Exec(query, known+1); err != nil {
				t.Fatal(err)
			}
			db.Close()
			s, err = Open(t.Context(), place, Options{})
			if err == nil {
				s.Close()
			}
			if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "newer") {
				t.Errorf("got %v", err)
			}
		})
	}
}

// TestOpenAtOnce lets several programs open one new store.
func TestOpenAtOnce(t *testing.T) {
	t.Parallel()
	for engine, fresh := range untouched {
		t.Run(engine, func(t *testing.T) {
			place := fresh(t)
			var wg sync.WaitGroup
			for range 4 {
				wg.Go(func() {
					s, err := Open(t.Context(), place, Options{Patience: time.Minute}) // the machine may be busy
					if err != nil {
						t.Error(err)
						return
					}
					defer s.Close()
					if err := s.Write(t.Context(), func(tx studio.Tx) error { _, err := tx.SaveWork(edition.Work{Title: "x"}); return err }); err != nil {
						t.Error(err)
					}
				})
			}
			wg.Wait()
			s := opened(t, place)
			if err := s.Read(t.Context(), func(tx studio.Tx) error {
				works, err := tx.Works()
				if len(works) != 4 {
					t.Errorf("%d works, want 4", len(works))
				}
				return err
			}); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestBusy says so when another program writes for too long, and writes once it has ended.
func TestBusy(t *testing.T) {
	begin := map[string][]string{
		"sqlite":   {`BEGIN IMMEDIATE`},
		"postgres": {`BEGIN`, `SELECT pg_advisory_xact_lock(1399811172, hashtext(current_schema()))`},
	}
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			place := places(t)(t)
			s, err := Open(t.Context(), place, Options{Patience: 300 * time.Millisecond})
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			conn, err := raw(t, place).Conn(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			for _, q := range begin[engine] {
				if _, err := conn.ExecContext(t.Context(), q); err != nil {
					t.Fatal(err)
				}
			}
			work := func(tx studio.Tx) error { _, err := tx.SaveWork(edition.Work{Title: "x"}); return err }
			if err := s.Write(t.Context(), work); !fault.Is(err, fault.Busy) {
				t.Errorf("got %v", err)
			}
			if err := s.Read(t.Context(), func(tx studio.Tx) error { _, err := tx.Works(); return err }); err != nil {
				t.Errorf("a reader waits for nobody: %v", err)
			}
			time.AfterFunc(50*time.Millisecond, func() { conn.ExecContext(context.Background(), "COMMIT") })
			if err := s.Write(t.Context(), work); err != nil {
				t.Errorf("after the other ended: %v", err)
			}
		})
	}
}

// TestOpenBesideAWriter opens a store that is whole while another program writes, and says that it is
// busy while another program keeps one that is still to be made.
func TestOpenBesideAWriter(t *testing.T) {
	dsn := pgtest.New(t)
	whole, empty := newSchema(t, dsn, "whole"), newSchema(t, dsn, "empty")
	s := opened(t, whole)
	hurried := Options{Patience: 300 * time.Millisecond}
	err := s.Write(t.Context(), func(studio.Tx) error {
		other, err := Open(t.Context(), whole, hurried)
		if err != nil {
			return err
		}
		return other.Close()
	})
	if err != nil {
		t.Errorf("opening waits for a writer: %v", err)
	}
	conn, err := raw(t, empty).Conn(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := conn.ExecContext(t.Context(), `SELECT pg_advisory_lock(1399811172, hashtext(current_schema()))`); err != nil {
		t.Fatal(err)
	}
	if s, err := Open(t.Context(), empty, hurried); !fault.Is(err, fault.Busy) {
		t.Errorf("got %v, %v, want a fault that says busy", s, err)
	}
}

// TestBusyWithin says so when a write of the same program takes too long.
func TestBusyWithin(t *testing.T) {
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "a.db"), Options{Patience: 50 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	err = s.Write(t.Context(), func(studio.Tx) error {
		if err := s.Write(t.Context(), func(studio.Tx) error { return nil }); !fault.Is(err, fault.Busy) {
			t.Errorf("got %v", err)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

// TestLostTurn runs a write again when a writer that keeps no order takes the turn meanwhile.
func TestLostTurn(t *testing.T) {
	place := onServer(t)
	s := opened(t, place)
	filled(t, s)
	db := raw(t, place)
	tries := 0
	var got edition.Entry
	err := s.Write(t.Context(), func(tx studio.Tx) error {
		tries++
		n, err := tx.Lowest(1, edition.Numbered)
		if err != nil {
			return err
		}
		if tries == 1 {
			takeBeside(t, db, n)
		}
		got, err = bed.Step(tx, 1, n, edition.Keep, 0, "")
		return err
	})
	if err != nil || tries != 2 || got.Number.N != 4 {
		t.Errorf("%d tries, number %s, %v", tries, got.Number, err)
	}
	// The other writer kept no log either: its entry is found, and no other.
	if found, err := s.Integrity(t.Context()); err != nil || len(found) != 1 || !strings.HasSuffix(found[0], "entry 3 of the register is in no leaf") {
		t.Errorf("integrity: %q %v", found, err)
	}
}

// takeBeside has another connection keep the number, without the writer's lock; it commits a little later.
func takeBeside(t *testing.T, db *sql.DB, n edition.Number) {
	t.Helper()
	other, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	for _, query := range []string{
		`INSERT INTO register SELECT max(seq) + 1, 1, 'N', $1, 1, 'keep', 'kept', 0, 0, 0, '', '', max(at), 'other', '', 0 FROM register`,
		`UPDATE impressions SET state = 'kept', turn = 1, available = 0 WHERE edition = 1 AND kind = 'N' AND number = $1`,
		`UPDATE tallies SET free = free - 1, kept = kept + 1 WHERE edition = 1 AND $1 > 0`,
	} {
		if _, err := other.Exec(query, n.N); err != nil {
			t.Fatal(err)
		}
	}
	time.AfterFunc(100*time.Millisecond, func() { other.Commit() })
}

// TestPlace names the place and no password.
func TestPlace(t *testing.T) {
	s := opened(t, onServer(t)+"&password=hunter2")
	if p := s.Place(); !strings.Contains(p, "PostgreSQL") || strings.Contains(p, "hunter2") {
		t.Errorf("the place is called %q", p)
	}
	s = opened(t, filepath.Join(t.TempDir(), "here.db"))
	if p := s.Place(); !strings.Contains(p, "here.db") {
		t.Errorf("the place is called %q", p)
	}
}

// TestPeopleOfOlderStores knows buyers whom an older program kept without what they are compared by.
func TestPeopleOfOlderStores(t *testing.T) {
	t.Parallel()
	for engine, places := range engines {
		t.Run(engine, func(t *testing.T) {
			place := places(t)(t)
			s := opened(t, place)
			write := func(tx studio.Tx) error {
				_, err := tx.SaveBuyer(order.Buyer{Name: "Zoë Ødegård", Email: "Zoe@post.example"})
				return err
			}
			for range 52 {
				if err := s.Write(t.Context(), write); err != nil {
					t.Fatal(err)
				}
			}
			db := raw(t, place)
			if _, err := db.Exec(`DELETE FROM person_words`); err != nil {
				t.Fatal(err)
			}
			db.Close()
			again := opened(t, place)
			if err := again.Read(t.Context(), func(tx studio.Tx) error {
				alike, err := tx.BuyersAlike("zoe odegard", "")
				if len(alike) != 52 {
					t.Errorf("%d are known", len(alike))
				}
				return err
			}); err != nil {
				t.Fatal(err)
			}
		})
	}
}
