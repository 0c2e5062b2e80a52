package main

import (
	"bufio"
	"crypto/rand"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
)

// machine is where the program of a target is run.
type machine struct {
	t       *testing.T
	by      []string // what runs programs of that target here, and the program
	folder  string
	environ []string
}

// on returns the machine that runs a program of a target here, or leaves the test out.
func (sys target) on(t *testing.T, program string) machine {
	m := machine{t: t, folder: filepath.Join(t.TempDir(), "Inés' prints"), environ: os.Environ()}
	if err := os.Mkdir(m.folder, 0o700); err != nil {
		t.Fatal(err)
	}
	var by string
	switch {
	case sys.system == runtime.GOOS && sys.processor == runtime.GOARCH:
	case sys == target{"linux", "arm64"}:
		by = "qemu-aarch64"
	case sys == target{"windows", "amd64"}:
		by = "wine64"
	default:
		t.Skip("built, and not run: nothing here runs such a program")
	}
	if by != "" {
		path, err := exec.LookPath(by)
		if err != nil {
			t.Skipf("built, and not run: there is no %s here", by)
		}
		m.by = []string{path}
	}
	if by == "wine64" {
		m.underWine()
	}
	m.by = append(m.by, program)
	m.environ = append(m.environ, "HOME="+m.folder, "PATH="+m.folder) // no browser is there
	return m
}

// underWine makes a machine of Windows. A Wine before 9 lacks the library that Go takes its chance from: what it names is taken from where Wine has it.
func (m *machine) underWine() {
	prefix := filepath.Join(m.t.TempDir(), "wine")
	m.environ = append(m.environ, "WINEPREFIX="+prefix, "WINEDEBUG=-all")
	begin := exec.Command(m.by[0], "wineboot", "--init")
	begin.Env = m.environ
	if said, err := begin.CombinedOutput(); err != nil {
		m.t.Fatalf("wine: %v\n%s", err, said)
	}
	m.t.Cleanup(func() { // what serves that machine alone ends
		for _, server := range []string{"wineserver", "/usr/lib/wine/wineserver64"} {
			end := exec.Command(server, "--kill", "--wait")
			end.Env = m.environ
			if end.Run() == nil {
				return
			}
		}
	})
	const library = "bcryptprimitives.dll"
	path := filepath.Join(prefix, "drive_c", "windows", "system32", library)
	if _, err := os.Stat(path); err == nil {
		return
	}
	if err := os.WriteFile(path, forwarder(m.t, library, "ProcessPrng", "advapi32.SystemFunction036"), 0o600); err != nil {
		m.t.Fatal(err)
	}
}

// command is a run of the program, not yet begun.
func (m machine) command(store string, args ...string) *exec.Cmd {
	words := append(slices.Clone(m.by), args...)
	cmd := exec.Command(words[0], words[1:]...)
	cmd.Dir = m.folder
	cmd.Env = append(slices.Clone(m.environ), "SOLANDER_STORE="+store)
	return cmd
}

func (m machine) run(store string, args ...string) string {
	m.t.Helper()
	cmd := m.command(store, args...)
	var out, errs strings.Builder
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		m.t.Fatalf("%v: %v\n%s%s", args, err, out.String(), errs.String())
	}
	return out.String()
}

func (m machine) sell(store, ref string) {
	m.t.Helper()
	m.run(store, "sale", "--outlet", "own", "--ref", ref, "--buyer", "Ines Halloran", "--email", "ines@example.org", "--print", "heron",
		"--line1", "8 Quince Lane", "--city", "Pinfold", "--region", "PA", "--postcode", "19103", "--paid", "120")
}

// runs sets a studio up, sells, copies the studio and restores the copy, and opens it in pages beside which another program sells.
func (sys target) runs(t *testing.T, program string) {
	m := sys.on(t, program)
	if err := os.WriteFile(filepath.Join(m.folder, "studio.json"), read(t, "cli", "testdata", "studio.json"), 0o600); err != nil {
		t.Fatal(err)
	}
	from, err := commit()
	if err != nil {
		t.Fatal(err)
	}
	if said := m.run("first.db", "version"); !strings.Contains(said, from.version) {
		t.Errorf("built from %s, it says %s", from.version, said)
	}
	m.run("first.db", "set-up", "--file", "studio.json")
	m.sell("first.db", "W-77")
	m.run("first.db", "backup", "studio.copy")
	// Windows takes no longer path than 260 signs from a program that does not ask for more. Source: Microsoft, "Maximum Path Length Limitation".
	deep := filepath.Join(slices.Repeat([]string{"a folder with a name of some length"}, 9)...)
	if err := os.MkdirAll(filepath.Join(m.folder, deep), 0o700); err != nil {
		t.Fatal(err)
	}
	second := strings.ReplaceAll(filepath.Join(deep, "second.db"), "/", string(sys.parts()))
	m.run(second, "restore", "studio.copy")
	for _, place := range []string{"first.db", second} {
		if said := m.run(place, "check"); !strings.Contains(said, "sound") {
			t.Errorf("%s: check says %s", place, said)
		}
	}
	if a, b := m.run("first.db", "orders", "--json"), m.run(second, "orders", "--json"); a != b || !strings.Contains(a, "Ines Halloran") {
		t.Errorf("the copy holds other orders:\n%s\n%s", a, b)
	}
	m.opens("first.db")
}

// parts is what parts the names of a path.
func (sys target) parts() rune {
	if sys.system == "windows" {
		return '\\'
	}
	return '/'
}

var openAt = regexp.MustCompile(`the studio is open at (http://127\.0\.0\.1:\d+/)`)

// opens opens a studio as a double click does, sells beside it, starts the program once more, and closes it by its page.
func (m machine) opens(store string) {
	t := m.t
	cmd := m.command(store, "serve", "--browser", "--listen", "127.0.0.1:0")
	said, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var errs strings.Builder
	cmd.Stderr = &errs
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	line, err := bufio.NewReader(said).ReadString('\n')
	found := openAt.FindStringSubmatch(line)
	if found == nil {
		t.Fatalf("it says %q, %v\n%s", line, err, errs.String())
	}
	address := found[1]
	page := func() string {
		t.Helper()
		client := http.Client{Timeout: 2 * time.Minute}
		res, err := client.Get(address + "orders")
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		body, err := io.ReadAll(res.Body)
		if err != nil || res.StatusCode != http.StatusOK {
			t.Fatalf("%d %v\n%.500s", res.StatusCode, err, body)
		}
		return string(body)
	}
	if !strings.Contains(page(), "S-1001") {
		t.Error("the page of the orders lacks the first one")
	}
	m.sell(store, "W-78")
	if !strings.Contains(page(), "S-1002") {
		t.Error("the page of the orders lacks the one that another program took")
	}
	if said := m.run(store, "serve", "--browser", "--listen", "127.0.0.1:0"); !strings.Contains(said, "is open already at "+address) {
		t.Errorf("started once more, it says %s", said)
	}
	res, err := http.PostForm(address+"studio/close", url.Values{"once": {rand.Text()}})
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if err := cmd.Wait(); err != nil || res.StatusCode != http.StatusOK {
		t.Errorf("closed, which is answered %d, it ends with %v\n%s", res.StatusCode, err, errs.String())
	}
	for _, tail := range []string{"-wal", "-open"} {
		if _, err := os.Stat(filepath.Join(m.folder, store+tail)); err == nil {
			t.Errorf("%s lies there still", store+tail)
		}
	}
	if said := m.run(store, "check"); !strings.Contains(said, "sound") {
		t.Errorf("afterwards check says %s", said)
	}
}
