package storetest

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/studio/storetest/bed"
)

// filled fills a store with something of everything and returns a copy of it.
func filled(t *testing.T, s studio.Store) []byte {
	t.Helper()
	h := bed.Furnished(t, s)
	ed := h.Declare(t, s, 5)
	bed.Write(t, s, func(tx studio.Tx) error { return bed.Everything(tx, h, ed) })
	bed.Stepped(t, s, ed, bed.Num(1), edition.Sign, 0, "S-1001")
	return bed.Dumped(t, s)
}

func pack(lines []string) []byte {
	var b bytes.Buffer
	zip := gzip.NewWriter(&b)
	io.WriteString(zip, strings.Join(lines, ""))
	zip.Close()
	return b.Bytes()
}

// withoutHead returns the lines of a copy but the first, which says when it was made.
func withoutHead(t *testing.T, packed []byte) []string { return bed.Lines(t, packed)[1:] }

// Carries takes a copy of one store into another, whatever their engines, and works on there.
func Carries(t *testing.T, from, to studio.Store) {
	packed := filled(t, from)
	if err := to.Load(t.Context(), bytes.NewReader(packed)); err != nil {
		t.Fatal(err)
	}
	again := bed.Dumped(t, to)
	// The last line holds the sum of all lines, the head's too: it is left out.
	want, got := withoutHead(t, packed), withoutHead(t, again)
	bed.Same(t, "the same rows in the same order", want[:len(want)-1], got[:len(got)-1])
	if all := strings.Join(got, ""); strings.Contains(all, "in no copy") || !strings.Contains(all, "GEZD") {
		t.Error("a copy holds who is signed in, or not who may")
	}
	bed.Sound(t, to)
	bed.Read(t, to, func(tx studio.Tx) error {
		o, err := tx.OrderByMark("S-1001")
		bed.Same(t, "the line and its number", bed.Num(1), o.Lines[0].Number)
		return err
	})
	bed.Same(t, "words of search", []string{"S-1001"}, bed.Found(t, to, "heron mara 1/5"))
	bed.Write(t, to, func(tx studio.Tx) error { // ids and marks go on where they were
		o, err := tx.Order(1)
		if err != nil {
			return err
		}
		o, err = tx.AddOrder(anew(o))
		bed.Same(t, "next order", []any{int64(2), "S-1002", int64(2)}, []any{o.ID, o.Mark, o.Lines[0].ID})
		if err != nil {
			return err
		}
		e, err := bed.Step(tx, 1, bed.Num(2), edition.Keep, 0, "")
		bed.Same(t, "next entry", int64(3), e.Seq)
		return err
	})
}

// anew is an order like o, as yet without ids.
func anew(o order.Order) order.Order {
	o.ID, o.Mark, o.Ref, o.Payments = 0, "", "", nil
	for i := range o.Lines {
		o.Lines[i].ID, o.Lines[i].Number, o.Lines[i].Parcel = 0, edition.Number{}, 0
	}
	return o
}

// slowly lets a write happen between the parts of a copy.
type slowly struct {
	bytes.Buffer
	between func()
}

func (w *slowly) Write(p []byte) (int, error) {
	w.between()
	return w.Buffer.Write(p)
}

func copyInUse(t *testing.T, from, to studio.Store) {
	filled(t, from)
	wrote := 0
	w := slowly{between: func() {
		wrote++
		bed.Write(t, from, func(tx studio.Tx) error {
			_, err := tx.SaveWork(edition.Work{Title: "late"})
			return err
		})
	}}
	if err := from.Dump(t.Context(), &w); err != nil {
		t.Fatal(err)
	}
	if wrote == 0 {
		t.Fatal("nothing was written meanwhile")
	}
	if err := to.Load(t.Context(), &w.Buffer); err != nil {
		t.Fatal(err)
	}
	bed.Read(t, to, func(tx studio.Tx) error {
		works, err := tx.Works()
		bed.Same(t, "works", 1, len(works))
		return err
	})
}

func copyNeedsEmpty(t *testing.T, from, to studio.Store) {
	packed := filled(t, from)
	bed.Write(t, to, func(tx studio.Tx) error { return tx.SaveSettings(studio.Settings{Studio: "mine"}) })
	if err := to.Load(t.Context(), bytes.NewReader(packed)); !fault.Is(err, fault.Refused) {
		t.Errorf("got %v", err)
	}
	bed.Read(t, to, func(tx studio.Tx) error {
		settings, err := tx.Settings()
		bed.Same(t, "settings", "mine", settings.Studio)
		return err
	})
}

