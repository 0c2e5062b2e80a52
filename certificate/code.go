package certificate

import (
	"encoding/base64"
	"encoding/binary"
	"errors"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/mod/sumdb/tlog"

	"solander/calendar"
	"solander/edition"
	"solander/sealog"
)

// The codes are letters, figures and five signs that a QR code packs tightly (ISO/IEC 18004, alphanumeric), without any space: what begins
// tells which code it is.
const (
	SmallPrefix = "SOL1:"
	LargePrefix = "SOL2:"
)

// smallRoom is how many bytes a small code has room for: version 9 at level M has 262 signs (ISO/IEC 18004), five of which are the prefix;
// two bytes take three signs. So it stays 61 modules wide with its quiet zone: 30.5 mm at four dots of 203 dpi a module.
const smallRoom = 171

// alphabet are the signs: 41 × 41 × 41 are more than two bytes can say.
const alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-.:*/"

// pack writes bytes as signs: two bytes as three, the lowest first; a last byte as two.
func pack(b []byte) string {
	var out strings.Builder
	for len(b) > 1 {
		n := int(b[0])<<8 | int(b[1])
		out.WriteByte(alphabet[n%41])
		out.WriteByte(alphabet[n/41%41])
		out.WriteByte(alphabet[n/41/41])
		b = b[2:]
	}
	if len(b) == 1 {
		out.WriteByte(alphabet[int(b[0])%41])
		out.WriteByte(alphabet[int(b[0])/41])
	}
	return out.String()
}

var (
	errCut     = errors.New("the code is cut off")
	errStrange = errors.New("these are no signs of a code")
)

// unpack reads signs as bytes.
func unpack(text string) ([]byte, error) {
	var out []byte
	for len(text) > 0 {
		n, width := 0, min(3, len(text))
		for i := width - 1; i >= 0; i-- {
			at := strings.IndexByte(alphabet, text[i])
			if at < 0 {
				return nil, errStrange
			}
			n = n*41 + at
		}
		switch {
		case width == 3 && n < 1<<16:
			out = append(out, byte(n>>8), byte(n))
		case width == 2 && n < 1<<8:
			out = append(out, byte(n))
		case width < 3:
			return nil, errCut
		default:
			return nil, errStrange
		}
		text = text[width:]
	}
	return out, nil
}

// framed is bytes behind their length, in two bytes, by which a code that is cut off is known.
func framed(b []byte) []byte {
	return append(binary.BigEndian.AppendUint16(nil, uint16(len(b))), b...)
}

// format is the first byte of what is in a code.
const format = 1

// epoch is the day from which days are counted.
var epoch = calendar.Date(1970, time.January, 1)

func days(d calendar.Day) uint64 {
	if d.IsZero() {
		return 0
	}
	return uint64(max(0, d.Sub(epoch)))
}

// bytes are the signed statement as a code carries it, framed.
func (s Signed) bytes() []byte {
	b := []byte{format}
	b = binary.BigEndian.AppendUint32(b, s.Key)
	kind := 0
	for i, k := range edition.Kinds() {
		if k == s.Number.Kind {
			kind = i
		}
	}
	for _, n := range []int64{s.Serial, s.Edition, int64(kind), int64(s.Number.N), int64(s.Limit), int64(s.Proofs.AP), int64(s.Proofs.PP), int64(s.Proofs.HC), int64(s.Proofs.BAT), int64(s.Year)} {
		b = binary.AppendUvarint(b, uint64(n))
	}
	b = binary.AppendUvarint(b, days(s.Declared))
	b = binary.AppendUvarint(b, days(s.Day))
	b = append(b, s.Facts[:]...)
	for _, text := range []string{s.Title, s.Artist} {
		b = append(append(b, byte(len(text))), text...)
	}
	return framed(append(b, s.Signature[:]...))
}

// Small is the small code: the statement and its signature.
func (s Signed) Small() string { return SmallPrefix + pack(s.bytes()) }

// Proof proves that the leaf of a certificate stands in the log that its key signed.
type Proof struct {
	Origin    string // of the log, and name of its key
	Public    [32]byte
	Index     int64 // of the leaf
	Size      int64 // of the log, as it was signed
	Path      tlog.RecordProof
	Signature [SignatureSize]byte // of the checkpoint
}

// Large is the large code: what is in the small one, and the proof.
func (s Signed) Large(p Proof) string {
	b := append([]byte{byte(len(p.Origin))}, p.Origin...)
	b = append(b, p.Public[:]...)
	b = binary.AppendUvarint(b, uint64(p.Index))
	b = binary.AppendUvarint(b, uint64(p.Size))
	b = append(b, byte(len(p.Path)))
	for _, h := range p.Path {
		b = append(b, h[:]...)
	}
	b = append(b, p.Signature[:]...)
	return LargePrefix + pack(append(s.bytes(), framed(b)...))
}

