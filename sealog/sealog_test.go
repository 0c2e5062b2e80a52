package sealog

import (
	"crypto/ed25519"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"
	"time"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
	"pgregory.net/rapid"

	"solander/edition"
	"solander/fault"
)

// Source: test vectors of RFC 6962 (SHA-256), as a public transparency repository has them: leaf inputs, leaf hashes, roots by size.
var (
	inputs = []string{"", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"}
	leaves = []string{
		"6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d", "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
		"0298d122906dcfc10892cb53a73992fc5b9f493ea4c9badb27b791b4127a7fe7", "07506a85fd9dd2f120eb694f86011e5bb4662e5c415a62917033d4a9624487e7",
		"bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b", "4271a26be0d8a84f0bd54c8c302e7cb3a3b5d1fa6780a40bcce2873477dab658",
		"b08693ec2e721597130641e8211e7eedccb4c26413963eee6c1e2ed16ffb1a5f", "46f6ffadd3d06a09ff3c5860d2755c8b9819db7df44251788c7d8e3180de8eb1",
	}
	roots = []string{
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855", "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
		"fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125", "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
		"d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7", "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
		"76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef", "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
		"5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
	}
)

const (
	node23   = "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e"
	node45   = "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a"
	node67   = "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0"
	node4to7 = "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4"
)

// grown is a tree of leaves with all hashes that are kept.
func grown(texts []string) (t Tree, stored []tlog.Hash) {
	for _, x := range texts {
		stored = t.Append(stored, LeafHash(x))
	}
	return t, stored
}

func reader(stored []tlog.Hash) tlog.HashReader {
	return tlog.HashReaderFunc(func(at []int64) ([]tlog.Hash, error) {
		var out []tlog.Hash
		for _, i := range at {
			out = append(out, stored[i])
		}
		return out, nil
	})
}

func hexed(h tlog.Hash) string { return hex.EncodeToString(h[:]) }

func vectors(t *testing.T) []string {
	t.Helper()
	var out []string
	for i, in := range inputs {
		raw, err := hex.DecodeString(in)
		if err != nil {
			t.Fatal(err)
		}
		if h := LeafHash(string(raw)); hexed(h) != leaves[i] {
			t.Errorf("leaf %d has the hash %s", i, hexed(h))
		}
		out = append(out, string(raw))
	}
	return out
}

func TestPublishedTree(t *testing.T) {
	texts := vectors(t)
	for n := range len(texts) + 1 {
		tree, _ := grown(texts[:n])
		if got := tree.Root(); hexed(got) != roots[n] {
			t.Errorf("the root of %d leaves is %s", n, hexed(got))
		}
	}
}

func TestPublishedProofs(t *testing.T) {
	texts := vectors(t)
	_, stored := grown(texts)
	// Source: as above; inclusion by index and size, consistency by both sizes.
	inclusion := map[[2]int64][]string{
		{0, 1}: {}, {0, 2}: {leaves[1]}, {1, 2}: {leaves[0]}, {2, 3}: {roots[2]}, {1, 5}: {leaves[0], node23, leaves[4]},
		{5, 8}: {leaves[4], node67, roots[4]}, {0, 8}: {leaves[1], node23, node4to7},
	}
	for at, want := range inclusion {
		p, err := tlog.ProveRecord(at[1], at[0], reader(stored))
		if err != nil || joined(p) != strings.Join(want, " ") {
			t.Errorf("leaf %d in %d: %s, %v", at[0], at[1], joined(p), err)
		}
		tree, _ := grown(texts[:at[1]])
		if err := tlog.CheckRecord(p, at[1], tree.Root(), at[0], LeafHash(texts[at[0]])); err != nil {
			t.Error(err)
		}
	}
	for at, want := range map[[2]int64][]string{{1, 8}: {leaves[1], node23, node4to7}, {6, 8}: {node45, node67, roots[4]}, {2, 5}: {node23, leaves[4]}} {
		p, err := tlog.ProveTree(at[1], at[0], reader(stored))
		if err != nil || joined(p) != strings.Join(want, " ") {
			t.Errorf("%d in %d: %s, %v", at[0], at[1], joined(p), err)
		}
		early, _ := grown(texts[:at[0]])
		late, _ := grown(texts[:at[1]])
		a, b := Checkpoint{"x", at[0], early.Root()}, Checkpoint{"x", at[1], late.Root()}
		if err := Follows(p, a, b); err != nil {
			t.Error(err)
		}
		if err := Follows(p, b, a); !fault.Is(err, fault.Invalid) {
			t.Errorf("an older checkpoint is taken: %v", err)
		}
		a.Root[0] ^= 1
		if err := Follows(p, a, b); !fault.Is(err, fault.Invalid) {
			t.Errorf("another past is taken: %v", err)
		}
	}
}

func joined[P ~[]tlog.Hash](p P) string {
	var out []string
	for _, h := range p {
		out = append(out, hexed(h))
	}
	return strings.Join(out, " ")
}

// The tree keeps what tlog keeps, hash by hash, and can be taken up again at any size from what is kept.
func TestTreeKeepsWhatTlogKeeps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		texts := rapid.SliceOfN(rapid.String(), 0, 70).Draw(t, "texts")
		var want []tlog.Hash
		for i, x := range texts {
			next, err := tlog.StoredHashes(int64(i), []byte(x), reader(want))
			if err != nil {
				t.Fatal(err)
			}
			want = append(want, next...)
		}
		at := rapid.IntRange(0, len(texts)).Draw(t, "at")
		_, stored := grown(texts[:at])
		var edge []tlog.Hash
		for _, i := range EdgeAt(int64(at)) {
			edge = append(edge, stored[i])
		}
		tree := NewTree(int64(at), edge)
		for _, x := range texts[at:] {
			stored = tree.Append(stored, LeafHash(x))
		}
		if joined(stored) != joined(want) {
			t.Fatalf("kept %s, want %s", joined(stored), joined(want))
		}
		root, err := tlog.TreeHash(int64(len(texts)), reader(want))
		if err != nil || root != tree.Root() {
			t.Fatalf("root %v, want %v (%v)", tree.Root(), root, err)
		}
		for i := range stored {
			leaf, k := Place(int64(i))
			if tlog.StoredHashIndex(0, leaf)+int64(k) != int64(i) {
				t.Fatalf("hash %d is said to be the %dth of leaf %d", i, k, leaf)
			}
		}
	})
}

