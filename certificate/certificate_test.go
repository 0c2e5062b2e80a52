package certificate_test

import (
	"encoding/hex"
	"fmt"
	"strings"
	"testing"

	"golang.org/x/mod/sumdb/tlog"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/certificate"
	"solander/edition"
	"solander/sealog"
)

// key is a register's key. Source of its seed: RFC 8032, section 7.1, test 1; the second is that of test 2.
func key(t testing.TB, seed string) sealog.Key {
	t.Helper()
	raw, err := hex.DecodeString(seed)
	if err != nil {
		t.Fatal(err)
	}
	k, err := sealog.NewKey("solander-register/0011223344556677", raw)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

const (
	first  = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
	second = "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb"
)

const facts = "signature: by the artist, in pencil\nposthumous: does not apply\n"

func statement() certificate.Statement {
	return certificate.Statement{
		Serial: 12, Edition: 3, Number: edition.Number{Kind: edition.Numbered, N: 17}, Limit: 250, Proofs: edition.Proofs{AP: 5, BAT: 1}, Year: 2030,
		Declared: calendar.Date(2030, 1, 2), Day: calendar.Date(2031, 3, 4), Title: "Heron at dusk", Artist: "Ines Varga", Facts: certificate.Digest(facts),
	}
}

func signed(t testing.TB, s certificate.Statement, k sealog.Key) certificate.Signed {
	t.Helper()
	out, err := certificate.Sign(s, k)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// proof puts a statement into a log with others, and proves that it is there.
func proof(t testing.TB, s certificate.Signed, k sealog.Key, before, after int) certificate.Proof {
	t.Helper()
	var hashes []tlog.Hash
	reader := tlog.HashReaderFunc(func(at []int64) (out []tlog.Hash, err error) {
		for _, i := range at {
			out = append(out, hashes[i])
		}
		return out, nil
	})
	for i := range before + 1 + after {
		text := fmt.Sprintf("solander-leaf/1 entry\nof %d\n", i)
		if i == before {
			text = s.Leaf().Text()
		}
		more, err := tlog.StoredHashes(int64(i), []byte(text), reader)
		if err != nil {
			t.Fatal(err)
		}
		hashes = append(hashes, more...)
	}
	size := int64(before + 1 + after)
	root, err := tlog.TreeHash(size, reader)
	if err != nil {
		t.Fatal(err)
	}
	path, err := tlog.ProveRecord(size, int64(before), reader)
	if err != nil {
		t.Fatal(err)
	}
	body, err := k.Sign(sealog.Checkpoint{Origin: k.Name(), Size: size, Root: root}.Text())
	if err != nil {
		t.Fatal(err)
	}
	p, err := certificate.ProofOf(int64(before), path, string(body), k.Verifier())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestCodesRoundTrip(t *testing.T) {
	t.Parallel()
	k := key(t, first)
	s := signed(t, statement(), k)
	if s.Label() != "17/250" || !strings.HasPrefix(s.Text(), "solander-certificate/1\nkey ") {
		t.Errorf("%s\n%s", s.Label(), s.Text())
	}
	got, p, err := certificate.Read(s.Small())
	if err != nil || p != nil || got != s {
		t.Errorf("%+v, %v, %v", got, p, err)
	}
	want := proof(t, s, k, 5, 7)
	got, p, err = certificate.Read(s.Large(want))
	if err != nil || got != s || p.Index != 5 || p.Size != 13 || p.Origin != k.Name() || len(p.Path) != len(want.Path) {
		t.Errorf("%+v, %+v, %v", got, p, err)
	}
	if v := certificate.Check(s.Large(want), certificate.Known{}); v.Word != certificate.ForeignKey || v.Key != k.Verifier() {
		t.Errorf("%s by the key %s", v.Word, v.Key)
	}
}

// Source: ISO/IEC 18004, capacity of version 9 at level M: 262 alphanumeric signs. The worst statement fits, and is cut between letters.
func TestSmallCodeFits(t *testing.T) {
	t.Parallel()
	k := key(t, first)
	rapid.Check(t, func(r *rapid.T) {
		s := statement()
		s.Title = rapid.StringN(0, 80, 200).Draw(r, "title")
		s.Artist = rapid.StringN(0, 80, 200).Draw(r, "artist")
		s.Serial = rapid.Int64Range(1, 1<<31).Draw(r, "serial")
		s.Edition = rapid.Int64Range(1, 1<<31).Draw(r, "edition")
		s.Number.N, s.Limit = edition.MaxLimit, edition.MaxLimit
		s.Proofs = edition.Proofs{AP: edition.MaxProofs, PP: edition.MaxProofs, HC: edition.MaxProofs, BAT: edition.MaxProofs}
		got := signed(r0(t), s, k)
		if len(got.Small()) > 262 {
			r.Fatalf("%d signs", len(got.Small()))
		}
		if v := certificate.Check(got.Small(), certificate.Known{Keys: []string{k.Verifier()}}); v.Word != certificate.SignedOnly {
			r.Fatalf("%q, %q: %s", s.Title, s.Artist, v.Word)
		}
	})
}

func r0(t *testing.T) testing.TB { return t }

func TestWords(t *testing.T) {
	t.Parallel()
	k, other := key(t, first), key(t, second)
	s := signed(t, statement(), k)
	p := proof(t, s, k, 5, 7)
	known := certificate.Known{Keys: []string{other.Verifier(), k.Verifier()}}
	list := func(l certificate.List, by sealog.Key) certificate.Known {
		l.Day = calendar.Date(2031, 4, 1)
		text, err := by.Sign(l.Text())
		if err != nil {
			t.Fatal(err)
		}
		return certificate.Known{Keys: known.Keys, List: string(text)}
	}
	changed := s
	changed.Title = "Heron at dawn"
	elsewhere := p
	elsewhere.Index = 6
	fresh := statement()
	fresh.Serial = 13
	second := signed(t, fresh, k)
	file := s.File(facts, p)
	for name, tc := range map[string]struct {
		text  string
		known certificate.Known
		want  certificate.Word
	}{
		"small":                          {s.Small(), known, certificate.SignedOnly},
		"large":                          {s.Large(p), known, certificate.Holds},
		"among other words":              {"scanned: " + s.Small() + "\n", known, certificate.SignedOnly},
		"a file":                         {file, known, certificate.Holds},
		"a file of Windows":              {strings.ReplaceAll(file, "\n", "\r\n"), known, certificate.Holds},
		"a file with other facts":        {strings.Replace(file, "in pencil", "in ink", 1), known, certificate.Changed},
		"nothing":                        {"", known, certificate.Unreadable},
		"another code":                   {"https://example.org/17", known, certificate.Unreadable},
		"another title":                  {changed.Small(), known, certificate.Changed},
		"nobody's key":                   {s.Small(), certificate.Known{}, certificate.ForeignKey},
		"a foreign key":                  {s.Large(p), certificate.Known{Keys: []string{other.Verifier()}}, certificate.ForeignKey},
		"a proof of another place":       {s.Large(elsewhere), known, certificate.NotInLog},
		"a proof of another certificate": {second.Large(p), known, certificate.NotInLog},
		"a log signed by another key":    {s.Large(proof(t, s, other, 5, 7)), known, certificate.NotInLog},
		"not ended":                      {s.Large(p), list(certificate.List{Last: 12}, k), certificate.Holds},
		"revoked":                        {s.Large(p), list(certificate.List{Last: 20, Ended: []certificate.Ended{{Serial: 12, Day: calendar.Date(2031, 3, 9)}}}, k), certificate.Revoked},
		"replaced":                       {s.Small(), list(certificate.List{Last: 20, Ended: []certificate.Ended{{Serial: 12, Day: calendar.Date(2031, 3, 9), By: 19}}}, k), certificate.Replaced},
		"an older list":                  {s.Small(), list(certificate.List{Last: 11}, k), certificate.OldList},
		"a list that nobody signed":      {s.Small(), certificate.Known{Keys: known.Keys, List: certificate.List{Last: 99}.Text()}, certificate.BadList},
	} {
		if got := certificate.Check(tc.text, tc.known); got.Word != tc.want || got.Says == "" {
			t.Errorf("%s: %s (%s), want %s", name, got.Word, got.Says, tc.want)
		}
	}
	for cut := range len(s.Large(p)) - 5 { // at every sign
		if got := certificate.Check(s.Large(p)[:cut+5], known); got.Word != certificate.CutOff {
			t.Fatalf("cut after %d signs: %s", cut+5, got.Word)
		}
	}
}

// A single sign that is another one never leaves a certificate good.
func TestEverySignCounts(t *testing.T) {
	t.Parallel()
	k := key(t, first)
	s := signed(t, statement(), k)
	known := certificate.Known{Keys: []string{k.Verifier()}}
	rapid.Check(t, func(r *rapid.T) {
		code := []byte(s.Small())
		if rapid.Bool().Draw(r, "large") {
			code = []byte(s.Large(proof(t, s, k, 3, 3)))
		}
		at := rapid.IntRange(5, len(code)-1).Draw(r, "at")
		was := code[at]
		code[at] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-.:*/"[rapid.IntRange(0, 40).Draw(r, "sign")]
		if got := certificate.Check(string(code), known); code[at] != was && got.Word.Good() {
			r.Fatalf("sign %d: %s", at, got.Word)
		}
	})
}

// Source: RFC 6962 roots and inclusion proofs of the eight test leaves, as in a public transparency repository's constants.
func TestRootOfAPath(t *testing.T) {
	t.Parallel()
	h := func(text string) (out tlog.Hash) {
		b, err := hex.DecodeString(text)
		if err != nil || copy(out[:], b) != tlog.HashSize {
			t.Fatal(text)
		}
		return out
	}
	leaf0 := h("6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d")
	leaf1 := h("96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7")
	leaf2 := h("0298d122906dcfc10892cb53a73992fc5b9f493ea4c9badb27b791b4127a7fe7")
	leaf4 := h("bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b")
	leaf5 := h("4271a26be0d8a84f0bd54c8c302e7cb3a3b5d1fa6780a40bcce2873477dab658")
	root2 := h("fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125")
	root4 := h("d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7")
	node23 := h("5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e")
	node67 := h("ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0")
	node4567 := h("6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4")
	roots := map[int64]tlog.Hash{
		1: leaf0, 2: root2, 3: h("aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77"),
		5: h("4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4"), 8: h("5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328"),
	}
	for _, tc := range []struct {
		index, size int64
		leaf        tlog.Hash
		path        tlog.RecordProof
	}{
		{0, 1, leaf0, nil},
		{0, 2, leaf0, tlog.RecordProof{leaf1}},
		{1, 2, leaf1, tlog.RecordProof{leaf0}},
		{2, 3, leaf2, tlog.RecordProof{root2}},
		{1, 5, leaf1, tlog.RecordProof{leaf0, node23, leaf4}},
		{5, 8, leaf5, tlog.RecordProof{leaf4, node67, root4}},
		{0, 8, leaf0, tlog.RecordProof{leaf1, node23, node4567}},
	} {
		got, err := certificate.RootOf(tc.path, tc.index, tc.size, tc.leaf)
		if err != nil || got != roots[tc.size] {
			t.Errorf("%d of %d: %x, %v", tc.index, tc.size, got[:4], err)
		}
		if _, err := certificate.RootOf(append(tc.path, leaf0), tc.index, tc.size, tc.leaf); err == nil {
			t.Errorf("%d of %d: a path that is too long leads to a root", tc.index, tc.size)
		}
		if _, err := certificate.RootOf(tc.path, tc.size, tc.size, tc.leaf); err == nil {
			t.Errorf("a leaf beyond the log leads to a root")
		}
	}
}

func FuzzCheck(f *testing.F) {
	k := key(f, first)
	s := signed(f, statement(), k)
	f.Add(s.Small())
	f.Add(s.Large(proof(f, s, k, 2, 2)))
	f.Add("SOL1:")
	f.Add("SOL2:///")
	known := certificate.Known{Keys: []string{k.Verifier()}}
	f.Fuzz(func(t *testing.T, text string) {
		if v := certificate.Check(text, known); v.Word.Good() && !strings.Contains(text, s.Small()[5:60]) {
			t.Errorf("%q is %s", text, v.Word)
		}
	})
}
