package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/alecthomas/kong"

	"solander/fault"
	"solander/studio"
)

// bare is an environment without any part of the house: for what needs none.
func bare(vars map[string]string) Env {
	return Env{
		Get:     func(name string) string { return vars[name] },
		Clock:   func() time.Time { return time.Date(2026, 4, 14, 12, 0, 0, 0, time.UTC) },
		Version: func() Build { return Build{Version: "v1.2.3", Go: "go1.26"} },
		Open: func(_ context.Context, place string, _ func() time.Time) (studio.Store, error) {
			return nil, fault.New(fault.Missing, "there is no studio yet").At("%s", place)
		},
	}
}

func runBare(t *testing.T, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	code = Run(context.Background(), args, strings.NewReader(""), &o, &e, bare(nil))
	return code, o.String(), e.String()
}

func TestEveryFaultCodeHasAnExitCode(t *testing.T) {
	if len(fault.Codes()) == 0 {
		t.Fatal("there are no fault codes: nothing was tested")
	}
	for _, c := range fault.Codes() {
		n, ok := exitCodes[c]
		if !ok {
			t.Errorf("fault %s has no exit code", c)
		}
		if n == exitDone || n == exitFindings {
			t.Errorf("fault %s ends with %d, which means something else", c, n)
		}
		if !strings.Contains(exitHelp(), string(c)) {
			t.Errorf("the help does not name %s", c)
		}
		if got := exitOf(fault.New(c, "x")); got != n {
			t.Errorf("exitOf(%s) = %d, want %d", c, got, n)
		}
	}
	if len(exitCodes) != len(fault.Codes()) {
		t.Errorf("%d exit codes for %d fault codes", len(exitCodes), len(fault.Codes()))
	}
	if got := exitOf(errors.New("plain")); got != exitCodes[fault.Internal] {
		t.Errorf("an error that is no fault ends with %d", got)
	}
}

// leaves calls f with every command that does something, by its full name.
func leaves(t *testing.T, f func(path string, n *kong.Node)) {
	t.Helper()
	var a app
	parser, err := grammar(&a, &bytes.Buffer{}, &bytes.Buffer{})
	if err != nil {
		t.Fatal(err)
	}
	found := parser.Model.Leaves(true)
	if len(found) < 30 {
		t.Fatalf("only %d commands were found", len(found))
	}
	for _, n := range found {
		f(n.FullPath(), n)
	}
}

func TestEveryCommandHasHelpWithAnExample(t *testing.T) {
	leaves(t, func(path string, n *kong.Node) {
		args := append(strings.Fields(strings.TrimPrefix(path, "solander")), "--help")
		code, out, errs := runBare(t, args...)
		if code != exitDone || errs != "" {
			t.Errorf("%s --help: exit %d, %s", path, code, errs)
		}
		if !strings.Contains(out, "Example:") || !strings.Contains(out, "solander "+args[0]) {
			t.Errorf("%s --help shows no example:\n%s", path, out)
		}
		if n.Help == "" {
			t.Errorf("%s has no line of help", path)
		}
	})
}

// examples returns the commands that an example shows, as arguments. A line indented further belongs to
// the one before; what feeds a command through a pipe is left out.
func examples(t *testing.T, help string) [][]string {
	t.Helper()
	_, text, _ := strings.Cut(help, "Example:\n")
	text, _, _ = strings.Cut(text, "\nFlags:")
	var out [][]string
	for _, line := range strings.Split(text, "\n") {
		at := strings.Index(line, "solander ")
		switch indent := len(line) - len(strings.TrimLeft(line, " ")); {
		case at == indent && at == 4 || at > 0 && strings.Contains(line[:at], "| "):
			out = append(out, words(line[at:])[1:])
		case indent == 6 && len(out) > 0:
			out[len(out)-1] = append(out[len(out)-1], words(line)...)
		}
	}
	return out
}

// words parts a line as a shell does with double quotes; a redirection ends it.
func words(line string) []string {
	var out []string
	word, quoted := "", false
	for _, r := range strings.TrimSpace(line) + " " {
		switch {
		case r == '"':
			quoted = !quoted
		case r == ' ' && !quoted:
			if word == ">" {
				return out
			}
			if word != "" {
				out = append(out, word)
			}
			word = ""
		default:
			word += string(r)
		}
	}
	return out
}

