package web

import (
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"solander/internal/mailtest"
	"solander/internal/testpdf"
	"solander/mailing/server"
)

// From a sale with a deposit to its invoice and the credit note: what is owed stands by age, papers are numbered, and none is changed.
func TestMoneyOwed(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	o := s.sale(1, 4000).Mark
	p := s.get("/earnings/owed").is(200)
	p.has("#ages", "balance after a deposit")
	p.has("#items tbody", "S-1")
	s.get("/orders").has(".deeds", "Money owed")
	s.get("/orders/"+o).has("main", "Receipt and invoice")

	papers := s.get("/orders/" + o + "/papers").is(200)
	papers.has("#papers", "None yet")
	s.sendForm(papers, "#write form", "number", "x").is(422).has("#faults", "no whole number")
	page := s.leads(s.sendForm(papers, "#write form", "kind", "invoice", "number", "57"), "/earnings/papers/I-57?said=bill")
	page.has("h1", "Invoice I-57")
	page.has("#over", "Total")
	s.sendForm(s.get("/orders/"+o+"/papers"), "#write form", "kind", "invoice").is(409).has("#faults", "stands for it")
	s.leads(s.sendForm(s.get("/orders/"+o+"/papers"), "#write form", "kind", "receipt"), "/earnings/papers/R-1?said=bill")
	s.get("/papers/bill/R-1.pdf").is(200)

	s.get("/orders/"+o+"/papers").has("#remind", "Nothing is sent from here")
	eml := s.get("/orders/" + o + "/reminder.eml").is(200)
	if !strings.Contains(string(eml.body), "To: \"Ada Quill\" <ada@example.org>\r\n") {
		t.Errorf("the draft begins %.300q", eml.body)
	}
	s.reminded(o)
	credit := s.get("/earnings/papers/I-57")
	s.sendForm(credit, "#correct form", "amount", "99999", "reason", "bent").is(409).has("#faults", "are left of it")
	s.sendForm(credit, "#correct form", "amount", "", "reason", "").is(422).has("#faults", "Why")
	s.leads(s.sendForm(credit, "#correct form", "amount", "5.00", "reason", "bent"), "/earnings/papers/C-1?said=bill").has("#over", "bent")
	s.get("/earnings/papers/I-57").has("#notes", "C-1")
	s.get("/earnings/papers").has("#papers", "invoice I-57")
	s.get("/earnings/papers/I-9").is(404)
	s.get("/earnings/papers/nothing").is(404)
	s.get("/papers/bill/I-9.pdf").is(404)
	s.get("/papers/bill/I-57.doc").is(404)

	s.leads(s.sendForm(s.get("/earnings/papers"), "#words form", "tax_number", "12-345", "words", "Please pay soon."), "/earnings/papers?said=settings").
		has("#words", "Please pay soon.")

	buyer := strings.TrimPrefix(attr(s.get("/earnings/owed").find("#items tbody td a")[0], "href"), "/earnings/owed/")
	st := s.get("/earnings/owed/" + buyer).is(200)
	st.has("#entries", "Paid, a deposit")
	st.has("#closing", "185.00") // nothing of 110.00 and 40.00 of 120.00 is paid, and 5.00 were taken off
	s.get("/earnings/owed/"+buyer+"?from=2031-01-02&until=2031-01-01").is(422).has("#faults", "ends before it begins")
	s.get("/earnings/owed/99999").is(404)
	pdf := s.get("/papers/statement/" + buyer + ".pdf").is(200)
	if text := testpdf.Text(t, pdf.body); !strings.Contains(text, "You owe the studio") {
		t.Errorf("the statement says %q", text)
	}
	s.get("/papers/statement/x.pdf").is(404)
}

