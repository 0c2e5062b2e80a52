package web

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"solander/internal/browsertest"
	"solander/record"
	"solander/record/keyfile"
	"solander/sealog"
)

// The key is locked, exported, loaded, handed over and told lost by the page alone, and what is wrong is said there.
func TestKeyOfTheRegisterByForms(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	const at = "/editions/record"
	p := s.submit(s.get(at), "#signed form")
	p.has("#key dd", "not locked")
	key := s.studio.Store.RegisterKey().File

	export := s.sendForm(p, "form[action=/editions/record/key/export]", "next", "a heron in the marsh", "again", "a heron in the reeds")
	export.is(422).has("form[action=/editions/record/key/export]", "It is not the same")
	export = s.sendForm(p, "form[action=/editions/record/key/export]", "next", "a heron in the marsh", "again", "a heron in the marsh").is(200)
	kept := export.body
	if _, err := keyfile.Parse(kept, "a heron in the marsh"); err != nil {
		t.Errorf("what was exported does not open: %v", err)
	}
	if _, err := keyfile.Parse(kept, ""); err == nil {
		t.Error("it opens without its passphrase")
	}

	p = s.submit(p, "form[action=/editions/record/key/passphrase]", "next", "a bittern in the marsh", "again", "a bittern in the marsh")
	p.has("#key dd", "locked by a passphrase")
	s.sendForm(p, "form[action=/editions/record/key/passphrase]", "passphrase", "a bittern", "next", "x", "again", "x").is(422).has("form[action=/editions/record/key/passphrase]", "does not open the file")
	s.sendForm(p, "#signed form").is(409)
	s.submit(p, "form[action=/editions/record/key/replace]", "passphrase", "a bittern in the marsh")

	const ring = "form[action=/editions/record/key/keyring]"
	p = s.get(at)
	p.hasNot(ring) // there is none: see TestSetUpOffersTheKeyring
	s.post(at+"/key/keyring", "passphrase", "a bittern in the marsh", "sure", "true").is(409).has("main", "started without a keyring")
	s.get(at).has("#key dd", "locked by a passphrase")

	// The key that was exported was replaced meanwhile; a foreign one is none of this register.
	s.must(os.Remove(key))
	p = s.get(at)
	p.has("#key dd", "not where it belongs")
	s.sendFile(at+"/key/load", "file", "key.age", kept, "passphrase", "a heron in the marsh").is(409).has("form[action=/editions/record/key/load]", "or one that was replaced")
	foreign, err := sealog.NewKey("solander-register/0011223344556677", make([]byte, sealog.SeedSize))
	s.must(err)
	body, err := keyfile.Body(foreign, "")
	s.must(err)
	s.sendFile(at+"/key/load", "file", "key.txt", body).is(409).has("form[action=/editions/record/key/load]", "the key of another register")
	s.sendFile(at+"/key/load", "file", "key.txt", []byte("no key")).is(422).has("main", "no key of a register")

	p = s.submit(p, "form[action=/editions/record/key/lost]", "reason", "the disk failed")
	p.has("#key dd", "not locked")
	p = s.submit(p, "form[action=/editions/record/key/passphrase]", "next", "", "again", "")
	p.has("#key dd", "not locked")
}

// Rows that nobody vouches for any more, for their key is gone, are told of on both pages, and taken on by a form.
func TestRowsAreTakenOnByAForm(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	const at, vouch = "/editions/record", "form[action=/editions/record/vouch]"
	v, err := s.studio.Store.Vouched(s.ctx())
	s.must(err)
	if err := os.Remove(v.File); err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	p := s.get(at)
	s.sendForm(p, vouch, "reason", "the computer was replaced").is(422).has(vouch, "What was changed before is not told any more")
	s.sendForm(p, vouch, "sure", "true").is(422)
	p = s.submit(p, vouch, "reason", "the computer was replaced", "sure", "true")
	p.has("#rows dd", "since they were taken on as they stood")
	check := s.get("/studio/check")
	check.has("main", "All is well")
	check.has("main", "Not shown: the rows are vouched for since")
}

// The public record comes as one file, with the page of checks in it, and nobody who bought.
func TestPublicRecordAsAFile(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.leads(s.post("/orders", saleFields()...), "/orders/S-1001")
	p := s.get("/editions/record")
	sent := s.sendForm(p, "form[action=/editions/record/publish]").is(200)
	z, err := zip.NewReader(bytes.NewReader(sent.body), int64(len(sent.body)))
	s.must(err)
	names := map[string]bool{}
	for _, f := range z.File {
		r, err := f.Open()
		s.must(err)
		text, err := io.ReadAll(r)
		s.must(err)
		names[f.Name] = true
		if strings.Contains(string(text), "Quill") || strings.Contains(string(text), "S-1001") {
			t.Errorf("%s tells of a sale", f.Name)
		}
	}
	for _, name := range []string{"public-record/index.html", "public-record/record.json", "public-record/check.html"} {
		if !names[name] {
			t.Errorf("there is no %s", name)
		}
	}
	check := s.sendForm(p, "form[action=/editions/record/check-page]").is(200)
	if !strings.Contains(string(check.body), "Check a certificate") {
		t.Error("the page of checks is none")
	}
}

// The public record is read on a phone, whole and without anything to push aside, also when nothing is declared yet; so says a browser, which reads it as
// a file and without any network.
func TestPublicRecordOnAPhone(t *testing.T) {
	t.Parallel()
	empty := emptySite(t)
	first := empty.step(empty.get("/set-up"), 200, "studio", "Weir", "artist", "Ines Corrow", "ship_to.name", "Weir", "ship_to.line1", "4 Marsh Lane",
		"ship_to.city", "Roanoke", "ship_to.region", "VA", "ship_to.postcode", "24011")
	empty.opened(empty.step(empty.step(first, 200), 200)) // no work
	p := browsertest.Open(t)
	p.Offline()
	for _, s := range []*site{empty, newSite(t)} {
		files, err := record.Publish(s.ctx(), s.studio, "")
		s.must(err)
		index := filepath.Join(t.TempDir(), "index.html")
		s.must(os.WriteFile(index, files[slices.IndexFunc(files, func(f record.File) bool { return f.Path == "index.html" })].Body, 0o600))
		for _, wide := range []int64{320, 390, 1280} {
			p.Wide(wide)
			p.Go("file://" + index)
			if p.WiderThanItsWindow() || browsertest.Eval[bool](p, `[...document.querySelectorAll(".reflow")].some(e => e.scrollWidth > e.clientWidth)`) {
				t.Errorf("%d pixels wide something of it lies beside the page", wide)
			}
			p.MustBeAccessible()
		}
		if rows := p.Count(".reflow tbody tr"); s == empty && (rows != 0 || !strings.Contains(p.Text("main"), "No edition is declared yet.")) || s != empty && rows != 3 {
			t.Errorf("%d editions: %s", rows, p.Text("main"))
		}
	}
}
