package pgtest

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"sync"
	"time"
)

const superuser = "solander"

// patience is how long the server may take, also on a machine that is busy otherwise.
const patience = 3 * time.Minute

type server struct {
	folder string // holds the data, the log and the socket
	mu     sync.Mutex
	leash  io.WriteCloser // closed by the system when this process ends: the keeper then stops the server
}

// keeper runs the server and stops it, without a trace, as soon as its standard input ends.
const keeper = `
"$1/postgres" -D "$2/data" >"$2/log" 2>&1 &
server=$!
cat >/dev/null
kill -QUIT "$server"
wait "$server"
rm -rf "$2"
`

// settings of the server: no network, room for many takers at once, and fsync as in earnest.
const settings = `
listen_addresses = ''
unix_socket_directories = '%s'
max_connections = 200
shared_buffers = 32MB
fsync = on
synchronous_commit = on
max_wal_size = 256MB
autovacuum = off
`

func startServer() (*server, error) {
	bin, err := programs()
	if err != nil {
		return nil, err
	}
	who, err := owner()
	if err != nil {
		return nil, err
	}
	// A socket's path may have about a hundred bytes: not every temporary folder will do.
	folder, err := os.MkdirTemp("/tmp", "solander-pg-")
	if err != nil {
		return nil, err
	}
	s := &server{folder: folder}
	if err := s.launch(bin, who); err != nil {
		os.RemoveAll(folder)
		return nil, err
	}
	if err := s.awaitReady(); err != nil {
		s.leash.Close()
		return nil, err
	}
	return s, nil
}

func (s *server) launch(bin string, who *account) error {
	if who != nil {
		if err := os.Chown(s.folder, int(who.uid), int(who.gid)); err != nil {
			return err
		}
	}
	data := filepath.Join(s.folder, "data")
	initdb := exec.Command(filepath.Join(bin, "initdb"), "-D", data, "-U", superuser, "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync")
	initdb.Dir, initdb.SysProcAttr = s.folder, attr(who, false)
	if out, err := initdb.CombinedOutput(); err != nil {
		return fmt.Errorf("initdb: %w\n%s", err, out)
	}
	conf := fmt.Sprintf(settings, s.folder)
	if err := appendTo(filepath.Join(data, "postgresql.conf"), conf); err != nil {
		return err
	}
	keep := exec.Command("/bin/sh", "-c", keeper, "keeper", bin, s.folder)
	keep.Dir, keep.SysProcAttr = "/", attr(who, true)
	leash, err := keep.StdinPipe()
	if err != nil {
		return err
	}
	s.leash = leash
	return keep.Start()
}

// awaitReady waits until the server answers.
func (s *server) awaitReady() error {
	err := answers(s.dsn("postgres"))
	if err != nil {
		log, _ := os.ReadFile(filepath.Join(s.folder, "log"))
		return fmt.Errorf("the server did not answer within %v: %w\n%s", patience, err, log)
	}
	return nil
}

// programs returns the folder that holds initdb and postgres: from PATH, else where Debian puts them,
// the newest version first.
func programs() (string, error) {
	if p, err := exec.LookPath("postgres"); err == nil {
		if _, err := exec.LookPath(filepath.Join(filepath.Dir(p), "initdb")); err == nil {
			return filepath.Dir(p), nil
		}
	}
	var best string
	newest := -1
	found, _ := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	for _, f := range found {
		bin := filepath.Dir(f)
		version, err := strconv.Atoi(filepath.Base(filepath.Dir(bin)))
		if err == nil && version > newest {
			best, newest = bin, version
		}
	}
	if best == "" {
		return "", errors.New("neither PATH nor /usr/lib/postgresql holds initdb and postgres")
	}
	return best, nil
}

// account is whom a program runs as.
type account struct{ uid, gid uint32 }

// owner returns whom the server runs as: nil for ourselves, since PostgreSQL refuses only root.
func owner() (*account, error) {
	if os.Geteuid() != 0 {
		return nil, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
		gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
		if err1 == nil && err2 == nil {
			return &account{uint32(uid), uint32(gid)}, nil
		}
	}
	return nil, errors.New("PostgreSQL does not run as root, and there is neither a user postgres nor nobody")
}

func appendTo(file, text string) error {
	f, err := os.OpenFile(file, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	return errors.Join(err, f.Close())
}
