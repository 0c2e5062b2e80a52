package cli

import (
	"bytes"
	"context"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// asked is what the program answers a shell that completes a line.
func asked(t *testing.T, line, point string) []string {
	t.Helper()
	var out, errs bytes.Buffer
	env := bare(map[string]string{"COMP_LINE": line, "COMP_POINT": point})
	if code := Run(context.Background(), nil, strings.NewReader(""), &out, &errs, env); code != exitDone || errs.Len() > 0 {
		t.Fatalf("%q ended with %d: %s", line, code, errs.String())
	}
	return strings.Fields(out.String())
}

func TestAShellAsksWhatMayFollow(t *testing.T) {
	for _, c := range []struct {
		line, point string
		has, not    []string
	}{
		{"solander ", "", []string{"pay", "register", "completion"}, []string{"--json", "show"}},
		{"solander pa", "", []string{"pack", "papers", "pay"}, []string{"plan"}},
		{"solander register ", "", []string{"show", "spoil", "withdraw"}, []string{"pay"}},
		{"solander pay S-1 5 --ki", "", []string{"--kind"}, []string{"--day"}},
		{"solander pay S-1 5 --kind ", "", []string{"deposit", "balance", "refund"}, []string{""}},
		{"solander pay S-1 5", "10", []string{"pack", "papers", "pay"}, nil}, // the cursor stands behind "p"
		{"solander pay ", "", nil, []string{"S-1"}},                          // no studio: nothing is offered, nothing fails
	} {
		got := asked(t, c.line, c.point)
		for _, want := range c.has {
			if !slices.Contains(got, want) {
				t.Errorf("%q at %q: %q lacks %q", c.line, c.point, got, want)
			}
		}
		for _, other := range c.not {
			if slices.Contains(got, other) {
				t.Errorf("%q at %q: %q has %q", c.line, c.point, got, other)
			}
		}
	}
}

// Every command is offered at the first word: the grammar and what a shell is told are one.
func TestEveryCommandIsOffered(t *testing.T) {
	var a app
	parser, err := grammar(&a, &bytes.Buffer{}, &bytes.Buffer{})
	if err != nil {
		t.Fatal(err)
	}
	offered := asked(t, "solander ", "")
	for _, c := range parser.Model.Children {
		if !slices.Contains(offered, c.Name) {
			t.Errorf("%s is not offered", c.Name)
		}
	}
}

// A real bash takes the lines and asks the program for solander's words.
func TestBashTakesTheLines(t *testing.T) {
	code, lines, errs := runBare(t, "completion", "bash")
	if code != exitDone || errs != "" {
		t.Fatalf("exit %d: %s", code, errs)
	}
	out, err := exec.Command("bash", "-c", lines+"complete -p solander").CombinedOutput()
	if err != nil || strings.TrimSpace(string(out)) != "complete -C 'solander' solander" {
		t.Errorf("bash keeps %q, %v", out, err)
	}
}
