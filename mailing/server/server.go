// Package server sends a letter by the mail server that the artist named, over SMTP, and keeps what lets in there in a file of its own, outside the
// database. Nothing is ever sent by itself: a letter goes when somebody asks for that one.
package server

import (
	"cmp"
	"context"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"net/mail"
	"net/netip"
	"strings"
	"time"

	smtp "github.com/wneessen/go-mail"

	"solander/fault"
	"solander/mailing"
)

// TLS is how the way to the server is kept from others' eyes.
type TLS string

// The ways.
const (
	StartTLS TLS = "starttls" // in clear until both agree on TLS, which must be (RFC 3207)
	Implicit TLS = "tls"      // TLS from the first byte (RFC 8314)
	Plain    TLS = "plain"    // none: for a server on this computer alone
)

// Server is a mail server, and what lets in there.
type Server struct {
	Host     string `json:"host"`
	Port     int    `json:"port"`
	TLS      TLS    `json:"tls"`
	User     string `json:"user,omitempty"` // "" = it lets in whoever comes
	Password string `json:"password,omitempty"`
	From     string `json:"from"` // her own address

	lost  bool           // the password is in cipher, and its key is not there
	roots *x509.CertPool // by whom its certificate must be signed; nil = as this computer has it
	wait  time.Duration  // how long it may take; 0 = patience
}

// patience is how long a server may take to answer, and all of the sending.
const patience = 30 * time.Second

// usualPort is where each way mostly ends. Source: RFC 6409, 3.1 and RFC 8314, 3.3; 25 is that of RFC 5321.
var usualPort = map[TLS]int{StartTLS: 587, Implicit: 465, Plain: 25}

// Tidy fills in what is usual.
func (s Server) Tidy() Server {
	s.Host, s.User, s.From = strings.TrimSpace(s.Host), strings.TrimSpace(s.User), strings.TrimSpace(s.From)
	if s.TLS == "" {
		s.TLS = StartTLS
	}
	if s.Port == 0 {
		s.Port = usualPort[s.TLS]
	}
	return s
}

// Validate looks at it alone. Faults: Invalid.
func (s Server) Validate() error {
	var l fault.List
	l.Check(s.Host != "" && !strings.ContainsAny(s.Host, " \t\r\n/@"), "host", "it is no name of a server", "write it like mail.example.org")
	l.Check(s.Port > 0 && s.Port < 1<<16, "port", "it is no port", "leave it empty, and the usual one is taken")
	l.Check(usualPort[s.TLS] != 0, "tls", "there is no such way", "use starttls, tls or plain")
	l.Check(s.TLS != Plain || here(s.Host), "tls", "without TLS others on the way could read the password and the letter", "use starttls or tls; plain is for a server on this computer")
	a, err := mail.ParseAddress(s.From)
	l.Check(err == nil && a.Address == s.From, "from", "it is no e-mail address", "write your own address")
	l.Check(s.User == "" || s.Password != "", "password", "the password is missing", "give it with the user, each time that the server or the user is another")
	l.Check(!strings.ContainsAny(s.User+s.Password, "\r\n\x00"), "user", "it cannot hold a line break", "look at what was pasted")
	return l.Err()
}

// Lost reports whether its password is in cipher, and nobody can read it: it is to be given once more.
func (s Server) Lost() bool { return s.lost }

// here reports whether a server is on this computer.
func here(host string) bool {
	ip, err := netip.ParseAddr(strings.Trim(host, "[]"))
	return strings.EqualFold(host, "localhost") || err == nil && ip.IsLoopback()
}

// Send sends a letter, from a name. Faults: Invalid when there is no such address; Refused when the server does not take it: then it was not sent, as
// far as the server said.
func (s Server) Send(ctx context.Context, name string, d mailing.Draft) error {
	if err := s.Validate(); err != nil {
		return err
	}
	if _, err := d.Bytes(); err != nil {
		return err
	}
	m := smtp.NewMsg(smtp.WithNoDefaultUserAgent())
	_, domain, _ := strings.Cut(s.From, "@")
	m.SetMessageIDWithValue(rand.Text() + "@" + domain) // not of this computer's name
	m.SetDateWithValue(d.At)
	m.Subject(mailing.OneLine(d.Subject))
	m.SetBodyString(smtp.TypeTextPlain, d.Text)
	if err := errors.Join(m.FromFormat(mailing.OneLine(name), s.From), m.AddToFormat(mailing.OneLine(d.ToName), d.To)); err != nil {
		return fault.Invalidf("email", "%.60q is no e-mail address that a letter can go to", d.To).Because(err)
	}
	c, err := s.client()
	if err != nil {
		return s.refused(err)
	}
	ctx, stop := context.WithTimeout(ctx, s.patience())
	defer stop()
	defer c.Close() // a conversation that broke off is left open by the library; its error says nothing new
	if err := c.DialAndSendWithContext(ctx, m); err != nil && !m.IsDelivered() {
		return s.refused(err)
	}
	return nil
}

func (s Server) patience() time.Duration { return cmp.Or(s.wait, patience) }

func (s Server) client() (*smtp.Client, error) {
	opts := []smtp.Option{
		smtp.WithPort(s.Port), smtp.WithTimeout(s.patience()), smtp.WithHELO("localhost"), smtp.WithoutNoop(),
		smtp.WithTLSConfig(&tls.Config{ServerName: strings.Trim(s.Host, "[]"), RootCAs: s.roots, MinVersion: tls.VersionTLS12}),
	}
	switch s.TLS {
	case Implicit:
		opts = append(opts, smtp.WithSSL())
	case Plain:
		opts = append(opts, smtp.WithTLSPolicy(smtp.NoTLS))
	default:
		opts = append(opts, smtp.WithTLSPolicy(smtp.TLSMandatory))
	}
	if s.User != "" {
		auth := smtp.SMTPAuthAutoDiscover
		if s.TLS == Plain {
			auth = smtp.SMTPAuthPlainNoEnc // it does not leave this computer
		}
		opts = append(opts, smtp.WithSMTPAuth(auth), smtp.WithUsername(s.User), smtp.WithPassword(s.Password))
	}
	return smtp.NewClient(strings.Trim(s.Host, "[]"), opts...)
}

// refused says why a letter did not go.
func (s Server) refused(err error) error {
	why := strings.Join(strings.Fields(err.Error()), " ")
	if s.Password != "" {
		why = strings.ReplaceAll(why, s.Password, "…")
	}
	return fault.New(fault.Refused, "the mail server did not take the letter: %.300s", why).At("%s", s.Host).
		ToMend("nothing is noted as sent; look at the server under Papers of money, or send the draft by your mail program")
}
