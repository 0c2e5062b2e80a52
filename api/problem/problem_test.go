package problem

import (
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/internal/pointer"
)

const types = "/v1/problems/"

// validationExample is the second example of RFC 9457, 3 (from memory): two faults with their places.
const validationExample = `{
	"type": "https://example.net/validation-error",
	"title": "Your request is not valid.",
	"errors": [
		{"detail": "must be a positive integer", "pointer": "#/age"},
		{"detail": "must be 'green', 'red' or 'blue'", "pointer": "#/profile/color"}
	]
}`

// Faults of a body become members of the same names and forms as in the standard's example.
func TestValidationExampleOfTheStandard(t *testing.T) {
	body := []byte(`{"age": -1, "profile": {"color": "mauve"}}`)
	err := errors.Join(fault.Invalidf("age", "must be a positive integer"), fault.Invalidf("profile.color", "must be 'green', 'red' or 'blue'"))
	w := httptest.NewRecorder()
	if err := Of(InBody(err, body, nil), types).Write(w); err != nil {
		t.Fatal(err)
	}
	type shared struct {
		Errors []struct {
			Detail  string
			Pointer string
		}
	}
	var want, got shared
	for text, to := range map[string]*shared{validationExample: &want, w.Body.String(): &got} {
		if err := json.Unmarshal([]byte(text), to); err != nil {
			t.Fatal(err)
		}
	}
	if diff := cmp.Diff(want, got); diff != "" || len(want.Errors) != 2 {
		t.Errorf("errors: %s", diff)
	}
	// 3.1: the media type, and a status that is the response's own.
	if ct := w.Header().Get("Content-Type"); ct != "application/problem+json" || w.Code != http.StatusUnprocessableEntity {
		t.Errorf("%d %s", w.Code, ct)
	}
	doc, err := pointer.Document(body)
	if err != nil {
		t.Fatal(err)
	}
	for i, value := range []any{json.Number("-1"), "mauve"} {
		plain, err := url.PathUnescape(strings.TrimPrefix(got.Errors[i].Pointer, "#"))
		p, ok := pointer.Parse(plain)
		if v, there := p.In(doc); err != nil || !ok || !there || v != value {
			t.Errorf("%s points at %v", got.Errors[i].Pointer, v)
		}
	}
}

// Source: RFC 9457, 3 and 4.2.1 (read in part): the members, and that about:blank has the title of its status.
func TestMembers(t *testing.T) {
	p := Plain(http.StatusUnsupportedMediaType, "no")
	b, err := json.Marshal(p)
	if err != nil || string(b) != `{"type":"about:blank","title":"Unsupported Media Type","status":415,"detail":"no"}` {
		t.Errorf("%s %v", b, err)
	}
}

func TestEveryCodeHasItsWords(t *testing.T) {
	for _, code := range fault.Codes() {
		p := Of(fault.New(code, "what").ToMend("mend").At("place"), types)
		if p.Title == "" || meanings[code] == "" || p.Status < 400 || p.Errors[0].Mend != "mend" || p.Errors[0].Where != "place" {
			t.Errorf("%s: %+v", code, p)
		}
		w := httptest.NewRecorder()
		r := httptest.NewRequest("GET", p.Type, nil)
		r.SetPathValue("code", strings.TrimPrefix(p.Type, types))
		if Explain(w, r); w.Code != 200 || !strings.Contains(w.Body.String(), meanings[code]) {
			t.Errorf("%s is explained by %d %s", p.Type, w.Code, w.Body)
		}
	}
	if len(titles) != len(fault.Codes()) || len(meanings) != len(fault.Codes()) {
		t.Error("there are words for codes that are none")
	}
}

func TestOwnFailuresAreNotShown(t *testing.T) {
	p := Of(errors.New("disk sector 7 is bad"), types)
	if b, _ := json.Marshal(p); p.Status != 500 || strings.Contains(string(b), "sector") {
		t.Errorf("it shows %s", b)
	}
}

func TestRetryAfter(t *testing.T) {
	for wait, want := range map[time.Duration]string{time.Nanosecond: "1", time.Second: "1", 1001 * time.Millisecond: "2", time.Minute: "60"} {
		if got := retryAfter(wait); got != want {
			t.Errorf("%v: %s", wait, got)
		}
	}
}
