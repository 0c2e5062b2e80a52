// Package mailing writes a letter as a file that a mail program opens as a draft (RFC 5322, with MIME). It sends nothing: whether it is sent, and
// when, whoever opens it decides.
package mailing

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"mime"
	"net/mail"
	"strings"
	"time"

	"solander/fault"
)

// Draft is a letter that was not sent.
type Draft struct {
	ToName, To string
	Subject    string
	Text       string
	At         time.Time
}

// width is how many characters of base64 stand on a line. Source: RFC 2045, 6.8, from memory.
const width = 76

// Bytes writes the draft. Faults: Invalid when the address is none.
func (d Draft) Bytes() ([]byte, error) {
	to, err := mail.ParseAddress(d.To)
	if err != nil || to.Address != strings.TrimSpace(d.To) {
		return nil, fault.Invalidf("email", "%.60q is no e-mail address", d.To).ToMend("write the buyer's e-mail address first")
	}
	to.Name = OneLine(d.ToName)
	var b bytes.Buffer
	line := func(name, value string) { fmt.Fprintf(&b, "%s: %s\r\n", name, value) }
	line("Date", d.At.UTC().Format("Mon, 02 Jan 2006 15:04:05 -0700"))
	line("To", to.String())
	line("Subject", mime.QEncoding.Encode("utf-8", OneLine(d.Subject)))
	line("X-Unsent", "1") // which mail programs take for a draft; common practice, no source
	line("MIME-Version", "1.0")
	line("Content-Type", "text/plain; charset=utf-8")
	line("Content-Transfer-Encoding", "base64")
	b.WriteString("\r\n")
	text := base64.StdEncoding.EncodeToString([]byte(strings.ReplaceAll(strings.ReplaceAll(d.Text, "\r\n", "\n"), "\n", "\r\n")))
	for len(text) > width {
		b.WriteString(text[:width] + "\r\n")
		text = text[width:]
	}
	b.WriteString(text + "\r\n")
	return b.Bytes(), nil
}

// OneLine is a text without line breaks, which could add a header.
func OneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