// An open order of which a credit note took off what was paid back owes nothing: its page, its papers and the list say so; and the price of its print
// can be lowered as well, in the order, which takes nothing off a second time.
func TestWhatACreditNoteTookOffIsNotAskedFor(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	v := s.sale(1, 9000)
	o := v.Mark
	s.leads(s.sendForm(s.get("/orders/"+o+"/papers"), "#write form", "kind", "invoice"), "/earnings/papers/I-1?said=bill")
	s.leads(s.sendForm(s.get("/earnings/papers/I-1"), "#correct form", "amount", "5.00", "reason", "bent"), "/earnings/papers/C-1?said=bill")
	at := "/orders/" + strconv.FormatInt(v.ID, 10)
	s.sendForm(s.get("/orders/"+o), "[aria-labelledby=h-money] form", "kind", "refund", "amount", "5.00").is(303)
	p := s.get("/orders/" + o).is(200)
	p.has("[aria-labelledby=h-money]", "Not owed: taken off by credit note")
	p.has("[aria-labelledby=h-money]", "settled")
	s.get("/orders/"+o+"/papers").has(".under", "5.00 USD taken off by credit note, settled")
	s.get("/earnings/owed").hasNot("#items tbody a[href='/orders/" + o + "']")
	p.has(".way .done", "paid "+v.Placed.Short()) // the day of what came
	form := "form[action='/lines/" + strconv.FormatInt(v.Lines[0].ID, 10) + "/price']"
	s.sendForm(p, form, "price", "dear").is(422).has("#faults", "dear")
	s.leads(s.sendForm(p, form, "price", "85.00"), at+"?said=line-price")
	p = s.get("/orders/" + o)
	p.has("[aria-labelledby=h-money]", "settled")
	p.has("[aria-labelledby=h-money] .sums tbody", "Due 85.00 USD")
}

// reminded names a mail server and sends the reminder of an order by it: once, when asked; refused, it is not noted; the password is on no page.
func (s *site) reminded(o string) {
	s.t.Helper()
	const note, word = "a reminder was sent by e-mail", "weir and sluice"
	order := "/orders/" + o
	s.get(order + "/papers").hasNot("#remind form")
	s.post(order+"/reminder").is(409).has("#faults", "No mail server was named")
	box := (&mailtest.Box{User: "ada", Password: word}).Open(s.t)
	shut := (&mailtest.Box{Refuse: "550 5.1.1 no such mailbox"}).Open(s.t)
	port := strconv.Itoa(box.Port)
	s.post("/earnings/papers/mail", "host", box.Host, "tls", "plain", "from", "ada@example.org").is(409).has("#faults", "invented studio")
	s.face.owed.Mail = server.File{Path: filepath.Join(s.t.TempDir(), "mail")}
	away := s.post("/earnings/papers/mail", "host", "mail.example.org", "port", port, "tls", "plain", "from", "ada", "user", "ada", "password", word).is(422)
	away.has("#faults", "ithout TLS")
	away.has("#faults", "no e-mail address")
	kept := s.leads(s.post("/earnings/papers/mail", "host", box.Host, "port", port, "tls", "plain", "from", "ada@example.org", "user", "ada", "password", word), "/earnings/papers?said=mailserver")
	for _, p := range []answer{away, kept} {
		if strings.Contains(string(p.body), word) {
			s.t.Error("the password is sent back")
		}
	}
	papers := s.get(order + "/papers")
	papers.has("#remind form button", "Send it to ada@example.org now")
	if n := len(box.Letters()); n != 0 {
		s.t.Fatalf("%d letters were sent unasked", n)
	}
	s.leads(s.sendForm(papers, "#remind form"), order+"/papers?said=reminded")
	if l := box.Letters(); len(l) != 1 || !strings.Contains(l[0], "To: \"Ada Quill\" <ada@example.org>") {
		s.t.Fatalf("it got %q", l)
	}
	if n := strings.Count(textOf(s.get(order).root), note); n != 1 {
		s.t.Errorf("it is noted %d times", n)
	}
	s.leads(s.post("/earnings/papers/mail", "host", shut.Host, "port", strconv.Itoa(shut.Port), "tls", "plain", "from", "ada@example.org"), "/earnings/papers?said=mailserver")
	s.post(order+"/reminder").is(409).has("#faults", "no such mailbox")
	if n := strings.Count(textOf(s.get(order).root), note); n != 1 {
		s.t.Errorf("after a refusal it is noted %d times", n)
	}
	s.leads(s.post("/earnings/papers/mail", "host", "", "tls", "starttls"), "/earnings/papers?said=mailserver-off")
	s.get(order + "/papers").hasNot("#remind form")
}