// edited returns the copy with one line changed and the sums made right again or not.
func edited(t *testing.T, packed []byte, change func([]string) []string, mended bool) []byte {
	t.Helper()
	lines := change(bed.Lines(t, packed))
	if mended {
		last := len(lines) - 1
		sum := sha256.Sum256([]byte(strings.Join(lines[:last], "")))
		lines[last] = digest.ReplaceAllString(lines[last], `"sha256":"`+hex.EncodeToString(sum[:])+`"`)
	}
	return pack(lines)
}

var digest = regexp.MustCompile(`"sha256":"[0-9a-f]+"`)

func replaced(old, now string) func([]string) []string {
	return func(lines []string) []string {
		out := strings.SplitAfter(strings.TrimSuffix(strings.Replace(strings.Join(lines, ""), old, now, 1), "\n"), "\n")
		return out
	}
}

func copyDamaged(t *testing.T, from, to studio.Store) {
	packed := filled(t, from)
	flipped := bytes.Clone(packed)
	flipped[len(flipped)/2] ^= 0x40
	without := func(lines []string) []string { // a row of the register is gone
		i := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, `{"table":"register"`) })
		return slices.Delete(lines, i+1, i+2)
	}
	for what, bad := range map[string][]byte{
		"nothing":                 nil,
		"no gzip":                 []byte("PK\x03\x04 something else"),
		"other text":              pack([]string{"hello\n"}),
		"garbage":                 bytes.Repeat([]byte{0xa5}, 1<<20),
		"half":                    packed[:len(packed)/2],
		"all but the last byte":   packed[:len(packed)-1],
		"all but the last line":   pack(bed.Lines(t, packed)[:len(bed.Lines(t, packed))-1]),
		"only a head":             pack(bed.Lines(t, packed)[:1]),
		"a flipped bit":           flipped,
		"something behind":        append(bytes.Clone(packed), pack([]string{"more\n"})...),
		"a changed word":          edited(t, packed, replaced("Heron", "Egret"), false),
		"a row gone":              edited(t, packed, without, false),
		"a row gone, sum mended":  edited(t, packed, without, true),
		"an unknown table":        edited(t, packed, replaced(`{"table":"works"`, `{"table":"wards"`), true),
		"a table twice":           edited(t, packed, replaced(`{"table":"works"`, `{"table":"outlets"`), true),
		"a fraction":              edited(t, packed, replaced("[1,\"Heron at dusk\",2029", "[1,\"Heron at dusk\",2029.5"), true),
		"text for a number":       edited(t, packed, replaced("[1,\"Heron at dusk\",2029", "[1,\"Heron at dusk\",\"x\""), true),
		"true for a number":       edited(t, packed, replaced("[1,\"Heron at dusk\",2029", "[1,\"Heron at dusk\",true"), true),
		"nothing for a number":    edited(t, packed, replaced("[1,\"Heron at dusk\",2029", "[1,\"Heron at dusk\",null"), true),
		"a column too many":       edited(t, packed, replaced("[1,\"Heron at dusk\",2029", "[1,\"Heron at dusk\",1,2029"), true),
		"an edition without work": edited(t, packed, replaced("[1,\"Heron at dusk\",2029", "[7,\"Heron at dusk\",2029"), true),
	} {
		if err := to.Load(t.Context(), bytes.NewReader(bad)); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: got %v, want a fault %q", what, err, fault.Invalid)
		}
	}
	bed.Read(t, to, func(tx studio.Tx) error {
		works, err := tx.Works()
		bed.Same(t, "works", 0, len(works))
		return err
	})
	if err := to.Load(t.Context(), bytes.NewReader(packed)); err != nil {
		t.Errorf("the store is not empty any more: %v", err)
	}
}

func copyOfOther(t *testing.T, from, to studio.Store) {
	packed := filled(t, from)
	for _, change := range []func([]string) []string{
		replaced(`"version":1`, `"version":2`), replaced(`"schema":`, `"schema":9`), replaced(`"solander-copy"`, `"other-copy"`),
	} {
		if err := to.Load(t.Context(), bytes.NewReader(edited(t, packed, change, true))); !fault.Is(err, fault.Invalid) {
			t.Errorf("got %v, want a fault %q", err, fault.Invalid)
		}
	}
}

// soundAfterAll fills a store and finds nothing wrong with it.
func soundAfterAll(t *testing.T, s studio.Store) {
	filled(t, s)
	bed.Sound(t, s)
}
