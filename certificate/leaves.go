package certificate

import (
	"crypto/sha256"
	"encoding/hex"
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/sealog"
)

// The kinds of leaves that tell of certificates and of what became of prints.
const (
	LeafMade  sealog.Kind = "certificate"
	LeafEnded sealog.Kind = "certificate-ended"
	LeafTold  sealog.Kind = "told"
)

func numberFact(n edition.Number) sealog.Fact {
	return sealog.Fact{Name: "number", Value: string(n.Kind) + " " + strconv.Itoa(n.N)}
}

// Leaf is the leaf of the log that tells of the certificate. It names nobody.
func (s Statement) Leaf() sealog.Leaf {
	sum := sha256.Sum256([]byte(s.Text()))
	return sealog.Leaf{Kind: LeafMade, Of: s.Serial, Facts: []sealog.Fact{
		sealog.Int("edition", s.Edition),
		numberFact(s.Number),
		{Name: "day", Value: s.Day.String()},
		{Name: "statement", Value: hex.EncodeToString(sum[:])},
	}}
}

// Read reads what was signed. Faults: Invalid when its code cannot be read; Refused when what is kept beside the code is not what was signed.
func (k Kept) Read() (Signed, error) {
	s, _, err := Read(k.Code)
	if err != nil {
		return s, err
	}
	what := ""
	v, err := sealog.NewVerifier(k.Key)
	switch {
	case s.Serial != k.ID:
		what = "serial"
	case s.Edition != k.Edition || s.Number != k.Number:
		what = "number"
	case s.Day != k.Day:
		what = "day"
	case s.Facts != Digest(k.Facts):
		what = "facts"
	case err != nil || v.KeyHash() != s.Key || !signedBy(s.Text(), v, s.Signature[:]):
		what = "key"
	default:
		return s, nil
	}
	return s, fault.New(fault.Refused, "its %s is another than was signed", what).At("certificate %d", k.ID)
}

// Leaf is the leaf that tells of the end of a certificate.
func (e End) Leaf() sealog.Leaf {
	return sealog.Leaf{Kind: LeafEnded, Of: e.Certificate, Facts: []sealog.Fact{
		sealog.Int("followed-by", e.FollowedBy), {Name: "day", Value: e.Day.String()},
	}}
}

// Leaf is the leaf of what an owner told. It names nobody.
func (x Transfer) Leaf() sealog.Leaf {
	return sealog.Leaf{Kind: LeafTold, Of: x.ID, Facts: []sealog.Fact{
		sealog.Int("edition", x.Edition),
		numberFact(x.Number),
		sealog.Int("certificate", x.Certificate),
		{Name: "told", Value: string(x.Told)},
		{Name: "day", Value: x.Day.String()},
		{Name: "kept", Value: x.Kept},
	}}
}

// Owner is who told something, and what else was said. It stands outside the log, which holds a commitment to it alone.
type Owner struct {
	Salt, Name, Note string
}

// Words is the owner as it is kept; see Transfer.Owner.
func (o Owner) Words() string { return o.Salt + "\n" + o.Name + "\n" + o.Note }

// Commitment is what the log holds of an owner.
func (o Owner) Commitment() string {
	return sealog.Commit(o.Salt, sealog.Fact{Name: "name", Value: o.Name}, sealog.Fact{Name: "note", Value: o.Note})
}

// Erased stands where the words of an owner were, once they are forgotten.
const Erased = "(erased)"

// Owner reads who told it; false once that was forgotten.
func (x Transfer) Owner() (Owner, bool) {
	parts := strings.SplitN(x.Words, "\n", 3)
	if len(parts) != 3 {
		return Owner{}, false
	}
	return Owner{parts[0], parts[1], parts[2]}, true
}

// Vouched reports whether its words are those to which the log is committed, or were forgotten.
func (x Transfer) Vouched() bool {
	o, known := x.Owner()
	return known && o.Commitment() == x.Kept || x.Words == Erased
}
