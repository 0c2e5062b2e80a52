package server

import (
	"crypto/x509"
	"io"
	"mime"
	"mime/quotedprintable"
	"net/http/httptest"
	"net/mail"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"solander/fault"
	"solander/internal/mailtest"
	"solander/mailing"
	"solander/store/vault"
)

var draft = mailing.Draft{
	ToName: "Noor Ashgrove", To: "noor@example.org", Subject: "Order S-1 — open\r\nBcc: all@example.org", Text: "Dear Noor,\n\n80 € are open.\n.\nBye",
	At: time.Date(2031, 3, 4, 5, 6, 7, 0, time.UTC),
}

// A letter goes by each way that the server may speak (STARTTLS of RFC 3207, TLS from the first byte of RFC 8314, none on this computer), and
// another reader (net/mail) reads what came. The certificate is that of Go's own test server.
func TestLettersGoByTheServer(t *testing.T) {
	t.Parallel()
	web := httptest.NewTLSServer(nil)
	defer web.Close()
	roots := x509.NewCertPool()
	roots.AddCert(web.Certificate())
	of := web.TLS.Clone()
	of.NextProtos = nil
	for way, box := range map[TLS]*mailtest.Box{
		StartTLS: {StartTLS: of, User: "ada", Password: "weir and sluice"},
		Implicit: {Implicit: of, User: "ada", Password: "weir and sluice"},
		Plain:    {User: "ada", Password: "weir and sluice"},
	} {
		box.Open(t)
		s := Server{Host: box.Host, Port: box.Port, TLS: way, User: "ada", Password: "weir and sluice", From: "ada@example.org", roots: roots}
		if err := s.Send(t.Context(), "Ada Quill", draft); err != nil {
			t.Fatalf("%s: %v", way, err)
		}
		if len(box.Letters()) != 1 {
			t.Fatalf("%s: %d letters", way, len(box.Letters()))
		}
		m, err := mail.ReadMessage(strings.NewReader(box.Letters()[0]))
		if err != nil {
			t.Fatal(err)
		}
		subject, err := new(mime.WordDecoder).DecodeHeader(m.Header.Get("Subject"))
		text, err2 := io.ReadAll(quotedprintable.NewReader(m.Body))
		if err != nil || err2 != nil || subject != "Order S-1 — open Bcc: all@example.org" || m.Header.Get("Bcc") != "" || strings.TrimRight(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n") != draft.Text {
			t.Errorf("%s: %q, %q, %v, %v", way, subject, text, err, err2)
		}
		if m.Header.Get("From") != `"Ada Quill" <ada@example.org>` || m.Header.Get("To") != `"Noor Ashgrove" <noor@example.org>` || !strings.HasSuffix(m.Header.Get("Message-ID"), "@example.org>") {
			t.Errorf("%s: %v", way, m.Header)
		}
		if said := box.Said(); !strings.Contains(said, "RCPT TO:<noor@example.org>") || strings.Contains(said, "all@example.org") {
			t.Errorf("%s: it was said %q", way, said)
		}

		s.Password = "guess"
		err = s.Send(t.Context(), "Ada Quill", draft)
		if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "wrong user or password") || strings.Contains(err.Error(), "guess") || len(box.Letters()) != 1 {
			t.Errorf("%s with a wrong password: %v", way, err)
		}
	}
}

// Without TLS nothing is said to a server that should speak it, neither by one that offers none nor by one whose certificate nobody vouches for; what it
// refuses is said in its words; one that says nothing is not waited for.
func TestServersThatTakeNothing(t *testing.T) {
	t.Parallel()
	web := httptest.NewTLSServer(nil)
	defer web.Close()
	for name, c := range map[string]struct {
		box *mailtest.Box
		way TLS
		why string
	}{
		"no TLS":     {&mailtest.Box{User: "ada", Password: "weir"}, StartTLS, "STARTTLS"},
		"a stranger": {&mailtest.Box{StartTLS: web.TLS, User: "ada", Password: "weir"}, StartTLS, "certificate"},
		"refused":    {&mailtest.Box{User: "ada", Password: "weir", Refuse: "550 5.1.1 no such mailbox"}, Plain, "no such mailbox"},
		"silent":     {&mailtest.Box{Silent: true}, Plain, "timeout"},
		"hangs up":   {&mailtest.Box{Silent: true}, Implicit, "EOF"},
	} {
		c.box.Open(t)
		s := Server{Host: c.box.Host, Port: c.box.Port, TLS: c.way, User: "ada", Password: "weir", From: "ada@example.org"}
		if name == "silent" {
			s.wait = 300 * time.Millisecond
		}
		err := s.Send(t.Context(), "Ada", draft)
		if !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s: %v", name, err)
		}
		if len(c.box.Letters()) != 0 {
			t.Errorf("%s took a letter", name)
		}
		if said := c.box.Said(); c.way == StartTLS && (strings.Contains(said, "AUTH") || strings.Contains(said, "MAIL")) {
			t.Errorf("%s: it was said %q in clear", name, said)
		}
	}
	s := Server{Host: "127.0.0.1", Port: 1, TLS: Plain, From: "ada@example.org"}
	if err := s.Send(t.Context(), "Ada", draft); !fault.Is(err, fault.Refused) {
		t.Errorf("where nothing listens: %v", err)
	}
}

