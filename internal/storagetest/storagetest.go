// Package storagetest starts a server for storage of the kind S3 on this machine, for one test: versitygw over a folder, which tools/storage names.
// Without it a test fails, unless SOLANDER_NO_STORAGE=1 says that it may be left out.
package storagetest

import (
	"bytes"
	"context"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// Server is a storage that runs.
type Server struct {
	Address        string // "127.0.0.1:…"
	Access, Secret string
	Folder         string // in which each bucket is a folder
}

// Bucket is the bucket that is there.
const Bucket = "prints"

// patience is how long the server may take to answer.
const patience = time.Minute

// Start starts a server with one bucket; it ends with the test.
func Start(t *testing.T) Server {
	t.Helper()
	if os.Getenv("SOLANDER_NO_STORAGE") == "1" {
		t.Skip("SOLANDER_NO_STORAGE=1: storage of the kind S3 is left out")
	}
	program, err := program()
	if err != nil {
		t.Fatalf("storagetest: %v\nbuild it by scripts/install-test-tools.sh, or set SOLANDER_NO_STORAGE=1 to leave these tests out", err)
	}
	s := Server{Access: "tester", Secret: "a secret of tests alone", Folder: t.TempDir()}
	if err := os.Mkdir(filepath.Join(s.Folder, Bucket), 0o700); err != nil {
		t.Fatal(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s.Address = l.Addr().String()
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	cmd := exec.CommandContext(t.Context(), program, "--port", s.Address, "posix", "--sidecar", t.TempDir(), s.Folder)
	cmd.Env = append(os.Environ(), "ROOT_ACCESS_KEY="+s.Access, "ROOT_SECRET_KEY="+s.Secret)
	cmd.Stdout, cmd.Stderr = &said, &said
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill() // it is gone already when it broke down
		_ = cmd.Wait()
		if t.Failed() {
			t.Logf("the storage said: %.4000s", said.String())
		}
	})
	ctx, stop := context.WithTimeout(t.Context(), patience)
	defer stop()
	for {
		c, err := new(net.Dialer).DialContext(ctx, "tcp", s.Address)
		if err == nil {
			_ = c.Close()
			return s
		}
		select {
		case <-ctx.Done():
			t.Fatalf("the storage does not answer: %v", err)
		case <-time.After(50 * time.Millisecond):
		}
	}
}

// program is the path of the server's program, built when it is not yet.
var program = sync.OnceValues(func() (string, error) {
	root, err := exec.Command("go", "env", "GOMOD").Output()
	if err != nil {
		return "", err
	}
	mod := filepath.Join(filepath.Dir(strings.TrimSpace(string(root))), "tools", "storage", "go.mod")
	cmd := exec.Command("go", "tool", "-modfile="+mod, "-n", "versitygw")
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		return "", &failed{errs.String(), err}
	}
	return strings.TrimSpace(string(out)), nil
})

type failed struct {
	said string
	error
}

func (f *failed) Error() string { return f.error.Error() + ": " + f.said }
