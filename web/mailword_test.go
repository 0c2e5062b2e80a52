package web

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"solander/internal/mailtest"
	"solander/mailing/server"
)

// unzipped is a body with whatever it holds in compressed form behind it.
func unzipped(t *testing.T, body []byte) string {
	t.Helper()
	out := string(body)
	read := func(r io.Reader, err error) {
		if err != nil {
			t.Fatal(err)
		}
		all, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out += string(all)
	}
	switch {
	case bytes.HasPrefix(body, []byte("\x1f\x8b")):
		r, err := gzip.NewReader(bytes.NewReader(body))
		read(r, err)
	case bytes.HasPrefix(body, []byte("PK\x03\x04")):
		z, err := zip.NewReader(bytes.NewReader(body), int64(len(body)))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range z.File {
			r, err := f.Open()
			read(r, err)
		}
	}
	return out
}

// The password of the mail server lies in its own file, for the owner's eyes alone, and in nothing that is given away: no page, no file that a page
// gives out, no copy of the studio, no line of the log, also when the server takes no letter.
func TestTheMailPasswordStaysInItsFile(t *testing.T) {
	if testing.Short() {
		t.Skip("it asks for every page: make test runs it")
	}
	t.Parallel()
	const word = "weir-and-sluice-7"
	s := furnished(t)
	place := filepath.Join(t.TempDir(), "mail")
	s.face.owed.Mail = server.File{Path: place}
	shut := (&mailtest.Box{User: "ada", Password: word, Refuse: "550 5.1.1 no such mailbox"}).Open(t)
	s.leads(s.post("/earnings/papers/mail", "host", shut.Host, "port", strconv.Itoa(shut.Port), "tls", "plain", "from", "ada@example.org", "user", "ada", "password", word), "/earnings/papers?said=mailserver")
	kept, err := os.ReadFile(place)
	s.must(err)
	if is, named, err := s.face.owed.Mail.Read(); err != nil || !named || is.Password != word {
		t.Fatalf("it is not kept: nothing would be tested: %v", err)
	}
	if strings.Contains(string(kept), word) {
		t.Error("its own file gives it away")
	}
	about, err := os.Stat(place)
	s.must(err)
	if about.Mode().Perm() != 0o600 {
		t.Errorf("its file may be read by others: %v", about.Mode())
	}
	if got := s.post("/orders/S-1001/reminder"); got.status == 303 {
		t.Error("a server that takes nothing took a letter")
	}
	looked, packed := 0, 0
	for _, path := range s.paths() {
		got := s.get(path)
		text := unzipped(t, got.body)
		if looked++; len(text) > len(got.body) {
			packed++
		}
		if strings.Contains(text, word) {
			t.Errorf("%s gives it away", path)
		}
	}
	if looked < 100 || packed == 0 {
		t.Errorf("%d answers were looked at, %d of them packed", looked, packed)
	}
	var copied bytes.Buffer
	s.must(s.studio.Store.Dump(s.ctx(), &copied))
	if strings.Contains(unzipped(t, copied.Bytes()), word) {
		t.Error("a copy of the studio gives it away")
	}
	if strings.Contains(s.log.String(), word) {
		t.Error("the log gives it away")
	}
}
