package form_test

import (
	"fmt"
	"net/url"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/web/form"
)

// A deed moves what was typed, word for word, whether or not it can be read: nothing is lost but the row taken out.
func TestRowsKeepWhatWasTyped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 6).Draw(t, "rows")
		typed := url.Values{"name": {"x"}, "rows.new": {"fresh"}, "rowsnot[0].kind": {"other"}}
		want := []string{}
		for i := range n {
			word := rapid.StringN(0, 4, -1).Draw(t, "word")
			typed[fmt.Sprintf("rows[%d].kind", i)] = []string{fmt.Sprint("row ", i)}
			typed[fmt.Sprintf("rows[%d].room.sides", i)] = []string{word}
			want = append(want, fmt.Sprint("row ", i)+word)
		}
		d := form.Deed{List: "rows", Do: rapid.SampledFrom([]string{"up", "down", "drop", "add"}).Draw(t, "deed"), At: rapid.IntRange(0, 7).Draw(t, "at")}
		switch {
		case d.Do == "add":
			want = append(want, "fresh")
		case d.At >= n:
		case d.Do == "drop":
			want = slices.Delete(want, d.At, d.At+1)
		case d.Do == "up" && d.At > 0:
			want[d.At-1], want[d.At] = want[d.At], want[d.At-1]
		case d.Do == "down" && d.At < n-1:
			want[d.At+1], want[d.At] = want[d.At], want[d.At+1]
		}
		after := d.On(typed, "kind")
		got := []string{}
		for i := range form.Rows(after, "rows") {
			got = append(got, after.Get(fmt.Sprintf("rows[%d].kind", i))+after.Get(fmt.Sprintf("rows[%d].room.sides", i)))
		}
		if diff := cmp.Diff(want, got); diff != "" || after.Get("name") != "x" || after.Get("rowsnot[0].kind") != "other" {
			t.Fatalf("%+v (-want +got):\n%s", d, diff)
		}
	})
}

func TestDeeds(t *testing.T) {
	for text, want := range map[string]form.Deed{
		"layers.up.2": {List: "layers", Do: "up", At: 2}, "layers.drop.0": {List: "layers", Do: "drop"}, "when.add": {List: "when", Do: "add"},
		"save": {}, "": {}, "layers.up.-1": {}, "layers.up.x": {}, "layers.eat.1": {}, "layers.add.1": {},
	} {
		if d, ok := form.DeedOf(text); ok != (want.Do != "") || ok && d != want {
			t.Errorf("%q is %+v, %v", text, d, ok)
		}
	}
	for want, d := range map[string]form.Deed{
		"rows.up.1": {List: "rows", Do: "up", At: 2}, "rows.down.0": {List: "rows", Do: "up", At: 1}, "rows.up.3": {List: "rows", Do: "down", At: 2}, "rows.down.1": {List: "rows", Do: "down"},
		"rows.drop.1": {List: "rows", Do: "drop", At: 1}, "rows.add": {List: "rows", Do: "drop", At: 4}, "rows[3]": {List: "rows", Do: "add"},
	} {
		if got := d.Focus(4); got != want {
			t.Errorf("%+v leads to %s, want %s", d, got, want)
		}
	}
	if n := form.Rows(url.Values{"rows[99999999].kind": {"x"}, "rows[-1].kind": {"x"}, "rows[1].kind": {"x"}}, "rows"); n != 2 {
		t.Errorf("%d rows are read", n)
	}
}
