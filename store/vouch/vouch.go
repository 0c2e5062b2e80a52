// Package vouch says by a key what the digests of rows alone cannot say: that this program made them. Of each row it makes a mark, which stands beside
// the digest and names the row when somebody else made the digest anew; and of all rows of a table a sum, kept in cipher, which no row can leave or come
// back to unseen. It knows no table and no file.
//
// A sum is that of a multiset: for each row a number of 128 bits, added without regard to order (modulo 2 to the 128th). Mark and number are the two halves
// of HMAC-SHA-256 (RFC 2104) over the row's name and digest; the number is told to nobody, for the sums stand in cipher (XChaCha20-Poly1305), all of them
// in one cell: an older sum of one table cannot be put back alone. Source: Clarke, Devadas, van Dijk, Gassend, Suh, "Incremental Multiset Hash
// Functions" (2003), of which MSet-Add-Hash is the pattern; from memory.
package vouch

import (
	"crypto/hkdf"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"maps"
	"math/bits"
	"slices"
	"strings"
	"time"

	"solander/store/vault"
)

// SecretSize is how many bytes of chance a key is made of.
const SecretSize = 32

// Key is a key of rows, ready for use.
type Key struct {
	ID   string // tells keys apart, and nothing else
	rows []byte
	box  *vault.Key
}

// New makes a key of its secret, by HKDF-SHA-256 (RFC 5869).
func New(secret []byte) (*Key, error) {
	if len(secret) != SecretSize {
		return nil, fmt.Errorf("a key of rows has %d bytes, not %d", len(secret), SecretSize)
	}
	derived := func(info string, size int) []byte {
		out, _ := hkdf.Key(sha256.New, secret, nil, info, size) // it fails for sizes alone that no key has
		return out
	}
	box, err := vault.New(derived("solander row sums 1", SecretSize))
	return &Key{ID: hex.EncodeToString(derived("solander row key id 1", 8)), rows: derived("solander rows 1", SecretSize), box: box}, err
}

// Weight is what one row, or several together, come to in a sum.
type Weight struct{ High, Low uint64 }

// Plus adds, modulo 2 to the 128th.
func (w Weight) Plus(v Weight) Weight {
	low, carry := bits.Add64(w.Low, v.Low, 0)
	high, _ := bits.Add64(w.High, v.High, carry)
	return Weight{high, low}
}

// Minus takes away, modulo 2 to the 128th.
func (w Weight) Minus(v Weight) Weight {
	low, borrow := bits.Sub64(w.Low, v.Low, 0)
	high, _ := bits.Sub64(w.High, v.High, borrow)
	return Weight{high, low}
}

// Marks makes marks and weights, one after the other.
type Marks struct {
	sum  hash.Hash
	text []byte
	out  [sha256.Size]byte
}

// Marks are those of a key.
func (k *Key) Marks() *Marks { return &Marks{sum: hmac.New(sha256.New, k.rows)} }

// Of is the mark of a row, in hex, and what it comes to in the sum of its table. The row is told by its texts, each behind its length in four bytes.
func (m *Marks) Of(texts ...string) (mark string, w Weight) {
	m.text = m.text[:0]
	for _, t := range texts {
		m.text = append(binary.BigEndian.AppendUint32(m.text, uint32(len(t))), t...)
	}
	m.sum.Reset()
	m.sum.Write(m.text)
	out := m.sum.Sum(m.out[:0])
	return hex.EncodeToString(out[:16]), Weight{binary.BigEndian.Uint64(out[16:]), binary.BigEndian.Uint64(out[24:])}
}

// Sum is that of a table.
type Sum struct {
	Rows   int64
	Weight Weight
}

// Sums are what is kept in cipher.
type Sums struct {
	Tables map[string]Sum

	Log, Leaves int64 // the log of now, and how many leaves it had after the latest write; 0 = there was none
	Root        string

	Since time.Time // when rows were taken on as they stood; none = they were vouched for from the first on
	Why   Why
}

