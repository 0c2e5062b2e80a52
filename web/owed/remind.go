package owed

import (
	"fmt"
	"net/http"

	"solander/dues"
	"solander/mailing/server"
	"solander/web/form"
)

// Reminder gives the draft of a reminder as a file.
func (f *Owed) Reminder(w http.ResponseWriter, r *http.Request) error {
	o, err := orderOf(r, f.Seen(r))
	if err != nil {
		return err
	}
	m, err := dues.Remind(r.Context(), f.Seen(r), o.ID)
	if err != nil {
		return err
	}
	body, err := m.Bytes()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "message/rfc822")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="reminder-%s.eml"`, o.Mark))
	_, err = w.Write(body)
	return err
}

// SendReminder sends a reminder now, by the mail server that she named.
func (f *Owed) SendReminder(w http.ResponseWriter, r *http.Request) error {
	o, err := orderOf(r, f.Studio)
	if err != nil {
		return err
	}
	if _, err := dues.Send(r.Context(), f.Studio, f.Mail, o.ID); err != nil {
		return f.ShowAgain(w, r, "", err, f.OrderBills)
	}
	return f.DoneSaying(w, r, "/orders/"+o.Mark+"/papers", "reminded")
}

func mailForm(s *server.Server) *form.Form {
	fm := form.New("mail", "/earnings/papers/mail")
	fm.Text("host", "Mail server", &s.Host).Half().WithHint("like mail.example.org; empty: none, and nothing can be sent")
	fm.Whole("port", "Port", &s.Port).OrEmpty().Small().WithHint("empty: the usual one")
	form.Select(fm, "tls", "How the way is kept from others", &s.TLS, form.Pick(string(server.StartTLS), "STARTTLS"),
		form.Pick(string(server.Implicit), "TLS from the first byte"), form.Pick(string(server.Plain), "not at all: a server on this computer alone")).Half()
	fm.Text("from", "Your own address", &s.From).Half().WithHint("from which the letters come")
	fm.Text("user", "User", &s.User).Half().WithAuto("off").WithHint("empty: it lets in whoever comes")
	fm.Text("password", "Password", &s.Password).As("password").Half().WithAuto("off").
		WithHint("kept in cipher in a file of this computer, never in the database; empty: as before, for the same server and user")
	return fm
}

// SaveMail keeps the mail server, or forgets it.
func (f *Owed) SaveMail(w http.ResponseWriter, r *http.Request) error {
	var in server.Server
	said := "mailserver"
	err := mailForm(&in).TakeAnd(r.PostForm, func() error {
		if in.Tidy().Host == "" {
			said = "mailserver-off"
			return f.Mail.Forget()
		}
		return f.Mail.Keep(in)
	})
	if err != nil {
		return f.ShowAgain(w, r, "mail", err, f.Bills)
	}
	return f.DoneSaying(w, r, "/earnings/papers", said)
}