func TestExamplesAreCommands(t *testing.T) {
	leaves(t, func(path string, n *kong.Node) {
		_, out, _ := runBare(t, append(strings.Fields(strings.TrimPrefix(path, "solander")), "--help")...)
		shown := examples(t, out)
		if len(shown) == 0 && !strings.Contains(out, "| ") && !strings.Contains(out, "|\n") {
			t.Errorf("%s: no command in its example:\n%s", path, out)
		}
		for _, args := range shown {
			var a app
			parser, err := grammar(&a, &bytes.Buffer{}, &bytes.Buffer{})
			if err != nil {
				t.Fatal(err)
			}
			if _, err := parser.Parse(args); err != nil {
				t.Errorf("%s: the example %q is refused: %v", path, args, err)
			}
		}
	})
}

func TestHelpPrintsTheExitCodes(t *testing.T) {
	code, out, _ := runBare(t, "--help")
	if code != exitDone {
		t.Fatalf("exit %d", code)
	}
	for _, want := range []string{"Exit codes:", "check found something wrong", "busy", "From sale to hand-over:"} {
		if !strings.Contains(out, want) {
			t.Errorf("the help lacks %q:\n%s", want, out)
		}
	}
	if code, bareOut, _ := runBare(t); code != exitDone || bareOut != out {
		t.Errorf("without arguments: exit %d, not the help", code)
	}
}

func TestBadCommandLines(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		want string // in the error
	}{
		{"unknown command", []string{"ship"}, "ship"},
		{"unknown flag", []string{"orders", "--colour"}, "--colour"},
		{"missing argument", []string{"order"}, "order"},
		{"not a number", []string{"renumber", "x", "17"}, "x"},
		{"broken UTF-8", []string{"find", "\xff\xfe"}, "UTF-8"},
		{"order and problem", []string{"plan", "S-1", "--problem", "p.json"}, "one of them"},
		{"neither", []string{"plan"}, "one of them"},
		{"no store", []string{"orders", "--store", "/nonexistent/studio.db"}, "there is no studio yet"},
		{"foreign store", []string{"orders", "--store", "mailto://x"}, "no place for a studio"},
		{"address of the world", []string{"serve", "--listen", "0.0.0.0:8420"}, "not an address of this machine"},
		{"no port", []string{"serve", "--listen", "localhost"}, "not an address"},
		{"bad port", []string{"serve", "--listen", "127.0.0.1:99999"}, "not a port"},
		{"missing file", []string{"plan", "--problem", "/nonexistent/p.json"}, "no such file"},
		{"set-up without a file", []string{"set-up"}, "needs a file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, errs := runBare(t, c.args...)
			if code != 2 {
				t.Errorf("exit %d, want 2", code)
			}
			if out != "" {
				t.Errorf("it printed %q", out)
			}
			if !strings.Contains(errs, c.want) || !strings.Contains(errs, "\nhint: ") {
				t.Errorf("error %q, want %q and a hint", errs, c.want)
			}
			checkForm(t, errs)
			checkJSON(t, c.args, c.want)
		})
	}
}

// checkForm holds the form of what is told to people: lower case, no full stop.
func checkForm(t *testing.T, errs string) {
	t.Helper()
	for _, line := range strings.Split(strings.TrimSpace(errs), "\n") {
		text := strings.TrimPrefix(strings.TrimPrefix(line, "solander: "), "hint: ")
		if text == line || strings.HasSuffix(text, ".") {
			t.Errorf("the line %q is not of the form", line)
		}
	}
}

// checkJSON runs the same with --json: the fault must be one JSON object.
func checkJSON(t *testing.T, args []string, want string) {
	t.Helper()
	code, out, errs := runBare(t, append([]string{"--json"}, args...)...)
	var told struct {
		Faults []faultJSON `json:"faults"`
	}
	if err := json.Unmarshal([]byte(errs), &told); err != nil {
		t.Fatalf("with --json: %v in %q", err, errs)
	}
	if code != 2 || out != "" || len(told.Faults) == 0 || told.Faults[0].What == "" {
		t.Errorf("with --json: exit %d, out %q, faults %+v", code, out, told)
	}
	if !strings.Contains(errs, strings.ReplaceAll(want, `"`, `\"`)) {
		t.Errorf("with --json: %q lacks %q", errs, want)
	}
}

