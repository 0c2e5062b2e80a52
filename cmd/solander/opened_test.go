package main

import (
	"crypto/rand"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// doubleClick is a machine of its own, whose browser writes down what it is shown.
type doubleClick struct {
	t                   *testing.T
	home, shown, listen string
}

func newDoubleClick(t *testing.T) *doubleClick {
	t.Helper()
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	d := &doubleClick{t: t, home: t.TempDir(), listen: free(t)}
	d.shown = filepath.Join(d.home, "shown")
	if err := os.WriteFile(filepath.Join(d.home, "xdg-open"), []byte("#!/bin/sh\necho \"$1\" >>"+d.shown+"\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	return d
}

// free is an address that nobody holds.
func free(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

func (d *doubleClick) note() string {
	return filepath.Join(d.home, ".local", "share", "solander", "studio.db-open")
}

// start starts the program; said is what it has said so far.
func (d *doubleClick) start() (cmd *exec.Cmd, said func() string) {
	d.t.Helper()
	out, err := os.CreateTemp(d.home, "said")
	if err != nil {
		d.t.Fatal(err)
	}
	cmd = exec.Command(built, "serve", "--browser", "--listen", d.listen)
	cmd.Env = []string{"HOME=" + d.home, "PATH=" + d.home + ":" + os.Getenv("PATH")}
	cmd.Stdout, cmd.Stderr = out, out
	if err := cmd.Start(); err != nil {
		d.t.Fatal(err)
	}
	d.t.Cleanup(func() { _ = cmd.Process.Kill(); out.Close() })
	return cmd, func() string {
		b, err := os.ReadFile(out.Name())
		if err != nil {
			d.t.Error(err)
		}
		return string(b)
	}
}

// within waits until something is so.
func within(t *testing.T, what string, so func() bool) {
	t.Helper()
	for ends := time.Now().Add(2 * time.Minute); !so(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(ends) {
			t.Fatalf("%s: it did not come to that", what)
		}
	}
}

// shows returns the addresses that the browser was shown.
func (d *doubleClick) shows() []string {
	b, _ := os.ReadFile(d.shown)
	return strings.Fields(string(b))
}

func (d *doubleClick) noted() (address string) {
	var n struct{ Address string }
	b, err := os.ReadFile(d.note())
	if err != nil || json.Unmarshal(b, &n) != nil {
		return ""
	}
	return n.Address
}

var onward = regexp.MustCompile(`class="button" href="([^"]+)"`)

// lookAround asks for the invented studio and returns where it is.
func (d *doubleClick) lookAround(address string) string {
	d.t.Helper()
	res, err := http.PostForm(address+"studio/look-around", url.Values{"once": {rand.Text()}})
	if err != nil {
		d.t.Fatal(err)
	}
	defer res.Body.Close()
	page, err := io.ReadAll(res.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	found := onward.FindSubmatch(page)
	if found == nil {
		d.t.Fatalf("no way on: %d %s", res.StatusCode, page)
	}
	return string(found[1])
}

// TestDoubleClick starts the program, starts it again, and closes it in the browser.
func TestDoubleClick(t *testing.T) {
	d := newDoubleClick(t)
	first, out := d.start()
	within(t, "the browser is shown the studio", func() bool { return len(d.shows()) == 1 })
	address := d.shows()[0]
	if address != "http://"+d.listen+"/" || d.noted() != address {
		t.Errorf("the browser is shown %s, the note says %s, asked for was %s", address, d.noted(), d.listen)
	}
	if info, err := os.Stat(d.note()); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the note is %v, %v: only its owner should read it", info, err)
	}

	second, said := d.start()
	if err := second.Wait(); err != nil || !strings.Contains(said(), alreadyOpen+address) {
		t.Errorf("a second start ends with %v and says %q", err, said())
	}
	if got := d.shows(); len(got) != 2 || got[1] != address {
		t.Errorf("the browser was shown %v", got)
	}

	if invented := d.lookAround(address); status(t, invented) != http.StatusOK {
		t.Errorf("the invented studio does not answer at %s", invented)
	} else if again := d.lookAround(address); again != invented {
		t.Errorf("asked again, it is at %s, and was at %s", again, invented)
	}

	res, err := http.PostForm(address+"studio/close", url.Values{"once": {rand.Text()}})
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK {
		t.Errorf("closing answers %d", res.StatusCode)
	}
	if err := first.Wait(); err != nil {
		t.Errorf("closed, it ended with %v: %s", err, out())
	}
	for _, tail := range []string{"", "-wal"} {
		if _, err := os.Stat(d.note() + tail); err == nil {
			t.Errorf("%s lies there still", d.note()+tail)
		}
	}
}

// alreadyOpen is what a second start says, before the address.
const alreadyOpen = "the studio is open already at "

// TestTwoDoubleClicks starts the program twice at once: one opens the studio, both show it.
func TestTwoDoubleClicks(t *testing.T) {
	d := newDoubleClick(t)
	serving, said := d.start()
	showing, told := d.start()
	within(t, "both show the studio", func() bool { return len(d.shows()) == 2 })
	got := d.shows()
	if got[0] != got[1] {
		t.Errorf("the browser was shown %v", got)
	}
	within(t, "one of them says that it is open already", func() bool { return strings.Contains(said()+told(), alreadyOpen) })
	if strings.Contains(said(), alreadyOpen) {
		serving, showing = showing, serving
	}
	if err := showing.Wait(); err != nil {
		t.Errorf("the one that came second ended with %v", err)
	}
	if code := status(t, got[0]); code != http.StatusSeeOther {
		t.Errorf("the other one answers %d", code)
	}
	ends(t, serving, os.Interrupt)
}

// TestDoubleClickPortTaken: another program has the port, and an old note names it.
func TestDoubleClickPortTaken(t *testing.T) {
	d := newDoubleClick(t)
	other := httptest.NewServer(http.NotFoundHandler())
	defer other.Close()
	d.listen = other.Listener.Addr().String()
	if err := os.MkdirAll(filepath.Dir(d.note()), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(d.note(), []byte(`{"address": "`+other.URL+`/", "key": "of before"}`), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd, out := d.start()
	within(t, "the browser is shown the studio", func() bool { return len(d.shows()) == 1 })
	if got := d.shows()[0]; got == other.URL+"/" || got != d.noted() {
		t.Errorf("the browser is shown %s, the note says %s, and %s is another program's: %s", got, d.noted(), other.URL, out())
	}
	ends(t, cmd, os.Interrupt)
}

// TestNoBrowser: where none can be opened the address is told, and the studio is open all the same.
func TestNoBrowser(t *testing.T) {
	d := newDoubleClick(t)
	if err := os.WriteFile(filepath.Join(d.home, "xdg-open"), []byte("#!/bin/sh\nexit 3\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	cmd, _ := d.start()
	within(t, "the note is there", func() bool { return d.noted() != "" })
	if got := status(t, d.noted()); got != http.StatusSeeOther {
		t.Errorf("the first page answers %d", got)
	}
	ends(t, cmd, os.Interrupt)
}
