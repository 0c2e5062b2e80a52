package certificate

import (
	"bytes"
	"crypto/ed25519"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"

	"solander/fault"
	"solander/sealog"
)

// Word is what a check comes to. Only two of them are good, and each says no more than was proven.
type Word string

// The words.
const (
	Holds      Word = "holds"       // signed by a known key, and in the log that it signed
	SignedOnly Word = "signed"      // signed by a known key; no proof of the log is with it
	CutOff     Word = "cut-off"     // the code is not whole
	Unreadable Word = "unreadable"  // this is no code of a certificate
	Changed    Word = "changed"     // the signature is not of this text, or the facts are others
	ForeignKey Word = "foreign-key" // signed by a key that is not known to be the studio's
	NotInLog   Word = "not-in-log"  // the proof does not lead to the log that was signed
	Revoked    Word = "revoked"     // the studio took it back
	Replaced   Word = "replaced"    // another certificate took its place
	OldList    Word = "old-list"    // what is known of ended certificates is older than this one
	BadList    Word = "bad-list"    // no known key signed what is taken for the list of ended certificates
)

// Good reports the words of a certificate that may be relied on.
func (w Word) Good() bool { return w == Holds || w == SignedOnly }

// says are the words for people.
var says = map[Word]string{
	Holds:      "It holds: the studio's key signed it, and it stands in the register's log.",
	SignedOnly: "The studio's key signed it. The proof that it stands in the log is in the large code, or in the file.",
	CutOff:     "The code is cut off. Scan or copy it whole; nothing is known of the certificate by this.",
	Unreadable: "This is no code of a certificate.",
	Changed:    "It does not hold: what it says is not what was signed.",
	ForeignKey: "It is signed by a key that is not known to be this studio's. Compare the key with the one that the studio shows.",
	NotInLog:   "It does not hold: its proof does not lead to the log that the studio signed.",
	Revoked:    "It was revoked by the studio.",
	Replaced:   "Another certificate took its place.",
	OldList:    "The signature is right, but what is known here of revoked certificates is older than this one. Get the studio's newest list.",
	BadList:    "The signature is right, but what is taken for the list of revoked certificates is none that the studio signed. Get the studio's newest list.",
}

// Says is the word for people.
func (w Word) Says() string { return says[w] }

// Verdict is what a check came to.
type Verdict struct {
	Word      Word     `json:"word"`
	Says      string   `json:"says"`
	Statement []string `json:"statement,omitempty"` // line by line, of what could be read; it is proven only by a good word
	Key       string   `json:"key,omitempty"`       // the public key by which it was checked; of a foreign one, that which a large code carries
	Size      int64    `json:"size,omitempty"`      // of the log, of a large code
	List      string   `json:"list,omitempty"`      // day of the list of ended certificates that was looked at; "" = none was
	Facts     bool     `json:"facts"`               // the facts that go with it were there, and are those that were signed
}

// Known is what a check goes by.
type Known struct {
	Keys []string // public keys of the studio: name+id+base64
	List string   // the newest signed list of ended certificates; "" = none
	Own  *List    // the studio's own list, where the studio itself asks; it needs no signature
}

// token is a code within a text.
var token = regexp.MustCompile(`SOL[12]:[0-9A-Z\-.:*/]*`)

// Check checks a text in which the code of a certificate stands: scanned, pasted, or a file of it.
func Check(text string, known Known) Verdict {
	code := CodeIn(text)
	if code == "" {
		return verdict(Unreadable, nil)
	}
	s, p, err := Read(code)
	switch {
	case errors.Is(err, errCut):
		return verdict(CutOff, nil)
	case err != nil:
		return verdict(Unreadable, nil)
	}
	v := s.check(p, known)
	if v.Word.Good() {
		facts, there := FactsIn(text)
		if there && Digest(facts) != s.Facts {
			return Verdict{Word: Changed, Says: "It does not hold: the facts that go with it are not those that were signed.", Key: v.Key}
		}
		v.Facts = there
		ended(&v, s, known)
	}
	return v
}

func verdict(w Word, s *Signed) Verdict {
	v := Verdict{Word: w, Says: w.Says()}
	if s != nil {
		v.Statement = strings.Split(strings.TrimSuffix(s.Text(), "\n"), "\n")
	}
	return v
}

// Read reads a code: a statement and, of a large one, its proof.
func Read(code string) (s Signed, p *Proof, err error) {
	body, large := strings.CutPrefix(code, LargePrefix)
	if !large {
		var small bool
		if body, small = strings.CutPrefix(code, SmallPrefix); !small {
			return s, nil, errStrange
		}
	}
	raw, err := unpack(body)
	if err != nil {
		return s, nil, err
	}
	r := &reader{b: raw}
	if s, err = r.signed(); err != nil {
		return s, nil, err
	}
	if large {
		got, err := r.proof()
		if err != nil {
			return s, nil, err
		}
		p = &got
	}
	return s, p, r.end()
}

// check looks at signature and proof.
func (s Signed) check(p *Proof, known Known) Verdict {
	by := s.verifier(known.Keys)
	if by == nil {
		v := verdict(ForeignKey, &s)
		if p != nil { // to be compared with the key that the studio shows
			v.Key = KeyText(p.Origin, p.Public)
		}
		return v
	}
	if !signedBy(s.Text(), by, s.Signature[:]) {
		return verdict(Changed, nil)
	}
	w := SignedOnly
	var size int64
	if p != nil {
		if err := p.holds(s, by); err != nil {
			return verdict(NotInLog, nil)
		}
		w, size = Holds, p.Size
	}
	v := verdict(w, &s)
	v.Key, v.Size = textOf(by, known.Keys), size
	return v
}

