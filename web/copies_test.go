package web

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"solander/copies"
	"solander/rota"
	"solander/store"
	"solander/studio"
)

// keeping gives a site what keeps its copies.
func (s *site) keeping() *copies.Keeper {
	s.t.Helper()
	k := &copies.Keeper{
		Keys: copies.Keys{File: filepath.Join(s.t.TempDir(), "keys"), Get: func(string) string { return "" }},
		Scratch: func(ctx context.Context, use func(studio.Store, string) error) error {
			folder := s.t.TempDir()
			st, err := store.Open(ctx, filepath.Join(folder, "scratch.db"), store.Options{Hasty: true, Story: true})
			if err != nil {
				return err
			}
			defer st.Close()
			return use(st, folder)
		},
	}
	s.start()
	s.face.copies.Keep = k
	return k
}

// The copies of a studio, from the first choice to another computer, and back.
func TestCopiesByTheirPage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.get("/studio/copies").is(200).has("main", "No copies are made of the invented studio")
	k := s.keeping()
	s.get("/").is(200).has("main", "No copies are made by themselves")
	s.get("/studio").is(200).one("a[href='/studio/copies']")
	folder := t.TempDir()
	fields := []string{"to", "folder", "time", "02:30", "keep.days", "7", "keep.weeks", "4", "keep.months", "12"}
	s.post("/studio/copies", append(fields, "folder", filepath.Join(folder, "none"))...).is(409).has(".faults", "a stick may have been pulled out")
	bad := s.post("/studio/copies", append(fields, "to", "bucket", "address", "http://s3.example.net", "bucket", "b", "access", "a", "secret", "very secret")[2:]...)
	if bad.is(422).has(".faults", "use https://"); strings.Contains(string(bad.body), "very secret") {
		t.Error("the secret is sent back")
	}
	page := s.leads(s.post("/studio/copies", append(fields, "folder", folder)...), "/studio/copies")
	page.has("header", "At work now")
	r := &rota.Runner{Studio: s.studio, Jobs: k.Jobs(), Holder: "here"}
	s.must(r.Look(t.Context()))
	s.leads(s.post("/studio/copies/drill"), "/studio/copies")
	s.must(r.Look(t.Context()))
	page = s.get("/studio/copies").is(200)
	page.has("main", "Last good copy today at")
	page.has("main", "last good drill today at")
	page.has("main details", "1 copy there")
	s.get("/").is(200).has("main", "Last good copy today")
	key := s.post("/studio/copies/key").is(200)
	if !strings.Contains(string(key.body), "AGE-SECRET-KEY-") || !strings.Contains(key.header.Get("Content-Disposition"), "attachment") {
		t.Errorf("the key comes as %.80s", key.body)
	}

	before := s.sum()
	s.post("/studio/copies/leave", "into", folder).is(422).has(".faults", "tick it")
	if s.sum() != before {
		t.Error("something was written")
	}
	left := s.post("/studio/copies/leave", "into", folder, "sure", "1").is(200)
	strong := left.find("main strong")
	if len(strong) != 2 {
		t.Fatalf("%d things to carry over", len(strong))
	}
	file, words := textOf(strong[0]), textOf(strong[1])
	s.get("/").is(200).has(".demo", "left for another computer")
	s.post("/orders", saleFields()...).is(409).has(".faults", "left for another computer")

	body, err := os.ReadFile(strings.TrimSpace(file))
	s.must(err)
	there := emptySite(t)
	there.get("/set-up").is(200).has("main", "open a studio from another computer")
	send := func(words string) answer {
		return there.sendFile("/set-up/bring", "file", "studio.move", body, "words", words)
	}
	send("wrong").is(422).has(".faults", "does not open the file")
	there.leads(send(strings.TrimSpace(words)), "/").has(".said", "The studio is here now")
	there.get("/editions").is(200).has("main", "Heron at dusk")
	send(strings.TrimSpace(words)).is(409) // never over a studio that is there

	s.leads(s.post("/studio/copies/back"), "/studio/copies").has(".said", "worked on here again")
	s.leads(s.post("/orders", saleFields()...), "/orders/")
}
