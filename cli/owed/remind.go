package owed

import (
	"fmt"
	"io"
	"strings"

	"solander/cli/desk"
	"solander/dues"
	"solander/mailing/server"
)

// passwordVariable is the environment variable of the password; it stands on no command line, where others could read it.
const passwordVariable = "SOLANDER_MAIL_PASSWORD"

type remindCmd struct {
	Order string `arg:"" predictor:"order" help:"Mark of the order of which something is owed."`
	Send  bool   `help:"Send it now, by the mail server that you named; it is noted in the order."`
	desk.FileOut
}

// Help says what may stand in the words.
func (remindCmd) Help() string {
	return "Nothing is sent unless you say --send. Your own words are said by solander owed words --reminder; in them are replaced " + strings.Join(dues.Places, " ") +
		".\n\nExample:\n\n  solander owed remind S-1042 -o reminder.eml\n  solander owed remind S-1042 --send"
}

// Run writes the draft, or sends it.
func (c *remindCmd) Run(d *desk.Open) error {
	o, err := d.OrderNamed(c.Order)
	if err != nil {
		return err
	}
	if c.Send {
		by, err := d.Mail()
		if err != nil {
			return err
		}
		m, err := dues.Send(d.Ctx, d.Studio, by, o.ID)
		return d.Done(err, map[string]string{"order": o.Mark, "to": m.To}, "the reminder of %s is sent to %s", o.Mark, m.To)
	}
	m, err := dues.Remind(d.Ctx, d.Studio, o.ID)
	if err != nil {
		return err
	}
	body, err := m.Bytes()
	if err != nil {
		return err
	}
	return d.Write(c.FileOut, func(w io.Writer) error {
		_, err := w.Write(body)
		return err
	})
}

type mailCmd struct {
	Host   string `arg:"" optional:"" help:"The server, like mail.example.org; it is shown when left out."`
	Port   int    `placeholder:"N" help:"Its port; the usual one when left out."`
	TLS    string `enum:"starttls,tls,plain" default:"starttls" help:"How the way is kept from others: ${enum}; plain is for a server on this computer alone."`
	User   string `placeholder:"NAME" help:"Whom it knows you as; it lets in whoever comes when left out."`
	From   string `placeholder:"ADDRESS" help:"Your own e-mail address."`
	Forget bool   `help:"Take it out, with its password."`
}

// Help says where the password comes from, and where it goes.
func (mailCmd) Help() string {
	return `The password is read from ` + passwordVariable + `. It is kept in cipher in a file beside the studio that only its owner reads: in no copy,
never shown again. To another server or user it is to be given anew. Nothing is sent unless you say so for one letter.

Example:

  solander owed mail-server mail.example.org --user ada --from ada@example.org
  solander owed mail-server --forget`
}

// Run shows, keeps or forgets the server.
func (c *mailCmd) Run(d *desk.Open) error {
	f, err := d.Mail()
	if err != nil {
		return err
	}
	switch {
	case c.Forget:
		err = f.Forget()
	case c.Host != "":
		err = f.Keep(server.Server{Host: c.Host, Port: c.Port, TLS: server.TLS(c.TLS), User: c.User, Password: d.Env.Get(passwordVariable), From: c.From})
	}
	if err != nil {
		return err
	}
	s, named, err := f.Read()
	if err != nil {
		return err
	}
	s.Password = "" // it is shown to nobody
	return d.Show(s, func(w io.Writer) {
		if !named {
			fmt.Fprintln(w, "no mail server is named, and nothing can be sent")
			return
		}
		fmt.Fprintf(w, "%s, port %d, %s, as %s, from %s\n", s.Host, s.Port, s.TLS, desk.OrText(s.User, "nobody"), s.From)
		if s.Lost() {
			fmt.Fprintln(w, "its password is in cipher, and its key is not there: give it once more")
		}
	})
}
