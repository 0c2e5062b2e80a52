package edition

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/fault"
)

// fifty is the edition of the worked example: 50 numbered impressions and eleven proofs.
var fifty = Edition{Limit: 50, Proofs: Proofs{AP: 5, PP: 2, HC: 3, BAT: 1}}

// Source: annotation glossaries of print centres and print dealers, "edition" and "proof": the numbered
// edition is N; proofs stand beside it, each kind with its own count. Worked here: N = 50, AP 5, PP 2,
// HC 3 and one bon à tirer make 61 impressions, and the fraction on a numbered one still says /50.
func TestProofsStandBesideTheNumberedEdition(t *testing.T) {
	if got := fifty.Total(); got != 61 {
		t.Errorf("%d impressions exist, want 61", got)
	}
	for n, want := range map[Number]string{
		{Numbered, 17}: "17/50", {Numbered, 50}: "50/50",
		{AP, 5}: "AP 5/5", {PP, 2}: "PP 2/2", {HC, 3}: "HC 3/3", {BAT, 1}: "BAT 1/1",
	} {
		if got := n.Of(fifty); got != want {
			t.Errorf("%v is written %q, want %q", n, got, want)
		}
	}
}

// Source: the same glossaries: numerator over the size of the edition, 15/50; proofs in Arabic numbers,
// AP 5/20. Charter of the plastic arts, Vienna 1960: the print carries the total and its own number.
func TestNumbersAsTheyAreWritten(t *testing.T) {
	twenty := Edition{Limit: 200, Proofs: Proofs{AP: 20}}
	if got := (Number{AP, 5}).Of(twenty); got != "AP 5/20" {
		t.Errorf("written %q", got)
	}
	if got := (Number{Numbered, 15}).Of(fifty); got != "15/50" {
		t.Errorf("written %q", got)
	}
	if got := (Number{}).Of(Edition{}); got != "" {
		t.Errorf("an open edition is not numbered, yet it is written %q", got)
	}
}

func TestParseNumber(t *testing.T) {
	for typed, want := range map[string]Number{
		"":           {},
		"  ":         {},
		"17":         {Numbered, 17},
		" #17 ":      {Numbered, 17},
		"17/50":      {Numbered, 17},
		"17 / 50":    {Numbered, 17},
		"017":        {Numbered, 17},
		"1":          {Numbered, 1},
		"50":         {Numbered, 50},
		"AP 2":       {AP, 2},
		"AP2/5":      {AP, 2},
		"ap 2 / 5":   {AP, 2},
		"AP #2":      {AP, 2},
		"PP 1":       {PP, 1},
		"hc3":        {HC, 3},
		"BAT":        {BAT, 1},
		"bat 1/1":    {BAT, 1},
		"\u00a017\t": {Numbered, 17},
	} {
		if err := Readable(typed); err != nil {
			t.Errorf("%q cannot be read: %v", typed, err)
		}
		if got, err := ParseNumber(typed, fifty); err != nil || got != want {
			t.Errorf("%q is %v, %v; want %v", typed, got, err, want)
		}
	}
}

func TestParseNumberFaults(t *testing.T) {
	open := Edition{}
	noProofs := Edition{Limit: 50}
	for _, tc := range []struct {
		typed string
		of    Edition
		says  string
	}{
		{"0", fifty, "beyond the limit"},
		{"51", fifty, "beyond the limit"},
		{"AP 6", fifty, "beyond the limit"},
		{"AP 0", fifty, "beyond the limit"},
		{"99999999999999999999999999", fifty, "far beyond the limit"},
		{"-1", fifty, "whole number"},
		{"+17", fifty, "whole number"},
		{"17/+50", fifty, "no number"},
		{"1.5", fifty, "whole number"},
		{"17/250", fifty, "of 50"},
		{"17/99999999999999999999999999", fifty, "of 50"},
		{"AP 2/50", fifty, "of 5"},
		{"17/", fifty, "no number"},
		{"/50", fifty, "whole number"},
		{"17/50/50", fifty, "no number"},
		{"AP", fifty, "whole number"},
		{"II/V", fifty, "whole number"},
		{"١٧", fifty, "whole number"},
		{"17\x00", fifty, "whole number"},
		{"\xff\xfe", fifty, "whole number"},
		{"AP 2 PP 1", fifty, "whole number"},
		{"BAT", noProofs, "no bon à tirer"},
		{"AP 1", noProofs, "no artist's proof"},
		{"17", open, "open edition"},
		{"17/250", open, "open edition"},
		{"AP", open, "open edition"},
	} {
		got, err := ParseNumber(tc.typed, tc.of)
		if !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), tc.says) || !got.IsZero() {
			t.Errorf("%q: %v, %v; want none, and a fault that says %q", tc.typed, got, err, tc.says)
		} else if f := fault.All(err)[0]; f.Field != "number" || f.Mend == "" {
			t.Errorf("%q: field %q, mend %q", tc.typed, f.Field, f.Mend)
		}
	}
	for _, n := range []Number{{}, {"", 1}, {"XX", 1}, {"ap", 1}, {AP, -1}, {Numbered, 51}} {
		if err := n.In(fifty); !fault.Is(err, fault.Invalid) || strings.Contains(err.Error(), "no  ") {
			t.Errorf("%#v: %v", n, err)
		}
	}
}

