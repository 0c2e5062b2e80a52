package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// fromNPM is where npm puts what tools/web/package.json names.
const fromNPM = "../../tools/web/node_modules"

// command runs the built program on a studio and returns what it answers in JSON.
func command(t *testing.T, store, stdin string, to any, args ...string) {
	t.Helper()
	cmd := exec.Command(built, append(args, "--store", store, "--json")...)
	cmd.Env = append(os.Environ(), "HOME="+t.TempDir(), "XDG_DATA_HOME=", "SOLANDER_STORE=")
	cmd.Stdin = strings.NewReader(stdin)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %v %s", args, err, errs.String())
	}
	if to != nil {
		if err := json.Unmarshal(out, to); err != nil {
			t.Fatalf("%v answers %s: %v", args, out, err)
		}
	}
}

// node runs a program of JavaScript in a folder.
func node(t *testing.T, dir string, stdin io.Reader, args ...string) []byte {
	t.Helper()
	cmd := exec.Command("node", args...)
	cmd.Dir, cmd.Stdin = dir, stdin
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("node %v: %v\n%s%s", args, err, out, errs.String())
	}
	return out
}

const tillMapping = `{"format": "solander-hook/1",
	"order": {"ref": "/id", "buyer.name": "/who", "ship_to.line1": "/street", "ship_to.city": "/town", "ship_to.region": "/state", "ship_to.postcode": "/zip", "ship_to.country": "US"},
	"lines": "/items", "line": {"edition": "/sku", "price": "/each"}, "editions": {"HERON": 1}}`

// TestClientInAnotherLanguage generates a client in TypeScript from the description that a serving program itself
// answers, compiles it, and lets it make orders there.
func TestClientInAnotherLanguage(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	modules, err := filepath.Abs(fromNPM)
	if err != nil {
		t.Fatal(err)
	}
	store := filepath.Join(t.TempDir(), "studio.db")
	setUp, err := os.ReadFile("../../cli/testdata/studio.json")
	if err != nil {
		t.Fatal(err)
	}
	command(t, store, string(setUp), nil, "set-up", "--file", "-")
	var feed struct{ Token string }
	command(t, store, "", &feed, "feed", "add", "Web", "--outlet", "fair", "--scope", "orders:write,orders:read,payments:write,buyers:write,addresses:write,editions:read,hooks:write")
	var hook struct{ Secret string }
	command(t, store, "", &hook, "feed", "secret", "1")
	command(t, store, tillMapping, nil, "feed", "mapping", "1", "--file", "-")
	serving, address := started(t, "serve", "--store", store)
	defer ends(t, serving, syscall.SIGTERM)

	dir := t.TempDir()
	if err := os.Symlink(modules, filepath.Join(dir, "node_modules")); err != nil {
		t.Fatal(err)
	}
	client, err := os.ReadFile("../../tools/web/client.ts")
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string][]byte{"client.ts": client, "openapi.json": described(t, address), "package.json": []byte(`{"type": "module"}`)} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	// The client needs no more of the language's surroundings than is declared here.
	surroundings := `declare module "node:crypto" { export function createHmac(kind: string, key: string): { update(text: string): ReturnType<typeof createHmac>; digest(form: "hex"): string }; }
declare const process: { argv: string[] };`
	if err := os.WriteFile(filepath.Join(dir, "surroundings.d.ts"), []byte(surroundings), 0o600); err != nil {
		t.Fatal(err)
	}
	node(t, dir, nil, filepath.Join(modules, "openapi-typescript/bin/cli.js"), "openapi.json", "-o", "api.d.ts")
	node(t, dir, nil, filepath.Join(modules, "typescript/bin/tsc"), "--strict", "--noUncheckedIndexedAccess", "--module", "nodenext", "--moduleResolution", "nodenext",
		"--target", "es2022", "--lib", "es2022,dom,dom.iterable", "--skipLibCheck", "client.ts", "surroundings.d.ts")
	out := node(t, dir, nil, "client.js", address, feed.Token, "1", hook.Secret)
	if !strings.Contains(string(out), "all calls answered as described") {
		t.Errorf("it says %s", out)
	}
	var orders struct{ Rows []json.RawMessage }
	command(t, store, "", &orders, "orders")
	if len(orders.Rows) != 2 {
		t.Errorf("%d orders stand in the book, want one of the calls and one of the message", len(orders.Rows))
	}
}

// described asks a serving program for its description.
func described(t *testing.T, address string) []byte {
	t.Helper()
	res, err := http.Get(address + "api/v1/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != http.StatusOK {
		t.Fatalf("%d %v", res.StatusCode, err)
	}
	return body
}
