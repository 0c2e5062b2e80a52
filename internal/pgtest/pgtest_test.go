package pgtest_test

import (
	"bufio"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib"

	"solander/internal/pgtest"
)

func open(t *testing.T, dsn string) *sql.DB {
	t.Helper()
	db, err := sql.Open("pgx", dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

func value(t *testing.T, db *sql.DB, query string) string {
	t.Helper()
	var v string
	if err := db.QueryRowContext(t.Context(), query).Scan(&v); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	return v
}

func TestEachTestHasItsOwnDatabase(t *testing.T) {
	a, b := open(t, pgtest.New(t)), open(t, pgtest.New(t))
	if _, err := a.Exec("create table numbers (n int)"); err != nil {
		t.Fatal(err)
	}
	if n := value(t, b, "select count(*) from pg_tables where tablename = 'numbers'"); n != "0" {
		t.Errorf("the other database has %s tables of the first", n)
	}
	for setting, want := range map[string]string{"listen_addresses": "", "fsync": "on", "synchronous_commit": "on", "server_encoding": "UTF8"} {
		if got := value(t, a, "show "+setting); got != want {
			t.Errorf("%s is %q, want %q", setting, got, want)
		}
	}
}

func TestDatabaseIsDroppedWithItsTest(t *testing.T) {
	var dsn string
	t.Run("inner", func(t *testing.T) {
		dsn = pgtest.New(t)
		open(t, dsn)
	})
	if err := open(t, dsn).PingContext(t.Context()); err == nil {
		t.Error("the database of an ended test still answers")
	}
}

func TestCopyPreparesOnce(t *testing.T) {
	times := 0
	prepare := func(dsn string) error {
		times++
		db, err := sql.Open("pgx", dsn)
		if err != nil {
			return err
		}
		_, err = db.Exec("create table works (title text); insert into works values ('heron')")
		return errors.Join(err, db.Close())
	}
	for range 3 {
		db := open(t, pgtest.Copy(t, "works", prepare))
		if n := value(t, db, "select count(*) from works"); n != "1" {
			t.Errorf("the copy holds %s works", n)
		}
		if _, err := db.Exec("insert into works values ('otter')"); err != nil {
			t.Fatal(err)
		}
	}
	if times != 1 {
		t.Errorf("prepared %d times", times)
	}
}

// The server must not outlive the tests, even when they are killed.
func TestServerEndsWithItsProcess(t *testing.T) {
	const child = "SOLANDER_PGTEST_CHILD"
	if os.Getenv(child) == "1" {
		dsn, err := url.Parse(pgtest.New(t))
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println(dsn.Query().Get("host"))
		time.Sleep(time.Minute)
		return
	}
	if os.Getenv("SOLANDER_NO_POSTGRES") == "1" {
		t.Skip("SOLANDER_NO_POSTGRES=1: tests on PostgreSQL are left out")
	}
	if testing.Short() {
		t.Skip("-short: make test has PostgreSQL")
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	c := exec.CommandContext(ctx, os.Args[0], "-test.run=^"+t.Name()+"$")
	c.Env = append(os.Environ(), child+"=1")
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	lines.Scan()
	folder := lines.Text()
	if _, err := os.Stat(folder); err != nil || folder == "" {
		t.Fatalf("the child's server is not there: %q, %v", folder, err)
	}
	if err := c.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = c.Wait() // it was killed: that is no news
	for range 600 {
		if _, err := os.Stat(folder); errors.Is(err, os.ErrNotExist) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Errorf("thirty seconds after its tests were killed, the server's folder %s is still there", folder)
}

func TestFromCopiesWhatStands(t *testing.T) {
	first := pgtest.New(t)
	db, err := sql.Open("pgx", first)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("create table numbers as select 17 as n"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	second := open(t, pgtest.From(t, first))
	if _, err := second.Exec("update numbers set n = n + 1"); err != nil {
		t.Fatal(err)
	}
	if a, b := value(t, open(t, first), "select n from numbers"), value(t, second, "select n from numbers"); a != "17" || b != "18" {
		t.Errorf("there stands %s, in the copy %s", a, b)
	}
}