// reader takes bytes apart; bad is the first thing that was wrong.
type reader struct {
	b   []byte
	bad error
}

func (r *reader) fail(err error) {
	if r.bad == nil {
		r.bad = err
	}
}

func (r *reader) take(n int) []byte {
	if n < 0 || n > len(r.b) {
		r.fail(errCut)
		return make([]byte, max(n, 0))
	}
	out := r.b[:n]
	r.b = r.b[n:]
	return out
}

// number reads a whole number, written as short as it can be.
func (r *reader) number() int64 {
	n, width := binary.Uvarint(r.b)
	if width <= 0 || n > 1<<40 || width > 1 && r.b[width-1] == 0 {
		r.fail(errStrange)
		return 0
	}
	r.b = r.b[width:]
	return int64(n)
}

func (r *reader) text() string {
	b := r.take(int(r.take(1)[0]))
	if !utf8.Valid(b) {
		r.fail(errStrange)
	}
	return string(b)
}

// frame reads what stands behind its length.
func (r *reader) frame() *reader {
	n := int(binary.BigEndian.Uint16(r.take(2)))
	if r.bad == nil && n > len(r.b) {
		r.bad = errCut
	}
	if r.bad != nil {
		return &reader{bad: r.bad}
	}
	return &reader{b: r.take(n)}
}

// end is what was wrong, or that something is left.
func (r *reader) end() error {
	if r.bad == nil && len(r.b) > 0 {
		return errStrange
	}
	return r.bad
}

func dayOf(n int64) calendar.Day {
	if n == 0 || n > 200_000 {
		return calendar.Day{}
	}
	return epoch.Add(int(n))
}

// signed reads a signed statement.
func (r *reader) signed() (s Signed, err error) {
	f := r.frame()
	if f.bad != nil {
		return s, f.bad
	}
	if f.take(1)[0] != format {
		f.fail(errStrange)
	}
	s.Key = binary.BigEndian.Uint32(f.take(4))
	s.Serial, s.Edition = f.number(), f.number()
	kind := f.number()
	if kind >= int64(len(edition.Kinds())) {
		f.fail(errStrange)
		kind = 0
	}
	s.Number = edition.Number{Kind: edition.Kinds()[kind], N: int(f.number())}
	s.Limit = int(f.number())
	s.Proofs = edition.Proofs{AP: int(f.number()), PP: int(f.number()), HC: int(f.number()), BAT: int(f.number())}
	s.Year = int(f.number())
	s.Declared, s.Day = dayOf(f.number()), dayOf(f.number())
	copy(s.Facts[:], f.take(DigestSize))
	s.Title, s.Artist = f.text(), f.text()
	copy(s.Signature[:], f.take(SignatureSize))
	return s, f.end()
}

// proof reads the second half of a large code.
func (r *reader) proof() (p Proof, err error) {
	f := r.frame()
	if f.bad != nil {
		return p, f.bad
	}
	p.Origin = f.text()
	copy(p.Public[:], f.take(32))
	p.Index, p.Size = f.number(), f.number()
	for range int(f.take(1)[0]) {
		var h tlog.Hash
		copy(h[:], f.take(tlog.HashSize))
		p.Path = append(p.Path, h)
	}
	copy(p.Signature[:], f.take(SignatureSize))
	return p, f.end()
}

// ProofOf puts a proof together: the path of a leaf, and the checkpoint that the register's key signed. Faults: Invalid when the key did not
// sign it.
func ProofOf(index int64, path tlog.RecordProof, checkpoint, key string) (Proof, error) {
	v, err := sealog.NewVerifier(key)
	if err != nil {
		return Proof{}, err
	}
	c, n, err := sealog.Open([]byte(checkpoint), v)
	if err != nil {
		return Proof{}, err
	}
	p := Proof{Origin: c.Origin, Index: index, Size: c.Size, Path: path}
	for _, s := range n.Sigs {
		raw, err := base64.StdEncoding.DecodeString(s.Base64)
		if err == nil && s.Hash == v.KeyHash() && len(raw) == 4+SignatureSize {
			copy(p.Signature[:], raw[4:])
		}
	}
	parts := strings.SplitN(strings.TrimSpace(key), "+", 3)
	public, err := base64.StdEncoding.DecodeString(parts[2])
	if err != nil || copy(p.Public[:], public[1:]) != len(p.Public) {
		return p, errStrange
	}
	return p, nil
}
