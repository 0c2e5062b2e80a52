package mailing

import (
	"encoding/base64"
	"io"
	"mime"
	"net/mail"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"solander/fault"
)

// Another reader (net/mail) reads what was written; no line is longer than RFC 5322, 2.1.1 allows (998, from memory), and none of the
// texts can add a header.
func TestDraftsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Draft{To: "noor@example.org", ToName: rapid.String().Draw(t, "name"), Subject: rapid.String().Draw(t, "subject"), Text: rapid.String().Draw(t, "text"), At: time.Date(2031, 3, 4, 5, 6, 7, 0, time.UTC)}
		body, err := d.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		m, err := mail.ReadMessage(strings.NewReader(string(body)))
		if err != nil {
			t.Fatalf("%v: %q", err, body)
		}
		if len(m.Header) != 7 {
			t.Fatalf("headers: %v", m.Header)
		}
		for _, l := range strings.Split(string(body), "\r\n") {
			if strings.ContainsAny(l, "\r\n") || len(l) > 998 && len(d.Subject)+len(d.ToName) < 200 {
				t.Fatalf("a line of %d: %q", len(l), l)
			}
		}
		subject, err := new(mime.WordDecoder).DecodeHeader(m.Header.Get("Subject"))
		if want := OneLine(d.Subject); err != nil || strings.ToValidUTF8(subject, "") != strings.ToValidUTF8(want, "") && strings.IndexFunc(want, func(r rune) bool { return r < ' ' || r == 0x7f }) < 0 {
			t.Fatalf("subject %q, want %q, %v", subject, want, err)
		}
		raw, err := io.ReadAll(base64.NewDecoder(base64.StdEncoding, m.Body))
		if want := strings.ReplaceAll(strings.ReplaceAll(d.Text, "\r\n", "\n"), "\n", "\r\n"); err != nil || string(raw) != want {
			t.Fatalf("text %q, want %q, %v", raw, want, err)
		}
	})
	for _, to := range []string{"", "nobody", "a@b, c@d", "Noor <noor@example.org>", "a@b\r\nBcc: c@d"} {
		if _, err := (Draft{To: to}).Bytes(); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q is taken: %v", to, err)
		}
	}
}
