// Package pgtest gives each test a fresh PostgreSQL database on a private server.
//
// The server is started once per test binary, by initdb and postgres of this machine, as user postgres
// when the tests run as root. It listens on a unix socket in a temporary folder and on no network, syncs
// to disk as in earnest, and ends with the test process, however that ends. Nothing outside the folder
// is touched. Without PostgreSQL a test fails, unless SOLANDER_NO_POSTGRES=1 says that it may be skipped.
package pgtest

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"
)

// New returns the DSN (a postgres:// URL, for pgx and its database/sql driver) of an empty database,
// which is dropped when the test ends.
func New(t testing.TB) string {
	t.Helper()
	return create(t, running(t), "template1")
}

// Copy returns the DSN of a database that prepare has filled, as New does. prepare runs once per name in
// a test binary; every further call copies what it left. It must close its connections.
func Copy(t testing.TB, name string, prepare func(dsn string) error) string {
	t.Helper()
	s := running(t)
	p, _ := prepared.LoadOrStore(name, new(preparation))
	if err := p.(*preparation).once(s, prepare); err != nil {
		t.Fatalf("pgtest: preparing %s: %v", name, err)
	}
	return create(t, s, p.(*preparation).database)
}

// From returns the DSN of a copy of the database of a DSN that New, Copy or From gave, as New does. Nobody may have that one open.
func From(t testing.TB, dsn string) string {
	t.Helper()
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	return create(t, running(t), strings.TrimPrefix(u.Path, "/"))
}

var (
	start    = sync.OnceValues(startServer)
	prepared sync.Map // name → *preparation
	number   atomic.Int64
)

type preparation struct {
	mu       sync.Mutex
	done     bool
	database string
	err      error
}

func (p *preparation) once(s *server, prepare func(string) error) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.done {
		return p.err
	}
	p.done, p.database = true, fresh()
	if p.err = s.exec("create database " + p.database); p.err == nil {
		p.err = prepare(s.dsn(p.database))
	}
	return p.err
}

func running(t testing.TB) *server {
	t.Helper()
	if os.Getenv("SOLANDER_NO_POSTGRES") == "1" {
		t.Skip("SOLANDER_NO_POSTGRES=1: tests on PostgreSQL are left out")
	}
	if testing.Short() {
		t.Skip("-short: make test has PostgreSQL")
	}
	s, err := start()
	if err != nil {
		t.Fatalf("pgtest: %v\ninstall PostgreSQL (Debian: postgresql), or set SOLANDER_NO_POSTGRES=1 to leave these tests out", err)
	}
	return s
}

func fresh() string { return fmt.Sprintf("t%d", number.Add(1)) }

func create(t testing.TB, s *server, template string) string {
	t.Helper()
	name := fresh()
	if err := s.exec("create database " + name + " template " + template); err != nil {
		t.Fatalf("pgtest: %v", err)
	}
	t.Cleanup(func() {
		if err := s.exec("drop database " + name + " with (force)"); err != nil {
			t.Errorf("pgtest: %v", err)
		}
	})
	return s.dsn(name)
}

func (s *server) dsn(database string) string {
	q := url.Values{"host": {s.folder}, "user": {superuser}, "sslmode": {"disable"}}
	return "postgres:///" + database + "?" + q.Encode()
}

// exec runs one statement on the server's own database. One at a time: two copies of one template must
// not run together.
func (s *server) exec(sql string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	c, err := pgx.Connect(ctx, s.dsn("postgres"))
	if err != nil {
		return err
	}
	defer c.Close(ctx)
	_, err = c.Exec(ctx, sql)
	return err
}
