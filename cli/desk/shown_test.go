package desk

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestShown(t *testing.T) {
	for in, want := range map[string]string{
		"fair.csv": "fair.csv", "Étal 東京 🖼.csv": "Étal 東京 🖼.csv", `C:\fairs\a.csv`: `C:\fairs\a.csv`, "a\u00a0b": "a\u00a0b",
		"a.csv\nwatched folder: all well": `a.csv\nwatched folder: all well`, "a\r\tb": `a\r\tb`, "\x1b[2J\x07": `\x1b[2J\a`,
		"\u009b2J": `\u009b2J`, "a\x9bb\xff": `a\x9bb\xff`, "\u202egpj.csv": `\u202egpj.csv`, "a\u2028b": `a\u2028b`, "\uFFFD": "\uFFFD",
	} {
		if got := Shown(in); got != want {
			t.Errorf("%q is shown as %q, want %q", in, got, want)
		}
	}
}

// Whatever a name is, it stays in its line and moves no cursor. Source: ECMA-48, 5: what controls lies in 00 to 1F, 7F and 80 to 9F.
func TestNoNameControls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes")) + rapid.String().Draw(t, "text")
		var b bytes.Buffer
		n, err := people{Writer: &b}.Write([]byte(name))
		if err != nil || n != len(name) {
			t.Fatalf("%d of %d written: %v", n, len(name), err)
		}
		for _, got := range []string{Shown(name), strings.NewReplacer("\n", "", "\t", "").Replace(b.String())} {
			if !utf8.ValidString(got) || strings.ContainsFunc(got, func(r rune) bool { return r < ' ' || r >= 0x7f && r < 0xa0 }) {
				t.Fatalf("%q is shown as %q", name, got)
			}
		}
	})
}

// What people read of a name is shown so too.
func TestAnswersControlNothing(t *testing.T) {
	var out bytes.Buffer
	d := &Desk{Out: &out}
	if err := d.Show(nil, func(w io.Writer) { fmt.Fprintln(w, "Ada\x1b]0;gone\x07 Quill") }); err != nil || out.String() != `Ada\x1b]0;gone\a Quill`+"\n" {
		t.Errorf("%q, %v", out.String(), err)
	}
}
