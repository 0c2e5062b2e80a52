package strict

import (
	"os/exec"
	"strings"
	"testing"
)

// TestAsSaved: what a shell or an editor of Windows saves is read; what is broken in it is refused. The encodings are made by iconv,
// which is not ours (POSIX.1-2017).
func TestAsSaved(t *testing.T) {
	const text = "{\r\n\t\"name\": \"Inés Vale, 𝔙\"\r\n}\r\n"
	type named struct {
		Name string `json:"name"`
	}
	read := func(data []byte) (n named, err error) { return n, Decode(AsSaved(data), &n) }
	encoded := func(as string) []byte {
		cmd := exec.Command("iconv", "--from-code", "UTF-8", "--to-code", as)
		cmd.Stdin = strings.NewReader("\uFEFF" + text)
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	for _, as := range []string{"UTF-8", "UTF-16LE", "UTF-16BE"} {
		if n, err := read(encoded(as)); err != nil || n.Name != "Inés Vale, 𝔙" {
			t.Errorf("%s: %q, %v", as, n.Name, err)
		}
	}
	if n, err := read([]byte(text)); err != nil || n.Name != "Inés Vale, 𝔙" {
		t.Errorf("without a mark: %q, %v", n.Name, err)
	}
	whole := encoded("UTF-16LE")
	for what, broken := range map[string][]byte{"cut within a sign": whole[:len(whole)-1], "half of a pair": append(whole[:2:2], 0x00, 0xD8, 0x20, 0x00), "no mark": whole[2:]} {
		if n, err := read(broken); err == nil {
			t.Errorf("%s: it is read as %q", what, n.Name)
		}
	}
}
