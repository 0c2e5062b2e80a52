package table

import (
	"bytes"
	"encoding/json"
	"testing"

	"pgregory.net/rapid"
)

// A row is what encoding/json makes of it, byte by byte, whatever its texts hold: digests are made of it.
func TestARowIsItsJSON(t *testing.T) {
	same := func(t interface{ Fatalf(string, ...any) }, values []any) {
		got, err := AppendRow([]byte("orders\n"), values)
		want, failed := json.Marshal(values)
		if err != nil || failed != nil || !bytes.Equal(got, append([]byte("orders\n"), want...)) {
			t.Fatalf("%q: %s, want %s (%v, %v)", values, got, want, err, failed)
		}
	}
	for c := range 0x180 { // each sign alone, and as a byte that is no UTF-8
		same(t, []any{string(rune(c)), "a" + string(rune(c)) + "b", string([]byte{byte(c)}), int64(c), nil})
	}
	same(t, []any{"\u2028\u2029", "", "<a & b>"})
	rapid.Check(t, func(t *rapid.T) { same(t, []any{rapid.String().Draw(t, "text"), rapid.Int64().Draw(t, "number")}) })
}