// Source: RFC 8032, section 7.1, tests 1 to 3.
func TestPublishedSignatures(t *testing.T) {
	for _, x := range [][4]string{
		{"9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60", "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "", "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"},
		{"4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb", "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72", "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"},
		{"c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7", "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025", "af82", "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a"},
	} {
		seed, _ := hex.DecodeString(x[0])
		message, _ := hex.DecodeString(x[2])
		k, err := NewKey("editions.example/test", seed)
		if err != nil {
			t.Fatal(err)
		}
		if hex.EncodeToString(k.Public()) != x[1] || hex.EncodeToString(ed25519.Sign(k.private, message)) != x[3] {
			t.Errorf("key %x of seed %s", k.Public(), x[0])
		}
	}
}

func testKey(t testing.TB) Key {
	t.Helper()
	seed, err := hex.DecodeString("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
	if err != nil {
		t.Fatal(err)
	}
	k, err := NewKey("editions.example/test", seed)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// Source: C2SP signed-note; the text, key and signature were computed from its rules and the key of RFC 8032, test 1.
func TestSignedNote(t *testing.T) {
	k := testKey(t)
	if k.Verifier() != "editions.example/test+768c5aad+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea" {
		t.Errorf("the verifier is %s", k.Verifier())
	}
	signed, err := k.Sign("edition 1\n8\n")
	want := "edition 1\n8\n\n— editions.example/test doxarTrCmP4deLgbbLtvdXEPIzd2SlxMrO0CfZiXd6sD5mzXAbhJl2xrshN9BRIATuez7q+/yv7VD0rntvdrXLOqAQM=\n"
	if err != nil || string(signed) != want {
		t.Errorf("signed %q, %v", signed, err)
	}
}

func TestCheckpoints(t *testing.T) {
	k := testKey(t)
	v, err := NewVerifier(k.Verifier())
	if err != nil {
		t.Fatal(err)
	}
	root, _ := hex.DecodeString(roots[8])
	c := Checkpoint{k.Name(), 8, tlog.Hash(root)}
	signed, err := k.Sign(c.Text())
	if err != nil {
		t.Fatal(err)
	}
	if got, _, err := Open(signed, v); err != nil || got != c {
		t.Errorf("opened as %+v, %v", got, err)
	}
	other, err := NewKey(k.Name(), make([]byte, SeedSize))
	if err != nil {
		t.Fatal(err)
	}
	foreign, err := NewVerifier(other.Verifier())
	if err != nil {
		t.Fatal(err)
	}
	for what, in := range map[string]string{
		"a changed size": strings.Replace(string(signed), "\n8\n", "\n9\n", 1), "no signature": c.Text(), "nothing": "",
		"a cut": string(signed[:len(signed)-9]), "no checkpoint": mustSign(t, k, "hello\n"), "a size with a zero before it": mustSign(t, k, strings.Replace(c.Text(), "\n8\n", "\n08\n", 1)),
	} {
		if _, _, err := Open([]byte(in), v); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s is taken: %v", what, err)
		}
	}
	if _, _, err := Open(signed, foreign); !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), "another key") {
		t.Errorf("a foreign key: %v", err)
	}
}

