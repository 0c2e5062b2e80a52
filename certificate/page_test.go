package certificate_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"solander/calendar"
	"solander/certificate"
)

// asked is one thing that is checked, by this room and by the programs of others.
type asked struct {
	Text string   `json:"text"`
	Keys []string `json:"keys"`
	List string   `json:"list"`
}

// cases are certificates of every fate.
func cases(t *testing.T) []asked {
	t.Helper()
	k, other := key(t, first), key(t, second)
	s := signed(t, statement(), k)
	p := proof(t, s, k, 5, 7)
	list := func(l certificate.List) string {
		l.Day = calendar.Date(2031, 4, 1)
		text, err := k.Sign(l.Text())
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	keys := []string{other.Verifier(), k.Verifier()}
	changed := s
	changed.Limit = 500
	strange := statement()
	strange.Title, strange.Artist = "Čekání na volavku — 待つ鷺", "Zoë d’Arc"
	away := p
	away.Index++
	file := s.File(facts, p)
	out := []asked{
		{s.Small(), keys, ""},
		{s.Large(p), keys, ""},
		{file, keys, ""},
		{strings.Replace(file, "in pencil", "in ink", 1), keys, ""},
		{"", keys, ""},
		{"SOL1:", keys, ""},
		{"SOL1:640", keys, ""},
		{"SOL2:ABCDEFG", keys, ""},
		{s.Small() + "0", keys, ""},
		{changed.Small(), keys, ""},
		{s.Large(away), keys, ""},
		{s.Small(), nil, ""},
		{s.Large(p), []string{other.Verifier()}, ""},
		{s.Large(proof(t, s, other, 5, 7)), keys, ""},
		{signed(t, strange, k).Small(), keys, ""},
		{s.Small(), []string{"none", "a+b+c"}, ""},
		{s.Small(), keys, list(certificate.List{Last: 12})},
		{s.Small(), keys, list(certificate.List{Last: 3})},
		{s.Large(p), keys, list(certificate.List{Last: 20, Ended: []certificate.Ended{{Serial: 12, Day: calendar.Date(2031, 3, 9)}}})},
		{s.Large(p), keys, list(certificate.List{Last: 20, Ended: []certificate.Ended{{Serial: 12, Day: calendar.Date(2031, 3, 9), By: 19}}})},
		{s.Small(), keys, certificate.List{Last: 99}.Text()},
		{s.Small(), keys, strings.Replace(list(certificate.List{Last: 3}), "last 3", "last 99", 1)},
	}
	for size := 1; size <= 20; size++ { // trees of every shape
		out = append(out, asked{s.Large(proof(t, s, k, size/2, size-size/2-1)), keys, ""})
	}
	for cut := 6; cut < len(s.Large(p)); cut += 17 {
		out = append(out, asked{s.Large(p)[:cut], keys, ""})
	}
	for i := 5; i < len(s.Small()); i += 3 {
		code := []byte(s.Small())
		if code[i] = '0'; s.Small()[i] == '0' {
			code[i] = '1'
		}
		out = append(out, asked{string(code), keys, ""})
	}
	return out
}

func page(t *testing.T) string {
	t.Helper()
	html, err := certificate.Page("Quay <Studio>", certificate.Known{Keys: []string{"k</script>"}, List: "x"})
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(html, "k</script>") || strings.Contains(html, "<Studio>") || strings.Contains(html, "@known@") || strings.Contains(html, "src=") {
		t.Error("the page lets a text in as it is, or asks for something")
	}
	if !strings.Contains(html, "The MIT License (MIT)") {
		t.Error("the library stands in the page without its licence")
	}
	file := filepath.Join(t.TempDir(), "check.html")
	if err := os.WriteFile(file, []byte(html), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// The page's own script, run by Node, comes to the same words: by WebCrypto (an independent Ed25519 and SHA-256), and by the library alone.
func TestPageComesToTheSame(t *testing.T) {
	t.Parallel()
	all, file := cases(t), page(t)
	for _, library := range []string{"", "1"} {
		cmd := exec.CommandContext(t.Context(), "node", "../tools/web/certificate.js", file)
		cmd.Env = append(os.Environ(), "LIBRARY="+library)
		compared(t, "library "+library, cmd, all)
	}
}

// A program in Python, written from docs/formats/certificate.md alone and with an Ed25519 of its own (RFC 8032, section 6), does too.
func TestPythonComesToTheSame(t *testing.T) {
	t.Parallel()
	all := cases(t)
	if testing.Short() {
		all = all[:30]
	}
	compared(t, "python", exec.CommandContext(t.Context(), "/usr/bin/python3", "testdata/check.py"), all)
}

func compared(t *testing.T, by string, cmd *exec.Cmd, all []asked) {
	t.Helper()
	raw, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stdin = bytes.NewReader(raw)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s", by, err, errs.String())
	}
	var got []struct {
		Word certificate.Word `json:"word"`
		Key  string           `json:"key"`
		Size int64            `json:"size"`
	}
	if err := json.Unmarshal(out, &got); err != nil || len(got) != len(all) {
		t.Fatalf("%s: %d answers of %d, %v", by, len(got), len(all), err)
	}
	seen := map[certificate.Word]int{}
	for i, c := range all {
		want := certificate.Check(c.Text, certificate.Known{Keys: c.Keys, List: c.List})
		seen[want.Word]++
		if got[i].Word != want.Word || want.Word.Good() && (got[i].Key != want.Key || got[i].Size != want.Size) {
			t.Errorf("%s, case %d, %.80q: %+v, want %s", by, i, c.Text, got[i], want.Word)
		}
	}
	if len(seen) < 8 {
		t.Errorf("only these words were seen: %v", seen)
	}
}
