// Package sealog is the register as a log that nobody can bend: what every leaf of it says, the tree over them (RFC 6962), proofs that a
// leaf is in it and that a later tree holds an earlier one, and checkpoints signed by the studio's key (C2SP signed-note and tlog-checkpoint;
// Ed25519, RFC 8032). docs/formats/register.md describes every byte.
//
// It is pure: leaves, hashes and salts come in as arguments. It keeps nothing and knows no file, clock or chance. A leaf never holds a
// name, an address or words that somebody typed about a sale: those stand in it as salted commitments, which say nothing once the salt is gone.
package sealog

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"solander/fault"
)

// Kind is what a leaf tells of.
type Kind string

// The kinds of leaves.
const (
	Opened   Kind = "opened"        // the log begins; after a lost key, with the root of the one before
	TakenUp  Kind = "taken-up"      // what follows happened before there was a log
	Declared Kind = "declared"      // an edition, with its limit
	Entry    Kind = "entry"         // of the register
	Closed   Kind = "edition-ended" // an edition was closed, or cancelled
	KeyEvent Kind = "key"           // the register's key is made, or handed over
	DaySeal  Kind = "rows"          // the root of the rows beside the register, as they stood on a day
	Restored Kind = "restored"      // an older copy was put in place on purpose
	TakenOn  Kind = "rows-taken-on" // the rows beside the register were taken on as they stood, on purpose
)

// head begins every leaf; the kind follows.
const head = "solander-leaf/1 "

// Fact is one line of a leaf.
type Fact struct{ Name, Value string }

// Leaf is one leaf of the log.
type Leaf struct {
	Kind  Kind
	Of    int64    // what it is about: the number of an entry, the id of an edition; 0 = the log itself
	Facts []Fact   //
	Salts []string // of its commitments, in hex; they are no part of its bytes
}

// Int is a fact that is a whole number.
func Int[N int | int64](name string, n N) Fact { return Fact{name, strconv.FormatInt(int64(n), 10)} }

// Bit is a fact that is a yes or a no.
func Bit(name string, b bool) Fact {
	if b {
		return Fact{name, "1"}
	}
	return Fact{name, "0"}
}

var (
	escape   = strings.NewReplacer(`\`, `\\`, "\n", `\n`, "\r", `\r`)
	unescape = strings.NewReplacer(`\\`, `\`, `\n`, "\n", `\r`, "\r")
)

// Text is the bytes of the leaf, of which its hash is made.
func (l Leaf) Text() string {
	var room [usualText]byte
	return string(l.AppendText(room[:0]))
}

// AppendText appends the bytes of the leaf.
func (l Leaf) AppendText(b []byte) []byte {
	b = append(append(append(b, head...), l.Kind...), "\nof "...)
	return appendFacts(append(strconv.AppendInt(b, l.Of, 10), '\n'), l.Facts)
}

// usualText is more bytes than most leaves and commitments are made of.
const usualText = 512

func appendFacts(b []byte, facts []Fact) []byte {
	for _, f := range facts {
		b = append(append(b, f.Name...), ' ')
		if strings.IndexByte(f.Value, '\\') >= 0 || strings.IndexByte(f.Value, '\n') >= 0 || strings.IndexByte(f.Value, '\r') >= 0 {
			b = append(b, escape.Replace(f.Value)...)
		} else {
			b = append(b, f.Value...)
		}
		b = append(b, '\n')
	}
	return b
}

// Get is the value of a fact; "" when the leaf has none of that name.
func (l Leaf) Get(name string) string {
	for _, f := range l.Facts {
		if f.Name == name {
			return f.Value
		}
	}
	return ""
}

// Parse reads the bytes of a leaf. Faults: Invalid.
func Parse(text string) (Leaf, error) {
	bad := fault.New(fault.Invalid, "this is no leaf of a register").ToMend("give the bytes of a leaf as they were made")
	body, ok := strings.CutSuffix(text, "\n")
	lines := strings.Split(body, "\n")
	if !ok || len(lines) < 2 || !strings.HasPrefix(lines[0], head) || !strings.HasPrefix(lines[1], "of ") {
		return Leaf{}, bad
	}
	l := Leaf{Kind: Kind(lines[0][len(head):])}
	var err error
	if l.Of, err = strconv.ParseInt(lines[1][len("of "):], 10, 64); err != nil {
		return Leaf{}, bad
	}
	for _, line := range lines[2:] {
		name, value, ok := strings.Cut(line, " ")
		if !ok || name == "" {
			return Leaf{}, bad
		}
		l.Facts = append(l.Facts, Fact{name, unescape.Replace(value)})
	}
	if l.Text() != text {
		return Leaf{}, bad // one text for one leaf
	}
	return l, nil
}

// SaltSize is how many bytes of chance a salt has.
const SaltSize = 16

// Commit is a commitment to facts: it can be compared by whoever has them and the salt, and tells nothing without the salt.
func Commit(salt string, facts ...Fact) string {
	var room [usualText]byte
	b := append(append(append(room[:0], "solander-kept/1 "...), salt...), '\n')
	sum := sha256.Sum256(appendFacts(b, facts))
	var text [2 * sha256.Size]byte
	return string(hex.AppendEncode(text[:0], sum[:]))
}

// Salts draws n salts. Faults: those of draw.
func Salts(draw func([]byte) error, n int) ([]string, error) {
	all := make([]byte, n*SaltSize)
	if err := draw(all); err != nil {
		return nil, err
	}
	var text strings.Builder
	text.Grow(2 * len(all))
	out := make([]string, n)
	for i := range out {
		var one [2 * SaltSize]byte
		hex.Encode(one[:], all[i*SaltSize:(i+1)*SaltSize])
		text.Write(one[:])
		out[i] = text.String()[2*i*SaltSize:]
	}
	return out, nil
}

// Differs names the first fact in which two leaves differ, those that are left out aside; "" = none.
func Differs(a, b Leaf, but ...string) string {
	if a.Kind != b.Kind || a.Of != b.Of {
		return "kind"
	}
	if len(a.Facts) != len(b.Facts) {
		return fmt.Sprintf("number of facts (%d, %d)", len(a.Facts), len(b.Facts))
	}
	for i, f := range a.Facts {
		if g := b.Facts[i]; f.Name != g.Name || f.Value != g.Value && !slices.Contains(but, f.Name) {
			return f.Name
		}
	}
	return ""
}
