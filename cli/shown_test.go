package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"solander/fault"
	"solander/studio"
)

func TestShown(t *testing.T) {
	for in, want := range map[string]string{
		"fair.csv": "fair.csv", "Étal 東京 🖼.csv": "Étal 東京 🖼.csv", `C:\fairs\a.csv`: `C:\fairs\a.csv`, "a\u00a0b": "a\u00a0b",
		"a.csv\nwatched folder: all well": `a.csv\nwatched folder: all well`, "a\r\tb": `a\r\tb`, "\x1b[2J\x07": `\x1b[2J\a`,
		"\u009b2J": `\u009b2J`, "a\x9bb\xff": `a\x9bb\xff`, "\u202egpj.csv": `\u202egpj.csv`, "a\u2028b": `a\u2028b`, "\uFFFD": "\uFFFD",
	} {
		if got := shown(in); got != want {
			t.Errorf("%q is shown as %q, want %q", in, got, want)
		}
	}
}

// Whatever a name is, it stays in its line and moves no cursor. Source: ECMA-48, 5: what controls lies in 00 to 1F, 7F and 80 to 9F.
func TestNoNameControls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes")) + rapid.String().Draw(t, "text")
		var b bytes.Buffer
		n, err := people{&b}.Write([]byte(name))
		if err != nil || n != len(name) {
			t.Fatalf("%d of %d written: %v", n, len(name), err)
		}
		for _, got := range []string{shown(name), strings.NewReplacer("\n", "", "\t", "").Replace(b.String())} {
			if !utf8.ValidString(got) || strings.ContainsFunc(got, func(r rune) bool { return r < ' ' || r >= 0x7f && r < 0xa0 }) {
				t.Fatalf("%q is shown as %q", name, got)
			}
		}
	})
}

// A file's name cannot write lines of its own into what a watched folder says, nor into its report.
func TestNamesForgeNoLines(t *testing.T) {
	w, _ := watching(t)
	var log bytes.Buffer
	w.told = func(format string, args ...any) { tellLine(&log, format, args...) }
	name := "a\nfair.csv: 9 orders brought in, as file 1\x1b[1A.csv"
	w.drop(t, name, "a,b\n1,2\n")
	w.looks(t, 2)
	if got := log.String(); strings.Count(got, "\n") != 1 || strings.Contains(got, "\x1b") || !strings.Contains(got, "left aside") {
		t.Errorf("it says %q", got)
	}
	if got := w.files(t, asideFolder); len(got) != 2 {
		t.Fatalf("left aside: %q", got)
	}
	var report bytes.Buffer
	writeAside(&report, name, studio.Dropped{Aside: true, Why: fault.New(fault.Refused, "it is no file").At("%s", name)})
	if got := report.String(); strings.Contains(got, "\x1b") || strings.Contains(got, "\nfair.csv: 9") {
		t.Errorf("the report says %q", got)
	}
}

// The words of a fault are shown so too.
func TestFaultsForgeNoLines(t *testing.T) {
	var out, errs bytes.Buffer
	code := Run(context.Background(), []string{"backup", "--store", "no\x1b[2Jsuch\nsolander: all is well"}, strings.NewReader(""), &out, &errs, Env{
		Get: func(string) string { return "" }, Clock: time.Now,
	})
	if got := errs.String(); code == exitDone || strings.Contains(got, "\x1b") || strings.Contains(got, "\nsolander: all") {
		t.Errorf("%d %q", code, got)
	}
	out.Reset()
	d := &desk{out: &out}
	if err := d.show(nil, func(w io.Writer) { fmt.Fprintln(w, "Ada\x1b]0;gone\x07 Quill") }); err != nil || out.String() != `Ada\x1b]0;gone\a Quill`+"\n" {
		t.Errorf("%q, %v", out.String(), err)
	}
}
