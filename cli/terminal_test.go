package cli_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
)

// A screen is a terminal with a program in it.
type screen struct {
	t    *testing.T
	tty  *os.File
	cmd  *exec.Cmd
	mu   sync.Mutex
	seen bytes.Buffer
	done chan struct{} // the program has let go of it
}

// onScreen starts a program in a terminal of 200 columns.
func onScreen(t *testing.T, env []string, name string, args ...string) *screen {
	t.Helper()
	s := &screen{t: t, cmd: exec.Command(name, args...), done: make(chan struct{})}
	s.cmd.Env, s.cmd.Dir = append(os.Environ(), env...), t.TempDir()
	var err error
	if s.tty, err = pty.StartWithSize(s.cmd, &pty.Winsize{Rows: 50, Cols: 200}); err != nil {
		t.Fatal(err)
	}
	go func() {
		defer close(s.done)
		b := make([]byte, 4096)
		for {
			n, err := s.tty.Read(b)
			s.mu.Lock()
			s.seen.Write(b[:n])
			s.mu.Unlock()
			if err != nil {
				return // Linux says EIO when the last program has gone
			}
		}
	}()
	t.Cleanup(func() {
		_ = s.cmd.Process.Kill()
		_ = s.cmd.Wait()
		s.tty.Close()
		<-s.done
	})
	return s
}

// text is what was written to the screen so far.
func (s *screen) text() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.seen.String()
}

// whole waits for the program's end and returns all that it wrote.
func (s *screen) whole() string {
	s.t.Helper()
	select {
	case <-s.done:
	case <-time.After(time.Minute):
		s.t.Fatalf("it did not end: %q", s.text())
	}
	return s.text()
}

// types types something, and waits until what follows on the screen holds a text.
func (s *screen) types(keys, want string) {
	s.t.Helper()
	before := len(s.text())
	if _, err := io.WriteString(s.tty, keys); err != nil {
		s.t.Fatal(err)
	}
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if strings.Contains(controls.ReplaceAllString(s.text()[before:], ""), want) {
			return
		}
	}
	s.t.Fatalf("after %q the screen shows %q, want %q", keys, s.text()[before:], want)
}

// controls are what moves the cursor and colours. Source: ECMA-48, 5.4 (CSI) and 8.3.89 (OSC), from memory.
var controls = regexp.MustCompile("\x1b\\[[0-9;?]*[ -/]*[@-~]|\x1b\\][^\x07]*\x07|\x1b[()=>][A-Z0-9]?|[\r\x07\x08]")

// lateStudio is a studio with an order in time, one that is late, and one that is done.
func lateStudio(t *testing.T) string {
	t.Helper()
	place := makeStudio(t, stock)
	for _, args := range [][]string{
		{"sale", "--outlet", "own", "--buyer", "Noor Quillan", "--print", "heron", "--line1", "8 Quince Lane", "--city", "Pinfold", "--region", "PA", "--postcode", "19103", "--promised", "2025-11-06"},
		{"sale", "--outlet", "own", "--buyer", "Odo Marsh", "--print", "heron", "--line1", "9 Elm Street", "--city", "Denver", "--region", "CO", "--postcode", "80202", "--promised", "2025-12-20"},
	} {
		if out, err := inPipe(nil, append(args, "--store", place)...); err != nil {
			t.Fatalf("%q: %v %s", args, err, out)
		}
	}
	return place
}

// inPipe runs the program with pipes, and returns what it wrote.
func inPipe(env []string, args ...string) (string, error) {
	cmd := exec.Command("solander", args...)
	cmd.Env = append(os.Environ(), env...)
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	err := cmd.Run()
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		err = nil // what it says is looked at
	}
	return out.String(), err
}

const (
	red   = "\x1b[31m"
	green = "\x1b[32m"
)

