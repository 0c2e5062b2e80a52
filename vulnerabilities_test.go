package solander_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestVulnerabilitiesScript holds that what is found fails, and that what cannot be looked up is said in one line and fails nothing.
// That govulncheck returns 3 when it finds something: its own documentation, "Exit codes".
func TestVulnerabilitiesScript(t *testing.T) {
	for name, c := range map[string]struct {
		program string
		code    int
		said    string
	}{
		"nothing found":       {"exit 0", 0, ""},
		"found":               {"echo 'GO-2031-0001 is called'; exit 3", 1, "GO-2031-0001 is called\n"},
		"found in the house":  {`[ "$1" = ./fault ] && exit 0; echo 'GO-2031-0002 is called'; exit 3`, 1, "GO-2031-0002 is called\n"},
		"no network":          {"echo; echo 'govulncheck: no such host' >&2; exit 1", 0, "lint: known vulnerabilities were not checked: govulncheck: no such host\n"},
		"network lost midway": {`[ "$1" = ./fault ] && exit 0; echo 'govulncheck: reset' >&2; exit 1`, 0, "lint: known vulnerabilities were not checked: govulncheck: reset\n"},
		"no answer":           {"exec sleep 60", 0, "lint: known vulnerabilities were not checked: the database did not answer within 1 seconds\n"},
	} {
		t.Run(name, func(t *testing.T) {
			program := filepath.Join(t.TempDir(), "ask")
			if err := os.WriteFile(program, []byte("#!/bin/sh\n"+c.program+"\n"), 0o700); err != nil {
				t.Fatal(err)
			}
			cmd := exec.Command("scripts/vulnerabilities.sh")
			cmd.Env = append(os.Environ(), "GOVULNCHECK="+program, "PATIENCE=30")
			if name == "no answer" {
				cmd.Env = append(cmd.Env, "PATIENCE=1")
			}
			out, err := cmd.CombinedOutput()
			if code := cmd.ProcessState.ExitCode(); code != c.code || string(out) != c.said {
				t.Errorf("it returns %d (%v) and says %q", code, err, out)
			}
		})
	}
	lint, err := os.ReadFile("scripts/lint.sh")
	if err != nil || !strings.Contains(string(lint), "scripts/vulnerabilities.sh || failed=1") {
		t.Errorf("make lint does not ask: %v", err)
	}
}
