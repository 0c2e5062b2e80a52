package main

import (
	"bytes"
	"crypto/sha256"
	"debug/macho"
	"encoding/binary"
	"testing"
)

// signed reads the signature of a program for macOS, without which a Mac with arm64 starts none, as that system does: every page of
// the file has its digest. It is "ad hoc": it names nobody. Source: Apple, XNU, osfmk/kern/cs_blobs.h (CS_SuperBlob, CS_CodeDirectory); from memory.
func signed(t *testing.T, program string) {
	whole := read(t, program)
	f, err := macho.NewFile(bytes.NewReader(whole))
	if err != nil {
		t.Fatal(err)
	}
	const codeSignature = 0x1d // LC_CODE_SIGNATURE
	var blob []byte
	for _, l := range f.Loads {
		if raw := l.Raw(); f.ByteOrder.Uint32(raw) == codeSignature {
			from, size := f.ByteOrder.Uint32(raw[8:]), f.ByteOrder.Uint32(raw[12:])
			blob = whole[from : from+size]
		}
	}
	if blob == nil {
		t.Fatal("it is not signed: no Mac with arm64 would start it")
	}
	big := binary.BigEndian
	if big.Uint32(blob) != 0xfade0cc0 || big.Uint32(blob[8:]) == 0 || big.Uint32(blob[12:]) != 0 {
		t.Fatalf("its signature begins with % x", blob[:16])
	}
	d := blob[big.Uint32(blob[16:]):] // the first blob within it, of kind 0: the directory of the code
	if big.Uint32(d) != 0xfade0c02 {
		t.Fatalf("the directory begins with % x", d[:16])
	}
	const adHoc = 2
	flags, hashes, slots, limit := big.Uint32(d[12:]), big.Uint32(d[16:]), big.Uint32(d[28:]), big.Uint32(d[32:])
	size, kind, page := d[36], d[37], uint32(1)<<d[39]
	if flags&adHoc == 0 || size != sha256.Size || kind != 2 || limit == 0 || (limit+page-1)/page != slots {
		t.Fatalf("flags %x, %d digests of %d bytes, kind %d, over %d bytes in pages of %d", flags, slots, size, kind, limit, page)
	}
	for i := range slots {
		sum := sha256.Sum256(whole[i*page : min((i+1)*page, limit)])
		at := hashes + i*sha256.Size
		if !bytes.Equal(sum[:], d[at:at+sha256.Size]) {
			t.Fatalf("page %d of %d is not the one that was signed", i+1, slots)
		}
	}
}
