// Package mailtest is a mail server for tests: it takes letters by SMTP (RFC 5321) on this machine, and delivers none.
package mailtest

import (
	"bufio"
	"crypto/tls"
	"encoding/base64"
	"net"
	"strings"
	"sync"
	"testing"
	"time"
)

// Box is a mail server with what it took. How it behaves is said before it opens.
type Box struct {
	StartTLS *tls.Config // it offers TLS; nil = it does not
	Implicit *tls.Config // it speaks TLS alone
	User     string      // whom it lets in, with what password; "" = whoever comes
	Password string
	Refuse   string // what it answers in the place of taking a letter: "550 no such mailbox"
	Silent   bool   // it never says a word

	Host string
	Port int

	mu      sync.Mutex
	letters []string
	said    []string
}

// Open opens it until the test ends.
func (b *Box) Open(t testing.TB) *Box {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	at := l.Addr().(*net.TCPAddr)
	b.Host, b.Port = "127.0.0.1", at.Port
	if b.Implicit != nil {
		l = tls.NewListener(l, b.Implicit)
	}
	var all sync.WaitGroup
	t.Cleanup(func() { l.Close(); all.Wait() })
	all.Go(func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			all.Go(func() {
				defer c.Close()
				c.SetDeadline(time.Now().Add(10 * time.Second)) // a client that goes without a word is not waited for
				b.talk(c)
			})
		}
	})
	return b
}

// Letters are the letters that it took, as they came.
func (b *Box) Letters() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.letters...)
}

// Said is what clients said to it before and beside the letters.
func (b *Box) Said() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return strings.Join(b.said, "\n")
}

func (b *Box) talk(c net.Conn) {
	in := bufio.NewReader(c)
	say := func(lines ...string) { c.Write([]byte(strings.Join(lines, "\r\n") + "\r\n")) }
	if b.Silent {
		in.ReadByte()
		return
	}
	say("220 box.example.org")
	let := b.User == ""
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return
		}
		line = strings.TrimRight(line, "\r\n")
		b.mu.Lock()
		b.said = append(b.said, line)
		b.mu.Unlock()
		verb, rest, _ := strings.Cut(line, " ")
		_, secure := c.(*tls.Conn)
		switch strings.ToUpper(verb) {
		case "EHLO", "HELO":
			offers := []string{"250-box.example.org"}
			if b.StartTLS != nil && !secure {
				offers = append(offers, "250-STARTTLS")
			}
			if b.User != "" {
				offers = append(offers, "250-AUTH PLAIN")
			}
			say(append(offers, "250 8BITMIME")...)
		case "STARTTLS":
			say("220 go on")
			c = tls.Server(c, b.StartTLS)
			in = bufio.NewReader(c)
		case "AUTH":
			_, typed, _ := strings.Cut(rest, " ")
			raw, _ := base64.StdEncoding.DecodeString(typed)
			if let = string(raw) == "\x00"+b.User+"\x00"+b.Password; let {
				say("235 come in")
			} else {
				say("535 5.7.8 wrong user or password")
			}
		case "MAIL", "RCPT":
			switch {
			case !let:
				say("530 5.7.0 who are you")
			case b.Refuse != "" && strings.EqualFold(verb, "RCPT"):
				say(b.Refuse)
			default:
				say("250 ok")
			}
		case "DATA":
			say("354 go on")
			var letter strings.Builder
			for {
				l, err := in.ReadString('\n')
				if err != nil {
					return
				}
				if l == ".\r\n" {
					break
				}
				letter.WriteString(strings.TrimPrefix(l, "."))
			}
			b.mu.Lock()
			b.letters = append(b.letters, letter.String())
			b.mu.Unlock()
			say("250 taken")
		case "QUIT":
			say("221 bye")
			return
		default:
			say("250 ok")
		}
	}
}
