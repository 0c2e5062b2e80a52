package pgtest

import (
	"bytes"
	"errors"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"testing"
)

// Line stands between a client and the server and can be cut. It is safe for concurrent use.
type Line struct {
	DSN string // of the same database, through the line

	to    string // the server's socket
	at    string // our own
	mu    sync.Mutex
	door  net.Listener
	open  map[net.Conn]bool
	armed commit
	cuts  int
	ends  sync.WaitGroup
}

// commit says what happens to the next COMMIT that is sent.
type commit int

const (
	passed     commit = iota
	lostBefore        // the server never sees it
	lostAfter         // the server does it, and its answer never comes
)

// NewLine lays a line to the database of a DSN that New or Copy gave. It ends with the test.
func NewLine(t testing.TB, dsn string) *Line {
	t.Helper()
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	// A socket's path may have about a hundred bytes: not every temporary folder will do.
	folder, err := os.MkdirTemp("/tmp", "solander-line-")
	if err != nil {
		t.Fatal(err)
	}
	const socket = ".s.PGSQL.5432" // PostgreSQL manual: what a client looks for in the folder
	q := u.Query()
	l := &Line{to: filepath.Join(q.Get("host"), socket), at: filepath.Join(folder, socket), open: map[net.Conn]bool{}}
	q.Set("host", folder)
	u.RawQuery = q.Encode()
	l.DSN = u.String()
	t.Cleanup(func() {
		l.Cut()
		l.ends.Wait()
		os.RemoveAll(folder)
	})
	if err := l.Mend(); err != nil {
		t.Fatal(err)
	}
	return l
}

// Mend lets clients in (again).
func (l *Line) Mend() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.door != nil {
		return nil
	}
	door, err := net.Listen("unix", l.at)
	if err != nil {
		return err
	}
	if err := errors.Join(os.Chmod(filepath.Dir(l.at), 0o711), os.Chmod(l.at, 0o777)); err != nil { // a pooler may run as another user
		door.Close()
		return err
	}
	l.door = door
	l.ends.Go(func() { l.serve(door) })
	return nil
}

// Cut ends all connections and refuses new ones, as a server that was stopped.
func (l *Line) Cut() {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.door != nil {
		l.door.Close()
		l.door = nil
	}
	for c := range l.open {
		c.Close()
	}
}

// CutAtCommit cuts the line when the next COMMIT is sent: after the server has done it when done, else before it
// has seen it. The line stays cut.
func (l *Line) CutAtCommit(done bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.armed = lostBefore
	if done {
		l.armed = lostAfter
	}
}

// Cuts returns how often the line was cut at a commit.
func (l *Line) Cuts() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.cuts
}

func (l *Line) serve(door net.Listener) {
	for {
		client, err := door.Accept()
		if err != nil {
			return // cut
		}
		server, err := net.Dial("unix", l.to)
		if err != nil {
			client.Close()
			continue
		}
		l.mu.Lock()
		l.open[client], l.open[server] = true, true
		if l.door != door {
			client.Close()
			server.Close()
		}
		l.mu.Unlock()
		w := &wire{line: l, client: client, server: server}
		l.ends.Go(w.asks)
		l.ends.Go(w.answers)
	}
}

// wire is one connection through the line.
type wire struct {
	line           *Line
	client, server net.Conn
	mu             sync.Mutex
	mute           bool // what the server answers is kept back, and the line cut
}

// isCommit reports whether a client's message is a COMMIT. Source: PostgreSQL manual, message formats: a simple
// query is 'Q', its length, and the text with a zero byte.
func isCommit(message []byte) bool {
	return len(message) > 5 && message[0] == 'Q' && bytes.EqualFold(bytes.TrimRight(message[5:], "\x00; "), []byte("commit"))
}

func (w *wire) asks() {
	defer w.end()
	buffer := make([]byte, 1<<16)
	for {
		n, err := w.client.Read(buffer)
		if err != nil {
			return
		}
		if isCommit(buffer[:n]) {
			switch w.line.fire() {
			case lostBefore:
				w.line.Cut()
				return
			case lostAfter:
				w.mu.Lock()
				w.mute = true
				w.mu.Unlock()
			}
		}
		if _, err := w.server.Write(buffer[:n]); err != nil {
			return
		}
	}
}

func (l *Line) fire() commit {
	l.mu.Lock()
	defer l.mu.Unlock()
	c := l.armed
	if c != passed {
		l.cuts++
	}
	l.armed = passed
	return c
}

func (w *wire) answers() {
	defer w.end()
	buffer := make([]byte, 1<<16)
	for {
		n, err := w.server.Read(buffer)
		if err != nil {
			return
		}
		w.mu.Lock()
		mute := w.mute
		w.mu.Unlock()
		if mute {
			w.line.Cut()
			return
		}
		if _, err := w.client.Write(buffer[:n]); err != nil {
			return
		}
	}
}

func (w *wire) end() {
	w.client.Close()
	w.server.Close()
	w.line.mu.Lock()
	defer w.line.mu.Unlock()
	delete(w.line.open, w.client)
	delete(w.line.open, w.server)
}
