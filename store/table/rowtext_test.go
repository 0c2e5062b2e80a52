package table

import (
	"encoding/json"
	"testing"
)

// A row is the text that encoding/json makes of it, character by character: digests that were made before stay good.
func TestARowIsJSON(t *testing.T) {
	texts := []any{"", "plain, as most are", `a "quoted" one`, `back\slash`, "a < b > c & d", "Étude in grey", "line\nfeed", "tab\t", "\x7f", "\u2028", "日本", "bent \xff text", int64(-7), int64(0), nil}
	for c := range rune(0x180) {
		texts = append(texts, string(c), "x"+string(c)+"y")
	}
	want, err := json.Marshal(texts)
	if err != nil {
		t.Fatal(err)
	}
	got, err := AppendRow(nil, texts)
	if err != nil || string(got) != string(want) {
		t.Errorf("%v\n%s\n%s", err, got, want)
	}
}
