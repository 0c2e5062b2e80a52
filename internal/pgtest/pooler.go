package pgtest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// pooling are the settings of a pooler that gives a client another connection to the server at each transaction, as hosted databases do:
// few connections, nothing let through that a client asks for at its beginning. Source: pgbouncer(5).
const pooling = `
[databases]
* = host=%s user=%s
[pgbouncer]
listen_addr =
unix_socket_dir = %s
listen_port = 5432
auth_type = any
pool_mode = transaction
default_pool_size = %d
max_client_conn = 500
server_idle_timeout = 600
server_login_retry = 1
query_wait_timeout = 5
client_login_timeout = 10
log_connections = 0
log_disconnections = 0
`

// behind is how many connections to the server the clients of a pooler share.
const behind = 6

// poolKeeper runs the pooler and stops it as soon as its standard input ends.
const poolKeeper = `
"$1" "$2/pooler.ini" >"$2/log" 2>&1 &
pooler=$!
cat >/dev/null
kill -KILL "$pooler"
wait "$pooler"
rm -rf "$2"
`

// Pooled returns the DSN of the same database behind a connection pooler in transaction mode, which ends with the test.
func Pooled(t testing.TB, dsn string) string {
	t.Helper()
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	return poolerAt(t, u.Query().Get("host"), dsn)(dsn) // which may be a Line
}

// NewPooler starts a connection pooler in transaction mode, which ends with the test. What it returns makes the DSN of a database that New or
// Copy gave one of the same database behind the pooler.
func NewPooler(t testing.TB) func(dsn string) string {
	t.Helper()
	s := running(t)
	return poolerAt(t, s.folder, s.dsn("postgres"))
}

// poolerAt starts a pooler before the server whose socket lies in a folder; first is a database that is there.
func poolerAt(t testing.TB, server, first string) func(dsn string) string {
	t.Helper()
	bin, err := pooler()
	if err != nil {
		t.Fatalf("pgtest: %v\ninstall a connection pooler (Debian: pgbouncer)", err)
	}
	who, err := owner()
	if err != nil {
		t.Fatal(err)
	}
	folder, err := os.MkdirTemp("/tmp", "solander-pool-")
	if err != nil {
		t.Fatal(err)
	}
	through := func(dsn string) string { return at(t, dsn, folder) }
	ini := fmt.Sprintf(pooling, server, superuser, folder, behind)
	leash, err := startPooler(bin, folder, ini, who)
	if err != nil {
		os.RemoveAll(folder)
		t.Fatal(err)
	}
	t.Cleanup(func() {
		leash.Close()
		gone(folder)
	})
	if err := answers(through(first)); err != nil {
		log, _ := os.ReadFile(filepath.Join(folder, "log"))
		t.Fatalf("pgtest: the pooler does not answer: %v\n%s", err, log)
	}
	return through
}

// at is a DSN that leads to a socket in another folder.
func at(t testing.TB, dsn, folder string) string {
	t.Helper()
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	q := u.Query()
	q.Set("host", folder)
	u.RawQuery = q.Encode()
	return u.String()
}

func startPooler(bin, folder, ini string, who *account) (io.Closer, error) {
	file := filepath.Join(folder, "pooler.ini")
	if err := os.WriteFile(file, []byte(ini), 0o600); err != nil {
		return nil, err
	}
	if who != nil {
		for _, path := range []string{folder, file} {
			if err := os.Chown(path, int(who.uid), int(who.gid)); err != nil {
				return nil, err
			}
		}
	}
	keep := exec.Command("/bin/sh", "-c", poolKeeper, "keeper", bin, folder)
	keep.Dir, keep.SysProcAttr = "/", attr(who, true)
	leash, err := keep.StdinPipe()
	if err != nil {
		return nil, err
	}
	return leash, keep.Start()
}

// answers waits until a server or pooler lets a client in.
func answers(dsn string) error {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	for {
		c, err := pgx.Connect(ctx, dsn)
		if err == nil {
			return c.Close(ctx)
		}
		if ctx.Err() != nil {
			return err
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// gone waits a while until what a keeper ran has left its folder.
func gone(folder string) {
	for range 200 {
		if _, err := os.Stat(folder); errors.Is(err, os.ErrNotExist) {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
}

// pooler is the program, from PATH or where Debian puts it.
func pooler() (string, error) {
	if p, err := exec.LookPath("pgbouncer"); err == nil {
		return p, nil
	}
	const debian = "/usr/sbin/pgbouncer"
	_, err := os.Stat(debian)
	return debian, err
}
