package main

import (
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// The program as it runs: begun with --phones it is open to the local network of this machine, a code of the command line lets a phone
// in, what vouches for the computer stands beside the studio for its owner alone, and all is shut when the program ends.
func TestServedToPhones(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	home := t.TempDir()
	store := filepath.Join(home, "studio.db")
	run := func(args ...string) (out string, ok bool) {
		cmd := exec.Command(built, append(args, "--store", store)...)
		cmd.Env = []string{"HOME=" + home, "PATH=" + os.Getenv("PATH")}
		b, err := cmd.CombinedOutput()
		return string(b), err == nil
	}
	must := func(args ...string) string {
		t.Helper()
		out, ok := run(args...)
		if !ok {
			t.Fatalf("solander %s: %s", strings.Join(args, " "), out)
		}
		return out
	}
	must("set-up", "--file", filepath.Join("..", "..", "cli", "testdata", "studio.json"))
	must("people", "add", "Mara Ellis", "--role", "owner")
	said, err := os.CreateTemp(home, "said")
	if err != nil {
		t.Fatal(err)
	}
	defer said.Close()
	cmd := exec.Command(built, "serve", "--listen", "127.0.0.1:0", "--phones", "--phones-listen", ":0", "--store", store)
	cmd.Stdout, cmd.Stderr = said, said
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	text := func() string { b, _ := os.ReadFile(said.Name()); return string(b) }
	within(t, "the door opens, or says why not", func() bool {
		return strings.Contains(text(), "is open at") || strings.Contains(text(), "on no local network")
	})
	if strings.Contains(text(), "on no local network") {
		if err := <-ended; err == nil {
			t.Error("it goes on without a network")
		}
		return // a machine without one has nothing more to show
	}
	var offer struct{ Code, Address, Fingerprint string }
	if err := json.Unmarshal([]byte(must("phone", "let-in", "--json")), &offer); err != nil || !strings.Contains(text(), strings.TrimSuffix(offer.Address, "/phone")) {
		t.Fatalf("%+v, %v; served is %s", offer, err, text())
	}
	crt := filepath.Join(home, "solander.crt")
	if out := must("phone", "certificate", "-o", crt); !strings.Contains(out, offer.Fingerprint) {
		t.Errorf("the fingerprint is not %s: %s", offer.Fingerprint, out)
	}
	der, err := os.ReadFile(crt)
	if err != nil {
		t.Fatal(err)
	}
	ca, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AddCert(ca)
	jar, _ := cookiejar.New(nil)
	phone := &http.Client{Jar: jar, Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}, DisableKeepAlives: true}}
	// Her account was made on the command line: she is led to choose a password of her own first.
	res, err := phone.PostForm(offer.Address, url.Values{"code": {offer.Code}, "name": {"kitchen phone"}})
	if err != nil || res.StatusCode != 200 || res.Request.URL.Path != "/account/password" {
		t.Fatalf("the phone is not let in: %v, %v", res, err)
	}
	res.Body.Close()
	if out := must("phone", "list"); !strings.Contains(out, "kitchen phone") || !strings.Contains(out, "let in") {
		t.Errorf("the list: %s", out)
	}
	keys, err := filepath.Glob(filepath.Join(store+"-trust", "*.key"))
	if err != nil || len(keys) != 1 {
		t.Fatalf("keys: %v, %v", keys, err)
	}
	if info, err := os.Stat(keys[0]); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key: %v, %v", info.Mode(), err)
	}
	if out := must("phone", "end", "kitchen phone"); !strings.Contains(out, "is let in no more") {
		t.Errorf("ended: %s", out)
	}
	if res, err := phone.Get(strings.TrimSuffix(offer.Address, "/phone") + "/"); err != nil || res.StatusCode != 401 {
		t.Errorf("after its end: %v, %v", res, err)
	}
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := <-ended; err != nil {
		t.Errorf("it ended with %v: %s", err, text())
	}
	if _, err := os.Stat(filepath.Join(store+"-trust", "open.json")); err == nil {
		t.Error("the note that it is open stays")
	}
	if out, ok := run("phone", "let-in"); ok || !strings.Contains(out, "not open to the local network") {
		t.Errorf("after its end a code is made: %s", out)
	}
}