// parse(print(n)) = n for every impression of an edition, short and as written on the sheet.
func TestNumbersComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Edition{Limit: rapid.IntRange(1, MaxLimit).Draw(t, "limit"), Proofs: Proofs{
			AP: rapid.IntRange(0, MaxProofs).Draw(t, "AP"), PP: rapid.IntRange(0, 9).Draw(t, "PP"),
			HC: rapid.IntRange(0, 9).Draw(t, "HC"), BAT: rapid.IntRange(0, 2).Draw(t, "BAT"),
		}}
		k := rapid.SampledFrom(Kinds()).Filter(func(k Kind) bool { return e.Count(k) > 0 }).Draw(t, "kind")
		n := Number{k, rapid.IntRange(1, e.Count(k)).Draw(t, "n")}
		for _, s := range []string{n.String(), n.Of(e), strings.ToLower(n.Of(e)), strings.ReplaceAll(n.Of(e), " ", "")} {
			if got, err := ParseNumber(s, e); err != nil || got != n {
				t.Fatalf("%q of %v is %v, %v", s, e.Proofs, got, err)
			}
		}
		beyond := fmt.Sprintf("%s%d", strings.TrimSuffix(n.String(), fmt.Sprint(n.N)), e.Count(k)+1)
		if got, err := ParseNumber(beyond, e); err == nil {
			t.Fatalf("%q of %d is %v", beyond, e.Count(k), got)
		}
	})
}

// What is read is a number of the edition and is printed in a form that is read again; nothing else gets
// through, and nothing panics.
func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{"", "17", "#17", "17/50", "AP 2", "AP2/5", "BAT", "bat 1/1", "-1", "9999999999999999999999", "\xff", "ｱP 2"} {
		f.Add(s, 50, 5)
	}
	f.Fuzz(func(t *testing.T, s string, limit, ap int) {
		e := Edition{Limit: limit, Proofs: Proofs{AP: ap, BAT: 1}}
		n, err := ParseNumber(s, e)
		switch {
		case err != nil && (!fault.Is(err, fault.Invalid) || !n.IsZero()):
			t.Fatalf("%q: %v, %v", s, n, err)
		case err != nil:
		case n.IsZero() != (strings.TrimSpace(s) == ""):
			t.Fatalf("%q is %v", s, n)
		case !n.IsZero():
			if n.In(e) != nil {
				t.Fatalf("%q is %v, which the edition has not: %v", s, n, n.In(e))
			}
			if again, err := ParseNumber(n.Of(e), e); err != nil || again != n {
				t.Fatalf("%q is %v, and %q is %v, %v", s, n, n.Of(e), again, err)
			}
		}
	})
}

// TestReadable holds that what is no number is refused whatever the edition, and what only an edition can tell is not.
func TestReadable(t *testing.T) {
	for _, typed := range []string{"", " ", "7", "#7", "999/1000", "AP", "ap 3", "BAT", "PP2/5"} {
		if err := Readable(typed); err != nil {
			t.Errorf("%q: %v", typed, err)
		}
	}
	for _, typed := range []string{"seven", "#", "-1", "7/", "7/x", "AP two", "99999999999999999999"} {
		if err := Readable(typed); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q: %v", typed, err)
		}
	}
}