// Colour stands on a terminal alone, and only where it may; without it the words are the same, column for column.
func TestColourOnATerminalAlone(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	place := lateStudio(t)
	later := []string{"STORY_DAY=2025-11-20", "SOLANDER_STORE=" + place}
	with := func(vars ...string) []string {
		return append(append([]string{"NO_COLOR=", "TERM=xterm"}, later...), vars...)
	}
	for _, c := range []struct {
		what string
		args []string
		has  []string
		not  string
	}{
		{"the bench", []string{"bench"}, []string{red + "1 late\x1b[39m", "promised by Thu 6 Nov"}, green},
		{"the orders", []string{"orders"}, []string{red + "awaits money (9 late)\x1b[39m"}, green},
		{"an order that is late", []string{"order", "S-1001"}, []string{red + "9 late"}, green},
		{"an order in time", []string{"order", "S-1002"}, []string{"S-1002"}, "\x1b"},
		{"a check that finds nothing", []string{"check"}, []string{green + "database, register and stock are sound\x1b[39m"}, red},
		{"an error", []string{"order", "S-9"}, []string{red + "solander: \x1b[39m"}, green},
		{"an error of the words", []string{"nonsense"}, []string{red + "solander: \x1b[39m"}, green},
		{"what a program reads", []string{"orders", "--json"}, []string{`"S-1001"`}, "\x1b"},
		{"the help", []string{"--help"}, []string{"To begin:"}, "\x1b"},
	} {
		on := onScreen(t, with(), "solander", c.args...).whole()
		for _, want := range c.has {
			if !strings.Contains(on, want) {
				t.Errorf("%s on a terminal: %q lacks %q", c.what, on, want)
			}
		}
		if strings.Contains(on, c.not) {
			t.Errorf("%s on a terminal: %q has %q", c.what, on, c.not)
		}
		piped, err := inPipe(with(), c.args...)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(piped, "\x1b") {
			t.Errorf("%s in a pipe: %q", c.what, piped)
		}
		if c.what != "the help" { // it is wrapped at the width of the screen
			same := strings.ReplaceAll(strings.NewReplacer(red, "", green, "", "\x1b[39m", "").Replace(on), "\r\n", "\n")
			if same != piped {
				t.Errorf("%s: on a terminal it says\n%s\nin a pipe\n%s", c.what, same, piped)
			}
		}
		if c.what != "the orders" && c.what != "an error" {
			continue
		}
		for _, vars := range [][]string{{"NO_COLOR=1"}, {"NO_COLOR=no"}, {"TERM=dumb"}, {"TERM="}} {
			if off := onScreen(t, with(vars...), "solander", c.args...).whole(); strings.Contains(off, "\x1b") {
				t.Errorf("%s with %v: %q", c.what, vars, off)
			}
		}
	}
}

// A buyer's name paints nothing and moves nothing, whatever is in it.
func TestNamesDoNotPaint(t *testing.T) {
	place := makeStudio(t, nil)
	env := []string{"SOLANDER_STORE=" + place, "NO_COLOR=", "TERM=xterm"}
	said := onScreen(t, env, "solander", "find", "\x1b[32mgood\x1b[2J").whole()
	if strings.Contains(said, green) || strings.Contains(said, "\x1b[2J") {
		t.Errorf("it writes %q", said)
	}
}