// Why is why rows were taken on as they stood.
type Why string

// The reasons.
const (
	Earlier Why = "earlier" // an older program had kept them
	Copied  Why = "copied"  // they came in a copy
	Said    Why = "said"    // somebody said so
)

// Change changes the sum of a table by rows that were added, less those that were taken out.
func (s *Sums) Change(table string, rows int64, by Weight) {
	sum := s.Tables[table]
	s.Tables[table] = Sum{sum.Rows + rows, sum.Weight.Plus(by)}
}

// place is where the sums stand.
var place = vault.Place{Table: "row_sums", Column: "body", Row: "1"}

// form begins the text of sums.
const form = 1

// Seal puts sums into cipher.
func (k *Key) Seal(s *Sums) string {
	b := []byte{form}
	text := func(t string) { b = append(binary.AppendUvarint(b, uint64(len(t))), t...) }
	since := int64(0)
	if !s.Since.IsZero() {
		since = s.Since.UnixMicro()
	}
	b = binary.AppendVarint(binary.AppendVarint(binary.AppendVarint(b, s.Log), s.Leaves), since)
	text(s.Root)
	text(string(s.Why))
	for _, name := range slices.Sorted(maps.Keys(s.Tables)) {
		if sum := s.Tables[name]; sum != (Sum{}) {
			text(name)
			b = binary.AppendVarint(b, sum.Rows)
			b = binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(b, sum.Weight.High), sum.Weight.Low)
		}
	}
	return k.box.Seal(place, base64.RawStdEncoding.EncodeToString(b))
}

var errForm = errors.New("the sums of rows are of a form that is not known")

// Open reads sums. Faults: an error when they were changed, or are of another key.
func (k *Key) Open(cell string) (*Sums, error) {
	clear, err := k.box.Open(place, cell)
	if err != nil {
		return nil, err
	}
	b, err := base64.RawStdEncoding.DecodeString(clear)
	if err != nil || len(b) == 0 || b[0] != form {
		return nil, errForm
	}
	r := reader{b: b[1:]}
	s := &Sums{Tables: map[string]Sum{}, Log: r.number(), Leaves: r.number()}
	if since := r.number(); since != 0 {
		s.Since = time.UnixMicro(since).UTC()
	}
	s.Root, s.Why = r.text(), Why(r.text())
	for len(r.b) > 0 && !r.bad {
		name := r.text()
		s.Tables[name] = Sum{r.number(), Weight{r.word(), r.word()}}
	}
	if r.bad {
		return nil, errForm
	}
	return s, nil
}

// reader takes the text of sums apart.
type reader struct {
	b   []byte
	bad bool
}

func (r *reader) number() int64 {
	n, size := binary.Varint(r.b)
	if size <= 0 {
		r.bad, r.b = true, nil
		return 0
	}
	r.b = r.b[size:]
	return n
}

func (r *reader) text() string {
	n, size := binary.Uvarint(r.b)
	if size <= 0 || n > uint64(len(r.b)-size) {
		r.bad, r.b = true, nil
		return ""
	}
	out := string(r.b[size : size+int(n)])
	r.b = r.b[size+int(n):]
	return out
}

func (r *reader) word() uint64 {
	if len(r.b) < 8 {
		r.bad, r.b = true, nil
		return 0
	}
	out := binary.BigEndian.Uint64(r.b)
	r.b = r.b[8:]
	return out
}

// Text is the text of a key's file, and Parse reads it.
func Text(secret []byte) string { return head + base64.StdEncoding.EncodeToString(secret) + "\n" }

const head = "solander-row-key/1 "

// Parse reads the text of a key's file.
func Parse(text string) (*Key, error) {
	of, ok := strings.CutPrefix(strings.TrimSpace(text), head)
	secret, err := base64.StdEncoding.DecodeString(of)
	if !ok || err != nil {
		return nil, errors.New("this is no key of rows")
	}
	return New(secret)
}
