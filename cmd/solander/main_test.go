package main

import (
	"bufio"
	"context"
	"encoding/json"
	"flag"
	"log"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// built is the program as the tests run it.
var built string

func TestMain(m *testing.M) {
	flag.Parse()
	if testing.Short() { // nothing here is short: the program is not built
		os.Exit(m.Run())
	}
	dir, err := os.MkdirTemp("", "solander")
	if err != nil {
		log.Fatal(err)
	}
	built = filepath.Join(dir, "solander")
	if out, err := exec.Command("go", "build", "-o", built, ".").CombinedOutput(); err != nil {
		log.Fatalf("go build: %v\n%s", err, out)
	}
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// started runs a serving command and returns the address it prints.
func started(t testing.TB, args ...string) (*exec.Cmd, string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Hour) // the million takes go on for long
	t.Cleanup(cancel)
	cmd := exec.CommandContext(ctx, built, append(args, "--listen", "127.0.0.1:0", "--json")...)
	cmd.Env = append(os.Environ(), "HOME="+t.TempDir(), "XDG_DATA_HOME=", "SOLANDER_STORE=")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var errs strings.Builder
	cmd.Stderr = &errs
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	var text strings.Builder
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		text.WriteString(lines.Text())
		if lines.Text() == "}" {
			break
		}
	}
	var told struct{ Address string }
	if err := json.Unmarshal([]byte(text.String()), &told); err != nil || told.Address == "" {
		t.Fatalf("it printed %q and %q: %v", text.String(), errs.String(), err)
	}
	return cmd, told.Address
}

// ends tells a program to stop and waits for a clean end.
func ends(t testing.TB, cmd *exec.Cmd, by os.Signal) {
	t.Helper()
	if err := cmd.Process.Signal(by); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("after %v it ended with %v", by, err)
	}
}

func status(t testing.TB, address string) int {
	t.Helper()
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	res, err := client.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	return res.StatusCode
}

func TestServeAnEmptyPlace(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	dir := t.TempDir()
	cmd, address := started(t, "serve", "--store", filepath.Join(dir, "prints", "studio.db"))
	if got := status(t, address); got != http.StatusSeeOther && got != http.StatusOK {
		t.Errorf("the first page answers %d", got)
	}
	ends(t, cmd, syscall.SIGTERM)
	if _, err := os.Stat(filepath.Join(dir, "prints", "studio.db-wal")); err == nil {
		t.Error("the log still lies beside the database")
	}
}

func TestDemoTwice(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	dir := t.TempDir()
	for _, run := range []struct {
		name string
		by   os.Signal
	}{{"first", os.Interrupt}, {"second", syscall.SIGTERM}} {
		start := time.Now()
		cmd, address := started(t, "demo", "--dir", dir)
		if got := status(t, address); got != http.StatusOK {
			t.Errorf("%s run: the bench answers %d", run.name, got)
		}
		t.Logf("%s run: ready after %v", run.name, time.Since(start).Round(time.Millisecond))
		ends(t, cmd, run.by)
	}
}

func TestPortInUse(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	dir := t.TempDir()
	cmd := exec.Command(built, "serve", "--listen", l.Addr().String(), "--store", filepath.Join(dir, "studio.db"))
	out, err := cmd.CombinedOutput()
	if cmd.ProcessState == nil || cmd.ProcessState.ExitCode() != 2 {
		t.Errorf("it ended with %v", err)
	}
	for _, want := range []string{"is in use already", "hint: stop what runs there, or choose another port"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("it says %q, without %q", out, want)
		}
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 0 {
		t.Errorf("it left %v, %v", left, err)
	}
}
