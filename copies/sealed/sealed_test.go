package sealed_test

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"solander/copies/sealed"
	"solander/fault"
)

func to(t *testing.T, text []byte, seal func(io.Writer) (io.WriteCloser, error)) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := seal(&b)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(text); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func open(data []byte, key string) ([]byte, error) {
	r, err := sealed.Open(bytes.NewReader(data), key)
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

var text = bytes.Repeat([]byte("three parcels of a day\n"), 20_000) // seven chunks of the format, the last one short

func TestOpensWithItsKeyAlone(t *testing.T) {
	secret, public, err := sealed.NewKey()
	if err != nil {
		t.Fatal(err)
	}
	data := to(t, text, func(w io.Writer) (io.WriteCloser, error) { return sealed.To(w, public) })
	if got, err := open(data, sealed.KeyFile(secret, "0123456789abcdef")); err != nil || !bytes.Equal(got, text) {
		t.Fatalf("it comes back as %d bytes, %v", len(got), err)
	}
	if bytes.Contains(data, text[:40]) {
		t.Error("it can be read without a key")
	}
	other, _, err := sealed.NewKey()
	if err != nil {
		t.Fatal(err)
	}
	flipped := bytes.Clone(data)
	flipped[len(flipped)/2] ^= 1
	for what, c := range map[string]struct {
		data []byte
		key  string
	}{
		"another key": {data, other}, "no key": {data, " "}, "a key cut off": {data, secret[:40]}, "a flipped bit": {flipped, secret},
		"cut off within": {data[:len(data)/2], secret}, "cut off at a chunk": {data[:len(data)-len(text)%(64<<10)-16], secret}, "nothing": {nil, secret}, "something behind": {append(bytes.Clone(data), 'x'), secret},
	} {
		if _, err := open(c.data, c.key); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", what, err)
		}
	}
	if yes, all, err := sealed.Is(bytes.NewReader(data)); !yes || err != nil {
		t.Errorf("it is not seen that it is sealed: %v", err)
	} else if back, _ := io.ReadAll(all); !bytes.Equal(back, data) {
		t.Error("the look takes something away")
	}
	for _, plain := range []string{"", "age", "\x1f\x8b plain"} {
		if yes, _, err := sealed.Is(strings.NewReader(plain)); yes || err != nil {
			t.Errorf("%q is taken for sealed: %v", plain, err)
		}
	}
}

func TestOpensByPassphrase(t *testing.T) {
	words := sealed.NewPassphrase()
	data := to(t, text, func(w io.Writer) (io.WriteCloser, error) { return sealed.By(w, words) })
	for _, typed := range []string{words, " " + strings.ToLower(strings.ReplaceAll(words, "-", " ")) + "\n"} {
		if got, err := open(data, typed); err != nil || !bytes.Equal(got, text) {
			t.Errorf("%q: %d bytes, %v", typed, len(got), err)
		}
	}
	if _, err := open(data, sealed.NewPassphrase()); !fault.Is(err, fault.Invalid) {
		t.Errorf("another passphrase: %v", err)
	}
}

// The reference program of the format opens what is sealed here, and is opened here.
func TestTheReferenceProgramOpensIt(t *testing.T) {
	program, err := exec.LookPath("age")
	if err != nil {
		t.Fatal("the program age (package age of Debian) is not here: ", err)
	}
	secret, public, err := sealed.NewKey()
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	key, file := filepath.Join(folder, "key.txt"), filepath.Join(folder, "copy.age")
	data := to(t, text, func(w io.Writer) (io.WriteCloser, error) { return sealed.To(w, public) })
	for name, b := range map[string][]byte{key: []byte(sealed.KeyFile(secret, "0123456789abcdef")), file: data} {
		if err := os.WriteFile(name, b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	got, err := exec.CommandContext(t.Context(), program, "--decrypt", "--identity", key, file).Output()
	if err != nil || !bytes.Equal(got, text) {
		t.Errorf("it reads %d bytes, %v", len(got), err)
	}
	seal := exec.CommandContext(t.Context(), program, "--encrypt", "--recipient", public)
	seal.Stdin = bytes.NewReader(text)
	theirs, err := seal.Output()
	if err != nil {
		t.Fatal(err)
	}
	if got, err := open(theirs, secret); err != nil || !bytes.Equal(got, text) {
		t.Errorf("what it seals comes back as %d bytes, %v", len(got), err)
	}
}