// The file is for its owner alone; a password stays with its server, and goes with no other.
func TestTheServerIsKeptBesideTheStudio(t *testing.T) {
	f := File{Path: filepath.Join(t.TempDir(), "studio.db-mail")}
	if _, named, err := f.Read(); named || err != nil {
		t.Fatal(named, err)
	}
	is := Server{Host: " mail.example.org ", User: "ada", Password: "weir", From: "ada@example.org"}
	if err := f.Keep(is); err != nil {
		t.Fatal(err)
	}
	got, named, err := f.Read()
	if want := (Server{Host: "mail.example.org", Port: 587, TLS: StartTLS, User: "ada", Password: "weir", From: "ada@example.org"}); err != nil || !named || got != want {
		t.Errorf("%+v, %v", got, err)
	}
	is.Password, is.From = "", "quill@example.org"
	if err := f.Keep(is); err != nil {
		t.Fatal(err)
	}
	if got, _, _ = f.Read(); got.Password != "weir" || got.From != is.From {
		t.Errorf("%+v", got)
	}
	for field, to := range map[string]func(*Server){
		"password": func(s *Server) { s.Host = "else.example.net" }, "tls": func(s *Server) { s.TLS, s.Password = Plain, "weir" }, "host": func(s *Server) { s.Host, s.Password = "a b", "weir" },
		"port": func(s *Server) { s.Port = 70000; s.Password = "weir" }, "from": func(s *Server) { s.From = "Ada <ada@example.org>" }, "user": func(s *Server) { s.User, s.Password = "a\nb", "weir" },
	} {
		bad := is
		to(&bad)
		err := f.Keep(bad)
		if all := fault.All(err); !fault.Is(err, fault.Invalid) || len(all) != 1 || all[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	if again, _, _ := f.Read(); again != got {
		t.Errorf("what was refused changed it: %+v", again)
	}
	if err := os.Chmod(f.Path, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, _, err := f.Read(); !fault.Is(err, fault.Refused) {
		t.Errorf("a file that others read: %v", err)
	}
	if err := f.Forget(); err != nil {
		t.Fatal(err)
	}
	if _, named, err := f.Read(); named || err != nil {
		t.Error(named, err)
	}
	if err := f.Send(t.Context(), "Ada", draft); !fault.Is(err, fault.Refused) {
		t.Errorf("without a server: %v", err)
	}
	if err := (File{}).Keep(is); !fault.Is(err, fault.Refused) {
		t.Errorf("of the invented studio: %v", err)
	}
}

// The password stands in no file as it is; it goes with its server alone, survives a change of the key, and is asked for again when the key is gone. A file
// of an older program is put into cipher when it is read first.
func TestThePasswordIsKeptInCipher(t *testing.T) {
	const word = "weir and sluice"
	folder := t.TempDir()
	f := File{Path: filepath.Join(folder, "studio.db-mail"), Key: filepath.Join(folder, "studio.db-key")}
	none := func(when string) {
		t.Helper()
		all, err := os.ReadDir(folder)
		if err != nil || len(all) < 2 {
			t.Fatalf("%s: %d files, %v", when, len(all), err)
		}
		for _, x := range all {
			b, err := os.ReadFile(filepath.Join(folder, x.Name()))
			if err != nil || strings.Contains(string(b), word) {
				t.Errorf("%s: %s holds the password, %v", when, x.Name(), err)
			}
			if info, err := x.Info(); err != nil || info.Mode().Perm()&0o077 != 0 {
				t.Errorf("%s: %s may be read by others: %v, %v", when, x.Name(), info.Mode(), err)
			}
		}
	}
	reads := func(when, want string, lost bool) Server {
		t.Helper()
		s, named, err := f.Read()
		if err != nil || !named || s.Password != want || s.Lost() != lost || s.Host != "mail.example.org" {
			t.Errorf("%s: %+v, named %t, lost %t, %v", when, s, named, s.Lost(), err)
		}
		return s
	}
	old := `{"host":"mail.example.org","port":587,"tls":"starttls","user":"ada","password":"` + word + `","from":"ada@example.org"}`
	if err := os.WriteFile(f.Path, []byte(old), 0o600); err != nil {
		t.Fatal(err)
	}
	s := reads("of an older program", word, false)
	none("once it was read")
	reads("again", word, false)

	kept, err := os.ReadFile(f.Path)
	if err != nil {
		t.Fatal(err)
	}
	other := strings.Replace(string(kept), `"port":587`, `"port":588`, 1)
	if err := os.WriteFile(f.Path, []byte(other), 0o600); err != nil || other == string(kept) {
		t.Fatal(err)
	}
	reads("turned to another server", "", true)
	if err := os.WriteFile(f.Path, kept, 0o600); err != nil {
		t.Fatal(err)
	}

	err = f.Through(func() error {
		if _, err := vault.Make(f.Key, true); err != nil {
			return err
		}
		return vault.Turn(f.Key)
	})
	if err != nil {
		t.Fatal(err)
	}
	reads("by the next key", word, false)
	none("by the next key")

	if err := os.Remove(f.Key); err != nil {
		t.Fatal(err)
	}
	reads("without the key", "", true)
	if err := f.Send(t.Context(), "Ada", draft); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "give the password once more") {
		t.Errorf("without the key: %v", err)
	}
	s.Password = ""
	if err := f.Keep(s); !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), "the password is missing") {
		t.Errorf("named again without it: %v", err)
	}
	s.Password = word
	if err := f.Keep(s); err != nil {
		t.Fatal(err)
	}
	reads("named again", word, false)
	none("named again")
}