// verifier is the known key of a statement; nil when it is of none.
func (s Signed) verifier(keys []string) note.Verifier {
	for _, k := range keys {
		if v, err := sealog.NewVerifier(k); err == nil && v.KeyHash() == s.Key {
			return v
		}
	}
	return nil
}

func textOf(v note.Verifier, keys []string) string {
	for _, k := range keys {
		if w, err := sealog.NewVerifier(k); err == nil && w.KeyHash() == v.KeyHash() {
			return strings.TrimSpace(k)
		}
	}
	return ""
}

var errNotIn = errors.New("the leaf is not in the log")

// holds proves that the leaf of a statement is in the log that the key signed. The root follows from leaf and path.
func (p Proof) holds(s Signed, by note.Verifier) error {
	if p.Origin != by.Name() || !bytes.HasSuffix(publicOf(by, p.Public), p.Public[:]) {
		return errNotIn
	}
	root, err := RootOf(p.Path, p.Index, p.Size, sealog.LeafHash(s.Leaf().Text()))
	if err != nil {
		return err
	}
	if !signedBy(sealog.Checkpoint{Origin: p.Origin, Size: p.Size, Root: root}.Text(), by, p.Signature[:]) {
		return errNotIn
	}
	return nil
}

// publicOf is the public key, when its id is that of the verifier; else nothing.
func publicOf(v note.Verifier, public [32]byte) []byte {
	text := KeyText(v.Name(), public)
	w, err := note.NewVerifier(text)
	if err != nil || w.KeyHash() != v.KeyHash() {
		return nil
	}
	return public[:]
}

// KeyText is a public key as a text that other programs take (C2SP signed-note).
func KeyText(name string, public [32]byte) string {
	text, err := note.NewEd25519VerifierKey(name, ed25519.PublicKey(public[:]))
	if err != nil {
		return ""
	}
	return text
}

// RootOf is the root to which a leaf's path leads. Source: RFC 6962, 2.1.1 (the path from the leaf up).
func RootOf(path tlog.RecordProof, index, size int64, leaf tlog.Hash) (tlog.Hash, error) {
	if index < 0 || index >= size {
		return leaf, errNotIn
	}
	h, at, last := leaf, index, size-1
	for _, next := range path {
		if last == 0 {
			return h, errNotIn
		}
		if at%2 == 1 || at == last {
			h = tlog.NodeHash(next, h)
			for at%2 == 0 && at != 0 {
				at, last = at/2, last/2
			}
		} else {
			h = tlog.NodeHash(h, next)
		}
		at, last = at/2, last/2
	}
	if last != 0 {
		return h, errNotIn
	}
	return h, nil
}

// ended looks whether the certificate was revoked or replaced.
func ended(v *Verdict, s Signed, known Known) {
	var l List
	switch {
	case known.Own != nil:
		l = *known.Own
	case known.List == "":
		return
	default:
		var err error
		if l, err = OpenList(known.List, known.Keys...); err != nil {
			v.Word, v.Says = BadList, BadList.Says()
			return
		}
	}
	v.List = l.Day.String()
	for _, e := range l.Ended {
		if e.Serial != s.Serial {
			continue
		}
		v.Word = Revoked
		if e.By != 0 {
			v.Word = Replaced
		}
		v.Says = fmt.Sprintf("%s On %s.", v.Word.Says(), e.Day)
		if e.By != 0 {
			v.Says = fmt.Sprintf("%s On %s, by number %d.", v.Word.Says(), e.Day, e.By)
		}
		return
	}
	if s.Serial > l.Last {
		v.Word, v.Says = OldList, OldList.Says()
	}
}

// The facts that go with a certificate stand in a file between these two lines.
const (
	factsHead = "-----BEGIN FACTS-----\n"
	factsFoot = "-----END FACTS-----\n"
)

// FactsIn are the facts within a file of a certificate.
func FactsIn(text string) (facts string, there bool) {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	_, rest, there := strings.Cut(text, factsHead)
	if !there {
		return "", false
	}
	facts, _, there = strings.Cut(rest, factsFoot)
	return facts, there
}

// File is a certificate as a file: what it says, the facts that go with it, and the large code.
func (s Signed) File(facts string, p Proof) string {
	return fmt.Sprintf("Certificate %d: %s, %s, %s\nCheck it by the page that goes with it, or by what docs/formats/certificate.md says.\n\n%s%s%s\n%s\n",
		s.Serial, s.Title, s.Label(), s.Artist, factsHead, facts, factsFoot, s.Large(p))
}

// CodeIn is the first code in a text; "" = there is none.
func CodeIn(text string) string { return token.FindString(text) }

// SerialIn is the serial of the certificate whose code stands in a text. Faults: Invalid.
func SerialIn(text string) (int64, error) {
	s, _, err := Read(CodeIn(text))
	if err != nil {
		return 0, fault.Invalidf("code", "this is no code of a certificate").ToMend("paste the text of its code, or of its file").Because(err)
	}
	return s.Serial, nil
}
