package record_test

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/mod/sumdb/tlog"

	"solander/record"
	"solander/sealog"
	"solander/store"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// published is a studio with a log of more than one tile, and the folder of its public record.
func published(t *testing.T) (*studio.Studio, string, []record.File) {
	t.Helper()
	s, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "studio.db"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 300)
	st := studio.New(s, studio.Options{})
	for n := range 270 {
		bed.Write(t, s, func(tx studio.Tx) error { _, err := h.Take(tx, ed); return err })
		if n == 100 || n == 250 {
			if _, err := record.Sign(t.Context(), st, ""); err != nil {
				t.Fatal(err)
			}
		}
	}
	files, err := record.Publish(t.Context(), st, "", record.File{Path: record.CheckPage, Body: []byte("<p>check")})
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	for _, f := range files {
		at := filepath.Join(folder, f.Path)
		if err := os.MkdirAll(filepath.Dir(at), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, f.Body, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return st, folder, files
}

// tiles read a published log as x/mod's own reader of tiles does.
type tiles struct{ folder string }

func (tiles) Height() int { return 8 }

func (r tiles) ReadTiles(all []tlog.Tile) (data [][]byte, err error) {
	for _, x := range all {
		path := strings.Replace(x.Path(), "tile/8/", "tile/", 1) // Source: C2SP tlog-tiles, "Merkle Tree": no height in the path
		body, err := os.ReadFile(filepath.Join(r.folder, path))
		if err != nil {
			return nil, err
		}
		data = append(data, body)
	}
	return data, nil
}

func (tiles) SaveTiles([]tlog.Tile, [][]byte) {}

func TestPublicRecordIsReadByOthers(t *testing.T) {
	st, folder, files := published(t)
	var data record.Published
	for _, f := range files {
		if f.Path == "record.json" {
			if err := json.Unmarshal(f.Body, &data); err != nil {
				t.Fatal(err)
			}
		}
		for _, word := range []string{"S-10", "Mara", "Lindqvist", "salts"} { // the marks of orders, the buyer
			if bytes.Contains(f.Body, []byte(word)) {
				t.Errorf("%s holds %q", f.Path, word)
			}
		}
	}
	if index, err := os.ReadFile(filepath.Join(folder, "index.html")); err != nil || !bytes.Contains(index, []byte(`href="check.html"`)) {
		t.Errorf("the page leads to no page that checks certificates (%v)", err)
	}
	if len(data.Logs) != 1 || len(data.Logs[0].Checkpoints) != 3 || len(data.Logs[0].Consistency) != 2 || len(data.Logs[0].Keys) != 1 {
		t.Fatalf("published %+v", data.Logs)
	}
	log := data.Logs[0]
	at := filepath.Join(folder, log.Folder)
	verifier, err := sealog.NewVerifier(log.Keys[0])
	if err != nil {
		t.Fatal(err)
	}
	points := make([]sealog.Checkpoint, 3)
	for i, p := range log.Checkpoints {
		if points[i], _, err = sealog.Open([]byte(p.Signed), verifier); err != nil {
			t.Fatal(err)
		}
	}
	// The tiles, by the reader of golang.org/x/mod: it compares every tile with the root.
	newest := points[2]
	reader := tlog.TileHashReader(tlog.Tree{N: newest.Size, Hash: newest.Root}, tiles{at})
	for _, index := range []int64{0, 1, 255, 256, newest.Size - 1} {
		p, err := tlog.ProveRecord(newest.Size, index, reader)
		if err != nil {
			t.Fatal(err)
		}
		var leaf sealog.KeptLeaf
		bed.Read(t, st.Store, func(tx studio.Tx) (err error) { leaf, err = tx.LeafAt(1, index); return err })
		if err := tlog.CheckRecord(p, newest.Size, newest.Root, index, sealog.LeafHash(leaf.Body)); err != nil {
			t.Error(err)
		}
	}
	for i, c := range log.Consistency {
		var p tlog.TreeProof
		for _, text := range c.Hashes {
			h, err := tlog.ParseHash(text)
			if err != nil {
				t.Fatal(err)
			}
			p = append(p, h)
		}
		if err := sealog.Follows(p, points[i], points[i+1]); err != nil {
			t.Error(err)
		}
	}
}

// readByNode lets a program in another language, written from docs/formats/register.md, read a published log.
func readByNode(t *testing.T, folder string, keys ...string) (out struct {
	Size, Leaves, Tiles int64
	Holds               bool
	By                  []string
}, err error,
) {
	t.Helper()
	body, err := exec.Command("node", append([]string{"testdata/read.mjs", folder}, keys...)...).Output()
	if err == nil {
		err = json.Unmarshal(body, &out)
	}
	return out, err
}

// Source: C2SP tlog-tiles, signed-note, tlog-checkpoint and tlog-cosignature; Node's WebCrypto is the other implementation.
func TestAnotherProgramReadsTheRecord(t *testing.T) {
	if _, err := exec.LookPath("node"); err != nil {
		t.Fatal("node is not here: the other program cannot be asked")
	}
	st, folder, _ := published(t)
	at := filepath.Join(folder, "log-1")
	var key string
	bed.Read(t, st.Store, func(tx studio.Tx) error {
		keys, err := tx.LeavesOf(sealog.KeyEvent, 0)
		key = keys[0].Get("key")
		return err
	})
	signed, err := os.ReadFile(filepath.Join(at, "checkpoint"))
	if err != nil {
		t.Fatal(err)
	}
	// A witness co-signs, by what the page says of it alone.
	private := ed25519.NewKeyFromSeed([]byte("another seed of a witness, 32 b."))
	name, public := "witness.example/w2", append([]byte{4}, private.Public().(ed25519.PublicKey)...)
	text, _, _ := strings.Cut(string(signed), "\n\n")
	sig := ed25519.Sign(private, []byte("cosignature/v1\ntime 1800000000\n"+text+"\n"))
	id := sha256.Sum256(append([]byte(name+"\n"), public...))
	raw := append(binary.BigEndian.AppendUint64(id[:4:4], 1800000000), sig...)
	witness := fmt.Sprintf("%s+%x+%s", name, id[:4], base64.StdEncoding.EncodeToString(public))
	both := string(signed) + "— " + name + " " + base64.StdEncoding.EncodeToString(raw) + "\n"
	if err := os.WriteFile(filepath.Join(at, "checkpoint"), []byte(both), 0o600); err != nil {
		t.Fatal(err)
	}
	got, err := readByNode(t, at, key, witness)
	if err != nil || !got.Holds || got.Size != got.Leaves || got.Size < 257 || got.Tiles < 3 || len(got.By) != 2 {
		t.Fatalf("read as %+v, %v", got, err)
	}
	p, err := record.Verify(t.Context(), st, []byte(both), []string{witness})
	if err != nil || len(p.Found) > 0 || len(p.Witnesses) != 1 || p.Witnesses[0].Name != name || p.Witnesses[0].At.Unix() != 1800000000 {
		t.Errorf("verified as %+v, %v", p, err)
	}
	// One byte of one leaf is another.
	bundle := filepath.Join(at, "tile", "entries", "000")
	body, err := os.ReadFile(bundle)
	if err != nil {
		t.Fatal(err)
	}
	body[len(body)/2] ^= 1
	if err := os.WriteFile(bundle, body, 0o600); err != nil {
		t.Fatal(err)
	}
	if got, err := readByNode(t, at, key); err == nil && got.Holds {
		t.Error("a changed leaf is called whole")
	}
}

// Two programs that sign with one key, an older copy of the studio with it: what they signed contradicts each other, and it is seen.
func TestTwoStudiosWithOneKey(t *testing.T) {
	place := filepath.Join(t.TempDir(), "studio.db")
	open := func(place string) *studio.Studio {
		t.Helper()
		s, err := store.Open(t.Context(), place, store.Options{})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { s.Close() })
		return studio.New(s, studio.Options{})
	}
	one := open(place)
	h := bed.Furnished(t, one.Store)
	ed := h.Declare(t, one.Store, 30)
	if _, err := record.Sign(t.Context(), one, ""); err != nil {
		t.Fatal(err)
	}
	var copied bytes.Buffer
	if err := one.Store.Dump(t.Context(), &copied); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(t.TempDir(), "studio.db")
	key, err := os.ReadFile(place + "-register-key")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(other+"-register-key", key, 0o600); err != nil {
		t.Fatal(err)
	}
	two := open(other)
	if err := two.Store.Load(t.Context(), &copied); err != nil {
		t.Fatal(err)
	}
	var signed [2]sealog.Signed
	for i, st := range []*studio.Studio{one, two} {
		bed.Write(t, st.Store, func(tx studio.Tx) error { _, err := h.Take(tx, ed); return err })
		if signed[i], err = record.Sign(t.Context(), st, ""); err != nil {
			t.Fatal(err)
		}
	}
	for i, st := range []*studio.Studio{one, two} {
		own, err := record.Verify(t.Context(), st, []byte(signed[i].Body), nil)
		if err != nil || len(own.Found) > 0 {
			t.Errorf("its own: %+v, %v", own, err)
		}
		p, err := record.Verify(t.Context(), st, []byte(signed[1-i].Body), nil)
		if err != nil || len(p.Found) != 1 || !strings.Contains(p.Found[0], "not those that were signed") {
			t.Errorf("the other's: %+v, %v", p, err)
		}
	}
}