// Real shells complete commands, and what a studio has, by the lines that they are given.
func TestRealShellsComplete(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	place := makeStudio(t, stock)
	for _, c := range []struct {
		shell string
		args  []string
		load  string
	}{
		{"bash", []string{"--norc", "--noprofile", "-i"}, `eval "$(solander completion bash)"`},
		{"zsh", []string{"-f", "-i"}, `eval "$(solander completion zsh)"`},
		{"fish", []string{"--no-config", "--private", "-i"}, `solander completion fish | source`},
	} {
		t.Run(c.shell, func(t *testing.T) {
			if _, err := exec.LookPath(c.shell); err != nil {
				t.Skipf("%s is not on this machine (scripts/install-test-tools.sh installs it): %v", c.shell, err)
			}
			home := t.TempDir()
			s := onScreen(t, []string{"HOME=" + home, "ZDOTDIR=" + home, "XDG_DATA_HOME=" + filepath.Join(home, "data"), "XDG_CONFIG_HOME=" + filepath.Join(home, "config"), "TERM=xterm", "SOLANDER_STORE=" + place, "PS1=$ "}, c.shell, c.args...)
			s.types(c.load+"; echo is''ready\r", "isready")
			s.types("solander regi\t", "register ")
			s.types("\t\t", "withdraw")
			s.types("\x15", "") // the line is taken back
			s.types("solander shelf restock sleeve-12.25\t", "sleeve-12.25x16.25")
			if text := s.text(); strings.Contains(text, "not found") {
				t.Errorf("%s says %q", c.shell, text)
			}
		})
	}
}

// On a terminal set-up asks; what cannot be read is asked for again, what is proposed is taken by its count, and nothing is kept before
// the end.
func TestSetUpAsksOnATerminal(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	place := filepath.Join(t.TempDir(), "studio.db")
	env := []string{"SOLANDER_STORE=" + place, "TERM=dumb"}
	s := onScreen(t, env, "solander", "set-up", "--artist", "Ines Corrow")
	s.types("", "Name of the studio: ")
	s.types("\r", "it is missing")
	s.types("Marsh Lane Press\r", "Country [United States]: ")
	s.types("Atlantis\r", "no country that is known")
	s.types("\r", "Street and house number: ")
	s.types("4 Marsh Lane\r", "Town: ")
	s.types("Roanoke\r", "State or province: ")
	s.types("VA\r", "Postcode: ")
	s.types("2401\r", "Postcode: ")
	s.types("24011\r", "Your money [USD]: ")
	s.types("\r", "Units, inch or metric [inch]: ")
	s.types("\r", "Time zone [America/New_York]: ")
	s.types("\r", "Where you sell [Own shop]: ")
	s.types("\r", "Title of your first work")
	s.types("Low tide\r", "Width")
	s.types("11\r", "Height: ")
	s.types("14 in\r", "Paper: ")
	s.types("\r", "Grade [standard]: ")
	s.types("\r", "How many are numbered")
	s.types("80\r", "Price: ")
	s.types("ninety\r", "Price: ")
	s.types("90\r", "in the drawer [0]: ")
	s.types("7\r", "film sleeve 11 1/4 in × 14 1/4 in: how many have you? (y: 100")
	if _, err := os.Stat(place); err == nil {
		t.Error("something is kept before the last answer")
	}
	s.types("y\r", "how many have you?")
	for range 20 {
		before := len(s.text())
		s.types("9\r", "")
		for end := time.Now().Add(20 * time.Second); time.Now().Before(end) && !strings.Contains(s.text()[before:], "how many have you?") && !strings.Contains(s.text(), "is set up"); {
			time.Sleep(20 * time.Millisecond)
		}
		if strings.Contains(s.text(), "is set up") {
			break
		}
	}
	said := s.whole()
	for _, want := range []string{"Marsh Lane Press is set up", "on the shelf: 100 × film sleeve 11 1/4 in × 14 1/4 in", "on the shelf: 9 × stiff envelope"} {
		if !strings.Contains(said, want) {
			t.Errorf("it ends without %q: %s", want, said)
		}
	}
	if out, err := inPipe(env, "check"); err != nil || !strings.Contains(out, "sound") {
		t.Errorf("%v %s", err, out)
	}

	// The end of the input ends it, and nothing is there.
	other := filepath.Join(t.TempDir(), "other.db")
	s = onScreen(t, []string{"SOLANDER_STORE=" + other, "TERM=dumb"}, "solander", "set-up")
	s.types("", "Name of the studio: ")
	s.types("\x04", "it is missing")
	s.whole()
	if _, err := os.Stat(other); err == nil {
		t.Error("a set-up that was left made a studio")
	}
}
