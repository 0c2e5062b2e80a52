package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/alecthomas/kong"

	"solander/cli/desk"
	"solander/fault"
	"solander/studio"
)

// bare is an environment without any part of the house: for what needs none.
func bare(vars map[string]string) desk.Env {
	return desk.Env{
		Get:     func(name string) string { return vars[name] },
		Clock:   func() time.Time { return time.Date(2026, 4, 14, 12, 0, 0, 0, time.UTC) },
		Version: func() desk.Build { return desk.Build{Version: "v1.2.3", Go: "go1.26"} },
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

// TestAnswers: pages that answer anything at all are there; an error of their own, or nobody, is not.
func TestAnswers(t *testing.T) {
	code := http.StatusOK
	pages := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Location", "/nowhere")
		w.WriteHeader(code)
	}))
	at := pages.URL + "/"
	for answered, want := range map[int]bool{http.StatusOK: true, http.StatusSeeOther: true, http.StatusUnauthorized: true, http.StatusServiceUnavailable: false} {
		code = answered
		if got, _, errs := runBare(t, "answers", "--at", at); (got == exitDone) != want {
			t.Errorf("answered %d, it ends with %d: %s", answered, got, errs)
		}
	}
	pages.Close()
	for _, place := range []string{at, "127.0.0.1:8420", "http://%zz/"} {
		if got, _, errs := runBare(t, "answers", "--at", place); got == exitDone || !strings.Contains(errs, "hint: ") {
			t.Errorf("%s: it ends with %d: %s", place, got, errs)
		}
	}
}

// TestADoubleClickSaysWhyOnAPage: whoever double-clicks sees no terminal, and learns in the browser why nothing opened.
func TestADoubleClickSaysWhyOnAPage(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	var shown []string
	env := bare(map[string]string{"SOLANDER_STORE": "<nowhere>://studio"})
	env.Browse = func(address string) error { shown = append(shown, address); return nil }
	for _, args := range [][]string{nil, {"serve", "--browser"}} {
		var o, e bytes.Buffer
		if code := Run(context.Background(), args, strings.NewReader(""), &o, &e, env); code == exitDone || !strings.Contains(e.String(), "no place for a studio") {
			t.Errorf("%v: exit %d, %s", args, code, &e)
		}
	}
	if len(shown) != 1 { // by a command it is told where it was typed
		t.Fatalf("the browser was shown %v", shown)
	}
	path, ok := strings.CutPrefix(shown[0], "file://")
	if !ok {
		t.Fatalf("the browser was shown %s", shown[0])
	}
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"The studio was not opened", "&lt;nowhere&gt;", "What helps: give a file, a folder or postgres://"} {
		if !strings.Contains(string(page), want) {
			t.Errorf("the page lacks %q:\n%s", want, page)
		}
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
			if word == ">" || word == ">>" {
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
}

// TestWithoutACommand: a double click opens the studio in a browser.
func TestWithoutACommand(t *testing.T) {
	var a app
	parser, err := grammar(&a, io.Discard, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := parser.Parse(doubleClicked)
	if err != nil || parsed.Command() != "serve" || !a.Serve.Browser {
		t.Errorf("it is %q with a browser %t, %v", parsed.Command(), a.Serve.Browser, err)
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
		{"not a number", []string{"orders", "--limit", "x"}, "x"},
		{"broken UTF-8", []string{"find", "\xff\xfe"}, "UTF-8"},
		{"order and problem", []string{"plan", "S-1", "--problem", "p.json"}, "one of them"},
		{"neither", []string{"plan"}, "one of them"},
		{"no store", []string{"orders", "--store", "/nonexistent/studio.db"}, "there is no studio yet"},
		{"foreign store", []string{"orders", "--store", "mailto://x"}, "no place for a studio"},
		{"address of the world", []string{"serve", "--listen", "0.0.0.0:8420"}, "answered by TLS alone"},
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
	var b desk.Build
	if err := json.Unmarshal([]byte(out), &b); err != nil || b.Version != "v1.2.3" {
		t.Errorf("version --json: %q %v", out, err)
	}
}

// The words of a fault are shown so too.
func TestFaultsForgeNoLines(t *testing.T) {
	var errs bytes.Buffer
	code := Run(context.Background(), []string{"backup", "--store", "no\x1b[2Jsuch\nsolander: all is well"}, strings.NewReader(""), io.Discard, &errs, desk.Env{
		Get: func(string) string { return "" }, Clock: time.Now,
	})
	if got := errs.String(); code == exitDone || strings.Contains(got, "\x1b") || strings.Contains(got, "\nsolander: all") {
		t.Errorf("%d %q", code, got)
	}
}
