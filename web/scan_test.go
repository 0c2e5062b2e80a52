package web

import (
	"strings"
	"testing"
)

// Without JavaScript: a mark, its tracking number, the next mark; what is wrong stands there in words.
func TestScan(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	mark := strings.Split(string(s.get("/postage/plain.csv").is(200).body), "\r\n")[1]
	mark, _, _ = strings.Cut(mark, ",")
	p := s.get("/scan").is(200)
	if n := p.one("#scan-code"); attr(n, "name") != "code" {
		t.Error("no field for the mark")
	}
	wrong := s.get("/scan?code=S-9999").is(404)
	wrong.has(".scanned[role=alert]", "no order has the mark")
	wrong.one("#scan-code[autofocus]")
	s.get("/").is(200).one("form[action='/scan'] [name=code]")

	card := s.get("/scan?code=" + strings.ToLower(mark)).is(200)
	card.has("h2", mark)
	card.one("#scan-tracking[autofocus]")
	form := card.one("form[method=post][action]")
	for _, n := range card.find("form") {
		if strings.HasPrefix(attr(n, "action"), "/scan/") {
			form = n
		}
	}
	to := attr(form, "action")
	bad := s.post(to, "key", mark, "tracking", mark, "paid", "").is(409)
	bad.has(".scanned[role=alert]", "mark of an order")
	bad.one("#scan-tracking[autofocus]")
	s.post(to, "key", mark, "tracking", "RB473124829US", "paid", "six").is(422).has(".scanned[role=alert]", "not an amount")
	a := s.post(to, "key", mark, "tracking", "RB473124820US", "paid", "6.25").is(303)
	noted := s.get(a.location).is(200)
	noted.has(".scanned[role=status]", "Noted. RB473124820US on "+mark)
	noted.has(".scanned", "Look at it: the check digit")
	noted.one("#scan-code[autofocus]")
	s.get("/scan?code="+mark).is(409).has(".scanned", "tracking number already")
	order, _, _ := strings.Cut(mark, "/")
	s.get("/orders/"+order).has("dd", "RB473124820US")
}

// By keyboard alone, as a scanner types: mark, Enter, number, Enter, and the next mark may follow at once; on a
// phone's width too.
func TestScanByKeyboard(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	row := strings.Split(string(s.get("/postage/plain.csv").is(200).body), "\r\n")[1]
	mark, _, _ := strings.Cut(row, ",")
	p, base := s.open()
	p.Phone()
	p.Go(base + "/")
	if status := p.PressTo("c"); status != 200 || !strings.HasPrefix(p.Focused(), "input#scan-code[") {
		t.Fatalf("status %d, focus on %q", status, p.Focused())
	}
	p.MustBeAccessible()
	p.Type("S-9999")
	p.PressTo("Enter")
	if !strings.Contains(p.Text(".scanned"), "no order has the mark") || !strings.HasPrefix(p.Focused(), "input#scan-code[") {
		t.Fatalf("focus on %q: %s", p.Focused(), p.Text("#matter"))
	}
	p.Type(mark)
	p.PressTo("Enter")
	if !strings.HasPrefix(p.Focused(), "input#scan-tracking[") || p.WiderThanItsWindow() {
		t.Fatalf("focus on %q: %s", p.Focused(), p.Text("#matter"))
	}
	p.MustBeAccessible()
	inPicture(p, "scan-card-phone")
	p.Type("RB473124829US")
	p.PressTo("Enter")
	if !strings.Contains(p.Text(".scanned"), "RB473124829US") || !strings.HasPrefix(p.Focused(), "input#scan-code[") {
		t.Fatalf("focus on %q: %s", p.Focused(), p.Text("#matter"))
	}
	p.MustBeAccessible()
	p.Desk()
	inPicture(p, "scan-noted-desk")
	p.Type("RB473124829US")
	p.PressTo("Enter")
	if !strings.Contains(p.Text(".scanned"), "already") || !strings.HasPrefix(p.Focused(), "input#scan-code[") {
		t.Fatalf("focus on %q: %s", p.Focused(), p.Text("#matter"))
	}
}