func TestVersion(t *testing.T) {
	_, out, _ := runBare(t, "version")
	if out != "solander v1.2.3 (go1.26)\n" {
		t.Errorf("version: %q", out)
	}
	_, out, _ = runBare(t, "version", "--json")
	var b Build
	if err := json.Unmarshal([]byte(out), &b); err != nil || b.Version != "v1.2.3" {
		t.Errorf("version --json: %q %v", out, err)
	}
}

func TestWhereTheStudioIsKept(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		flag string
		vars map[string]string
		want string
	}{
		{"", map[string]string{"HOME": "/home/ines"}, "/home/ines/.local/share/solander/studio.db"},
		{"", map[string]string{"HOME": "/home/ines", "XDG_DATA_HOME": "/data"}, "/data/solander/studio.db"},
		{"", map[string]string{"HOME": "/home/ines", "SOLANDER_STORE": "/prints/s.db"}, "/prints/s.db"},
		{"/other.db", map[string]string{"SOLANDER_STORE": "/prints/s.db"}, "/other.db"},
		{dir, nil, dir + "/studio.db"},
		{"postgres:///prints", nil, "postgres:///prints"},
	} {
		d := &desk{env: bare(c.vars), place: c.flag}
		if got, err := d.placeOf(); err != nil || got != c.want {
			t.Errorf("--store %q with %v: %q, %v; want %q", c.flag, c.vars, got, err, c.want)
		}
	}
	if _, err := (&desk{env: bare(nil)}).placeOf(); !fault.Is(err, fault.Invalid) {
		t.Errorf("without a home: %v", err)
	}
}

func TestPickByName(t *testing.T) {
	rows := []string{"Heron at dusk, 11 in × 14 in, standard", "Heron at dusk, 12 × 16 in, fine", "Slack water, 11 × 14 in, standard"}
	id := func(s string) int64 { return int64(len(s)) }
	full := func(s string) string { return s }
	for _, c := range []struct {
		name string
		want int // place in rows; -1 = a fault
	}{
		{"heron fine", 1},
		{"HERON 12x16", 1},
		{"slack", 2},
		{"heron 12 × 16", 1},
		{"slack water, 11 × 14 in, standard", 2},
		{"heron", -1},
		{"kestrel", -1},
		{"", -1},
		{"999", -1},
	} {
		got, err := pick(rows, c.name, "edition", "solander works", id, full)
		switch {
		case c.want < 0 && err == nil:
			t.Errorf("%q: took %q", c.name, got)
		case c.want >= 0 && (err != nil || got != rows[c.want]):
			t.Errorf("%q: %q, %v; want %q", c.name, got, err, rows[c.want])
		}
	}
}

func TestAFailedWriteLeavesNoFile(t *testing.T) {
	dir := t.TempDir()
	d := &desk{out: &bytes.Buffer{}}
	path := dir + "/x.pdf"
	broken := errors.New("broken pipe")
	if err := d.toFile(path, false, func(w io.Writer) error { _, err := w.Write([]byte("half")); return errors.Join(err, broken) }); !errors.Is(err, broken) {
		t.Errorf("toFile: %v", err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 0 {
		t.Errorf("left behind: %v %v", entries, err)
	}
}

// A copy of the studio holds names and addresses: other users of the machine may not read it.
func TestAWrittenFileIsTheUsersAlone(t *testing.T) {
	path := t.TempDir() + "/studio.copy"
	d := &desk{out: &bytes.Buffer{}}
	if err := d.toFile(path, false, func(w io.Writer) error { _, err := w.Write([]byte("whole")); return err }); err != nil {
		t.Fatal(err)
	}
	about, err := os.Stat(path)
	if err != nil || about.Mode().Perm() != 0o600 {
		t.Errorf("written as %v, %v; want -rw-------", about.Mode(), err)
	}
}
