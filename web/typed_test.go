package web

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"solander/banking"
)

// nonsense is what is typed into every field: no number, no day, no mark of an order.
const nonsense = "zz <odd> 17%"

// Every form of the pages of money, fairs, claims and galleries that refuses what was typed says so on its page, where all of it stands still in
// the fields.
func TestRefusedFormsKeepWhatWasTyped(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	t.Parallel()
	s := furnished(t)
	s.banked()
	_, err := banking.Bring(s.ctx(), s.studio, banking.BringIn{Account: 1, Name: "a.ofx", Body: []byte("OFXHEADER:100\n\n<OFX><BANKMSGSRSV1><STMTTRNRS><STMTRS><CURDEF>USD" +
		"<BANKACCTFROM><ACCTID>1</BANKACCTFROM><BANKTRANLIST><STMTTRN><TRNTYPE>DEP<DTPOSTED>20260401<TRNAMT>17.35<FITID>1<NAME>SOMEBODY</STMTTRN></BANKTRANLIST></STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>")})
	s.must(err)
	refused := 0
	for _, path := range s.paths() {
		if !strings.HasPrefix(path, "/earnings") && !strings.HasPrefix(path, "/claims") && !strings.HasPrefix(path, "/parcels") && path != "/till" {
			continue
		}
		a := s.get(path)
		if !strings.HasPrefix(a.header.Get("Content-Type"), "text/html") {
			continue
		}
		done := map[string]bool{}
		for _, fm := range a.is(200).find("form[method='post']") {
			to := attr(fm, "action")
			fields, typed := oddly(fm)
			if done[to] || len(typed) == 0 || attr(fm, "enctype") != "" {
				continue
			}
			done[to] = true
			got := s.post(to, fields...)
			if got.status < 400 {
				continue // such as a name, or a note: anything may be typed
			}
			refused++
			if got.status >= 500 {
				t.Errorf("%s to %s is answered %d", path, to, got.status)
				continue
			}
			if len(got.find("#faults li")) == 0 {
				t.Errorf("%s to %s is refused with %d, and the page does not say why", path, to, got.status)
			}
			again := got.find(fmt.Sprintf("form[action='%s']", to))
			if len(again) == 0 {
				t.Errorf("%s to %s is refused with %d, and the form is gone", path, to, got.status)
				continue
			}
			stands := fieldsOf(again[0])
			for _, name := range typed {
				if i := slices.Index(stands, name); i < 0 || strings.TrimSpace(stands[i+1]) != nonsense {
					t.Errorf("%s to %s is refused with %d, and what was typed as %s is lost: %q", path, to, got.status, name, stands)
				}
			}
		}
	}
	if refused < 20 {
		t.Errorf("only %d forms refused anything", refused)
	}
}

// oddly is a form as it is sent when every field of text has nonsense, with the names of those.
func oddly(fm *html.Node) (fields, typed []string) {
	fields = fieldsOf(fm)
	for n := range fm.Descendants() {
		kind := attr(n, "type")
		if name := attr(n, "name"); name != "" && (n.Data == "textarea" || n.Data == "input" && slices.Contains([]string{"text", "date", "email"}, kind)) {
			fields, typed = replaced(fields, name, nonsense), append(typed, name)
		}
	}
	return fields, typed
}
