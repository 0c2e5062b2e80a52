package api

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/book"
	"solander/fault"
	"solander/feed"
	"solander/feeds"
	"solander/intake/hook"
	"solander/internal/pointer"
	"solander/studio"
)

var httpBlock = regexp.MustCompile("(?s)```http\n(.*?)```")

// TestExamplesOfTheCalls runs the examples of docs/formats/api.md in turn, each a request and its answer. -update
// writes the answers anew.
func TestExamplesOfTheCalls(t *testing.T) {
	const page = "../docs/formats/api.md"
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	blocks := httpBlock.FindAllStringSubmatchIndex(string(text), -1)
	if len(blocks) < 10 || len(blocks)%2 != 0 {
		t.Fatalf("%d examples on the page", len(blocks))
	}
	d := newDesk(t)
	var now bytes.Buffer
	last := 0
	for i := 0; i < len(blocks); i += 2 {
		got := d.example(string(text[blocks[i][2]:blocks[i][3]]))
		want := string(text[blocks[i+1][2]:blocks[i+1][3]])
		if diff := cmp.Diff(want, got); diff != "" && !*update {
			t.Errorf("example %d (-page +answer):\n%s", i/2+1, diff)
		}
		now.Write(text[last:blocks[i+1][2]])
		now.WriteString(got)
		last = blocks[i+1][3]
	}
	if *update {
		now.Write(text[last:])
		if err := os.WriteFile(page, now.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// example sends a request as it stands on the page and writes the answer as it is to stand there.
func (d *desk) example(text string) string {
	d.Helper()
	text = strings.ReplaceAll(text, "TOKEN", d.feed.Token)
	head, body, _ := strings.Cut(text, "\n\n")
	r, err := http.ReadRequest(bufio.NewReader(strings.NewReader(strings.ReplaceAll(head, "\n", "\r\n") + "\r\n\r\n")))
	if err != nil {
		d.Fatalf("%v: %s", err, text)
	}
	a := d.call(sent{method: r.Method, path: r.RequestURI, body: strings.TrimSuffix(body, "\n"), key: "-", header: r.Header})
	var b strings.Builder
	fmt.Fprintf(&b, "HTTP/1.1 %d %s\n", a.code, http.StatusText(a.code))
	for _, name := range []string{"Content-Type", "ETag", "Location", "WWW-Authenticate"} {
		if v := a.header.Get(name); v != "" {
			fmt.Fprintf(&b, "%s: %s\n", name, v)
		}
	}
	return b.String() + "\n" + broad(d, a.text)
}

// broad writes an object with one member a line, and each of a list of objects on a line of its own.
func broad(t testing.TB, text string) string {
	t.Helper()
	dec := json.NewDecoder(strings.NewReader(text))
	if _, err := dec.Token(); err != nil {
		t.Fatal(err)
	}
	var lines []string
	for dec.More() {
		name, err := dec.Token()
		if err != nil {
			t.Fatal(err)
		}
		var v json.RawMessage
		if err := dec.Decode(&v); err != nil {
			t.Fatal(err)
		}
		value := strings.ReplaceAll(string(v), `},{`, "},\n    {")
		if value != string(v) {
			value = "[\n    " + strings.TrimSuffix(strings.TrimPrefix(value, "["), "]") + "\n  ]"
		}
		lines = append(lines, fmt.Sprintf("  %q: %s", name, value))
	}
	return "{\n" + strings.Join(lines, ",\n") + "\n}\n"
}

func block(t *testing.T, text, kind string) string {
	t.Helper()
	m := regexp.MustCompile("(?s)```json " + kind + "\n(.*?)```").FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("the page shows no %s", kind)
	}
	return m[1]
}

// The mapping, the message, the answer and the signature of docs/formats/hook.md belong together.
func TestExamplesOfTheHook(t *testing.T) {
	b, err := os.ReadFile("../docs/formats/hook.md")
	if err != nil {
		t.Fatal(err)
	}
	page := string(b)
	d := newDesk(t)
	m, err := feeds.ChangeHookMapping(d.ctx(), d.studio, 0, studio.Whole(feed.Mapping{Name: "till", Body: json.RawMessage(block(t, page, "mapping"))}))
	d.must(err)
	d.must(feeds.SetFeedMapping(d.ctx(), d.studio, d.feed.ID, m.ID))
	secret, err := feeds.AddFeedSecret(d.ctx(), d.studio, d.feed.ID, "")
	d.must(err)
	k := till{d, fmt.Sprint("/hooks/", d.feed.ID), secret}
	a := k.send(block(t, page, "message"), noon).is(201)
	want, err := pointer.Document([]byte(block(t, page, "answer")))
	d.must(err)
	got, err := pointer.Document([]byte(a.text))
	d.must(err)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	v, err := book.OrderByMark(d.ctx(), d.studio, "S-1001")
	d.must(err)
	if len(v.Lines) != 2 || !v.Owed.IsZero() || v.BuyerData.Name != "Ada Quill" {
		t.Errorf("the order is %+v", v.Order)
	}
	signature := signed("an example secret 1", 1, time.Unix(1776182400, 0), []byte(`{"id": 7}`))
	if !strings.Contains(page, "\n    "+signature+"\n") {
		t.Errorf("the page does not show the signature %s", signature)
	}
	for _, form := range hook.DayForms() {
		if !strings.Contains(page, "`"+form+"`") {
			t.Errorf("the page does not name the form of days %s", form)
		}
	}
}

// Every code has its row on the page.
func TestPageNamesEveryProblem(t *testing.T) {
	b, err := os.ReadFile("../docs/formats/api.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, code := range fault.Codes() {
		if !regexp.MustCompile(`(?m)^\| \d{3} \| ` + "`" + string(code) + "`" + ` \|`).Match(b) {
			t.Errorf("the page has no row for %s", code)
		}
	}
	for _, s := range feed.Scopes() {
		if !bytes.Contains(b, []byte("| `"+string(s)+"` |")) {
			t.Errorf("the page has no row for %s", s)
		}
	}
}
