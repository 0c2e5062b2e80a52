package api

import (
	"bytes"
	"encoding/json"
	"flag"
	"maps"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"solander/feed"
)

var update = flag.Bool("update", false, "write docs/formats/api.openapi.json anew")

const openAPIFile = "../docs/formats/api.openapi.json"

func description(t *testing.T) []byte {
	t.Helper()
	d := newDesk(t)
	a := d.call(sent{method: "GET", path: "/api/v1/openapi.json", token: "-"}).is(200)
	if a.header.Get("Content-Type") != "application/openapi+json" {
		t.Errorf("the media type is %q", a.header.Get("Content-Type"))
	}
	var b bytes.Buffer
	if err := json.Indent(&b, []byte(a.text), "", "  "); err != nil {
		t.Fatal(err)
	}
	return append(b.Bytes(), '\n')
}

// TestDescriptionIsKept holds that the description in the documents is the one that is served: a change of the calls
// is seen in it.
func TestDescriptionIsKept(t *testing.T) {
	got := description(t)
	if *update {
		if err := os.WriteFile(openAPIFile, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(openAPIFile)
	if err != nil || !bytes.Equal(kept, got) {
		t.Errorf("%s is not what is served (go test ./api -run Description -update writes it): %v", openAPIFile, err)
	}
}

type verdict struct {
	Valid   bool
	Version string
	Errors  []json.RawMessage
}

// validated asks the validator of tools/web.
func validated(t *testing.T, document []byte) verdict {
	t.Helper()
	cmd := exec.Command("node", "../tools/web/openapi.mjs")
	cmd.Stdin = bytes.NewReader(document)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, errs.String())
	}
	var v verdict
	if err := json.Unmarshal(out, &v); err != nil {
		t.Fatalf("%s: %v", out, err)
	}
	return v
}

func TestAnIndependentValidatorAgrees(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	document := description(t)
	if v := validated(t, document); !v.Valid || v.Version != "3.1" {
		t.Errorf("it is told %+v", v)
	}
	for _, change := range [][2]string{
		{`"openapi": "3.1.0"`, `"openapi": "9.1.0"`}, {`"in": "path"`, `"in": "somewhere"`}, {`"responses": {`, `"answers": {`}, {`#/components/schemas/Order"`, `#/components/schemas/Nothing"`},
	} {
		broken := strings.Replace(string(document), change[0], change[1], 1)
		if broken == string(document) {
			t.Fatalf("the description has no %s", change[0])
		}
		if v := validated(t, []byte(broken)); v.Valid {
			t.Errorf("with %s it is valid still", change[1])
		}
	}
}

// Every call that is described is there, needs a token, says its scope, and tells of its failures.
func TestDescribedCallsAreThere(t *testing.T) {
	var doc struct {
		Paths map[string]map[string]struct {
			OperationID string
			Description string
			Responses   map[string]json.RawMessage
		}
	}
	if err := json.Unmarshal(description(t), &doc); err != nil {
		t.Fatal(err)
	}
	d := newDesk(t)
	scopes := map[string]bool{}
	n := 0
	for _, path := range slices.Sorted(maps.Keys(doc.Paths)) {
		for method, op := range doc.Paths[path] {
			n++
			at := "/api/v1" + strings.ReplaceAll(path, "{ref}", "A-1")
			d.call(sent{method: strings.ToUpper(method), path: at, token: "-", body: "{}"}).problem(401, "unknown")
			scopes[strings.TrimSuffix(strings.TrimPrefix(op.Description, "Scope: "), ".")] = true
			for _, code := range []string{"401", "403", "422", "429", "500", "503"} {
				if op.Responses[code] == nil {
					t.Errorf("%s does not tell of %s", op.OperationID, code)
				}
			}
		}
	}
	if n != 22 {
		t.Errorf("%d calls are described, want 22", n)
	}
	for _, s := range feed.Scopes() {
		if scopes[string(s)] == (s == feed.HooksWrite) { // the web-hook's messages are of another's form
			t.Errorf("scope %s", s)
		}
	}
}