func mustSign(t *testing.T, k Key, text string) string {
	t.Helper()
	signed, err := k.Sign(text)
	if err != nil {
		t.Fatal(err)
	}
	return string(signed)
}

// Source: C2SP tlog-cosignature: what is signed, type byte 04, eight bytes of time before the signature. The signature is made here from
// those words alone.
func TestCosignatures(t *testing.T) {
	k := testKey(t)
	c := Checkpoint{Origin: k.Name(), Size: 0}
	c.Root = (&Tree{}).Root()
	signed := mustSign(t, k, c.Text())
	private := ed25519.NewKeyFromSeed([]byte("the seed of a witness, 32 bytes."))
	name, at := "witness.example/w", uint64(1_900_000_000)
	sig := ed25519.Sign(private, []byte("cosignature/v1\ntime 1900000000\n"+c.Text()))
	public := private.Public().(ed25519.PublicKey)
	id := keyID(name, 4, public)
	raw := append([]byte{byte(id >> 24), byte(id >> 16), byte(id >> 8), byte(id)}, 0, 0, 0, 0, 0x71, 0x3f, 0xb3, 0x00)
	line := fmt.Sprintf("— %s %s\n", name, base64.StdEncoding.EncodeToString(append(raw, sig...)))
	w, err := NewVerifier(verifierText(name, 4, public))
	if err != nil {
		t.Fatal(err)
	}
	v, err := NewVerifier(k.Verifier())
	if err != nil {
		t.Fatal(err)
	}
	_, n, err := Open([]byte(signed+line), v, w)
	if err != nil {
		t.Fatal(err)
	}
	if got := Cosignatures(n, v, w); len(got) != 1 || got[0] != (Cosignature{name, time.Unix(int64(at), 0).UTC()}) {
		t.Errorf("co-signed by %+v", got)
	}
	raw[7+4]++ // another instant than was signed
	line = fmt.Sprintf("— %s %s\n", name, base64.StdEncoding.EncodeToString(append(raw, sig...)))
	if _, _, err := Open([]byte(signed+line), v, w); !fault.Is(err, fault.Invalid) {
		t.Errorf("a co-signature of another instant is taken: %v", err)
	}
}

func TestVerifiersAreRead(t *testing.T) {
	k := testKey(t)
	for _, in := range []string{"", "x", "a+b+c", strings.Replace(k.Verifier(), "768c", "768d", 1), verifierText("x", 9, k.Public()), "PRIVATE+KEY+x+00000000+AA=="} {
		if _, err := NewVerifier(in); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q is taken: %v", in, err)
		}
	}
	var _ note.Verifier = witness{}
}

func TestLeavesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Leaf{Kind: Kind(rapid.StringMatching(`[a-z-]{1,12}`).Draw(t, "kind")), Of: rapid.Int64().Draw(t, "of")}
		for range rapid.IntRange(0, 5).Draw(t, "facts") {
			l.Facts = append(l.Facts, Fact{rapid.StringMatching(`[a-z_]{1,9}`).Draw(t, "name"), rapid.String().Draw(t, "value")})
		}
		got, err := Parse(l.Text())
		if err != nil || Differs(got, l) != "" {
			t.Fatalf("%q is read as %+v, %v", l.Text(), got, err)
		}
		if cut := l.Text()[:len(l.Text())-1]; cut != "" {
			if back, err := Parse(cut); err == nil {
				t.Fatalf("%q is read as %+v", cut, back)
			}
		}
	})
}

// A commitment hides: without its salt the note of an entry cannot be tried, and with it every kept fact is held.
func TestEntryHidesWhatTellsOfPeople(t *testing.T) {
	e := edition.Entry{Seq: 7, Edition: 2, Number: edition.Number{Kind: edition.Numbered, N: 17}, Turn: 1, Step: edition.Promise, Order: "S-0012", Who: "Ada", Note: "for Brigid", At: time.UnixMicro(5)}
	salts, err := Salts(func(b []byte) error { b[0] = 9; return nil }, EntrySalts(e))
	if err != nil {
		t.Fatal(err)
	}
	l := OfEntry(e, salts)
	for _, word := range []string{"S-0012", "Ada", "Brigid"} {
		if strings.Contains(l.Text(), word) {
			t.Errorf("the leaf tells %s:\n%s", word, l.Text())
		}
	}
	for what, change := range map[string]func(*edition.Entry){
		"kept": func(e *edition.Entry) { e.Who = "Eve" }, "note": func(e *edition.Entry) { e.Note = "for Conal" }, "number": func(e *edition.Entry) { e.Number.N++ },
	} {
		other := e
		change(&other)
		if got := Differs(OfEntry(other, salts), l); got != what {
			t.Errorf("another %s is seen as %q", what, got)
		}
	}
}
