package web

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/certificate"
	"solander/certify"
	"solander/edition"
	"solander/record"
	"solander/register"
	"solander/sealog"
)

// checked is what the page answers to a certificate.
func (s *site) checked(what, code, word string, good bool) {
	s.t.Helper()
	p := s.post("/certificates/check", "code", code).is(200)
	p.has("#answer", word)
	if (len(p.find("#answer strong")) > 0) != good {
		s.t.Errorf("%s: good is not %v", what, good)
	}
}

// What is wrong with a proof is told on the pages by a clear word, and nothing of it is ever called good.
func TestBadProofsOnThePages(t *testing.T) {
	t.Parallel()
	s := newSite(t).served(t)
	const at = "/editions/record"
	var all []edition.Number
	for n := 201; n <= 203; n++ {
		all = append(all, edition.Number{Kind: edition.Numbered, N: n})
	}
	s.must(register.SignAhead(s.ctx(), s.studio, 1, all))
	_, err := certify.Make(s.ctx(), s.studio, certify.MakeIn{Edition: 1, Numbers: all[:2]})
	s.must(err)
	one, err := certify.Read(s.ctx(), s.studio, 1)
	s.must(err)
	two, err := certify.Read(s.ctx(), s.studio, 2)
	s.must(err)
	kept := string(s.get(at + "/checkpoint.txt").is(200).body)
	place := placeOf(t, s)
	s.must(s.store.Close())
	yesterday, err := os.ReadFile(place)
	s.must(err)
	older := filepath.Join(t.TempDir(), "studio.db")
	s.must(os.WriteFile(older, yesterday, 0o600))
	s = openAt(t, place, false)

	// A code that is cut off; another sign; a foreign key; a number that was revoked.
	s.checked("whole", one.File(), "holds", true)
	s.checked("cut off", one.Large()[:len(one.Large())/2], "cut-off", false)
	s.checked("another sign", swapped(one.Code), "changed", false)
	foreign, err := sealog.NewKey("solander-register/0011223344556677", make([]byte, sealog.SeedSize))
	s.must(err)
	forged, err := certificate.Sign(one.Signed.Statement, foreign)
	s.must(err)
	s.checked("a foreign key", forged.Small(), "foreign-key", false)
	s.checked("before it was revoked", two.Code, "signed", true)
	s.post("/editions/1/certificates/revoke", "serial", "2", "reason", "the sheet came back torn").is(303)
	s.checked("revoked", two.Large(), "revoked", false)
	s.post("/certificates/tell", "code", two.Large(), "told", "resale", "name", "Oren Kessler").is(409).has("main", "does not hold")

	// A checkpoint that was kept; a bent one; one of another register; and an older copy in the place of the studio.
	s.post(at+"/verify", "given", "").is(200).has("#proven", "leaves of the register hold")
	s.post(at+"/verify", "given", strings.ReplaceAll(kept, "\n", "\r\n")).is(200).has("#proven strong", "still held whole")
	bent := s.post(at+"/verify", "given", strings.Replace(kept, "\n", "\n1", 1)).is(200)
	bent.has("#proven .late", "checkpoint that was given")
	bent.hasNot("#proven strong")
	text, err := foreign.Sign(sealog.Checkpoint{Origin: foreign.Name(), Size: 3}.Text())
	s.must(err)
	other := s.post(at+"/verify", "given", string(text)).is(200)
	other.has("#proven .late", "signed by another key")
	other.hasNot("#proven strong")
	s.post(at+"/verify", "given", "a note of hers").is(200).has("#proven .late", "no signed text")
	s.must(register.SignAhead(s.ctx(), s.studio, 1, []edition.Number{{Kind: edition.Numbered, N: 204}}))
	s.post(at + "/sign").is(303)
	newest := string(s.get(at + "/checkpoint.txt").is(200).body)
	back := siteAt(t, older)
	past := back.post(at+"/verify", "given", newest).is(200)
	past.has("#proven .late", "this is an older copy of the studio")
	past.hasNot("#proven strong")

	// The wrong passphrase: nothing is signed by it.
	s.must(record.Reseal(s.ctx(), s.studio, "", "a heron in the marsh"))
	for path, fields := range map[string][]string{
		at + "/sign": nil, at + "/publish": nil, at + "/check-page": nil, at + "/key/export": nil, at + "/key/replace": nil, "/editions/1/certificates": {"numbers", "203"},
	} {
		p := s.post(path, append([]string{"passphrase", "a heron in the reeds"}, fields...)...)
		if p.status < 400 || !strings.Contains(string(p.body), "does not open the file") {
			t.Errorf("%s, by the wrong passphrase: %d", path, p.status)
		}
	}
	locked := s.post("/editions/1/certificates", "numbers", "203").is(409)
	locked.has("main", "locked by a passphrase")
	locked.has("main", "give its passphrase, or load the key")
	if strings.Contains(string(locked.body), "--passphrase") {
		t.Error("a page names a flag of the command line")
	}

	// Two studios with one key: that of the one signs nothing of the other.
	twin := emptySite(t)
	twin.furnish()
	twin.post(at + "/sign").is(303)
	body, err := os.ReadFile(place + "-register-key")
	s.must(err)
	s.must(os.WriteFile(placeOf(t, twin)+"-register-key", body, 0o600))
	twin.must(register.SignAhead(twin.ctx(), twin.studio, 1, all[:1]))
	for _, path := range []string{at + "/sign", "/editions/1/certificates"} {
		p := twin.post(path, "passphrase", "a heron in the marsh")
		if p.status != 409 || !strings.Contains(string(p.body), "the key of another register") {
			t.Errorf("%s, by the key of another studio: %d", path, p.status)
		}
	}
	twin.checked("the certificate of the other studio", one.File(), "foreign-key", false)

	// A copy of the studio that goes on by itself, with its key: what it signs is none of this register, and is told from it.
	s.must(os.WriteFile(older+"-register-key", body, 0o600))
	back = siteAt(t, older)
	back.must(register.SignAhead(back.ctx(), back.studio, 1, []edition.Number{{Kind: edition.Numbered, N: 210}}))
	made, err := certify.Make(back.ctx(), back.studio, certify.MakeIn{Edition: 1, Numbers: []edition.Number{{Kind: edition.Numbered, N: 210}}, Passphrase: "a heron in the marsh"})
	s.must(err)
	p, err := certify.Read(back.ctx(), back.studio, made[0].ID)
	s.must(err)
	back.checked("by the copy itself", p.File(), "holds", true)
	s.checked("by the studio", p.File(), "not-in-log", false)
	ahead := s.post(at+"/verify", "given", string(back.get(at+"/checkpoint.txt").is(200).body)).is(200)
	ahead.has("#proven .late", "not those that were signed")
	ahead.hasNot("#proven strong")

	// The clock was set back: nothing is signed, it is said, and nothing of it stays.
	s.must(s.store.Close())
	early := openOn(t, place, false, noon.AddDate(0, 0, -3))
	early.must(register.SignAhead(early.ctx(), early.studio, 1, []edition.Number{{Kind: edition.Numbered, N: 205}}))
	early.post(at+"/sign", "passphrase", "a heron in the marsh").is(409).has("main", "it was set back, or was ahead then")
	early.post("/editions/1/certificates", "numbers", "203", "passphrase", "a heron in the marsh").is(409).has("main", "it was set back, or was ahead then")
	if lacking, err := certify.Lacking(early.ctx(), early.studio, 1); err != nil || len(lacking) != 4 { // with the one that was revoked
		t.Errorf("without a certificate: %v, %v", lacking, err)
	}
	early.post(at+"/verify", "given", "").is(200).has("#proven .late", "was set back")
}
