package disclosure_test

import (
	"slices"
	"strings"
	"testing"

	"solander/calendar"
	"solander/disclosure"
	"solander/edition"
	"solander/fault"
	"solander/money"
)

func set(t *testing.T, state string) disclosure.Set {
	t.Helper()
	s, ok := disclosure.Find(state)
	if !ok {
		t.Fatalf("no rules of %s", state)
	}
	return s
}

// Source: the boundaries of the statutes, each as gathered: California Civil Code s. 1741 (from 100, by memory and two secondary sources);
// New York ACAL 15.01 ("more than 100 dollars"); MCL 442.351 ff; OCGA 10-1-430 ff; NC GS 25C-10 ff; SC 39-16-20; 815 ILCS 345; Minn. 324.07.
func TestPricesAtTheBoundary(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		minor   int64
		framed  bool
		covered string
		not     string
	}{
		{100_00, false, "CA IL", "NY MI GA NC SC MN"},
		{100_01, false, "CA NY MI GA NC SC IL", "MN"},
		{99_99, false, "IL", "CA NY MI GA NC SC MN"},
		{50_00, false, "", "IL"},
		{50_01, false, "IL", ""},
		{60_00, true, "", "IL"},
		{60_01, true, "IL", ""},
		{150_00, true, "", "SC"},
		{150_01, true, "SC", ""},
		{249_99, false, "", "MN"},
		{250_00, false, "MN", ""},
	} {
		for want, states := range map[bool]string{true: tc.covered, false: tc.not} {
			for _, code := range strings.Fields(states) {
				if got := set(t, code).At(money.Of(tc.minor, "USD"), tc.framed); got.Covered != want {
					t.Errorf("%s at %d, framed %v: %+v", code, tc.minor, tc.framed, got)
				}
			}
		}
	}
	if got := set(t, "HI").At(money.Of(1, "USD"), false); !got.Covered || got.Sure {
		t.Errorf("a price that was not found: %+v", got)
	}
	if got := set(t, "NY").At(money.Of(1, "EUR"), false); !got.Covered || got.Sure {
		t.Errorf("another currency: %+v", got)
	}
	if got := set(t, "CA").At(money.Of(100_00, "USD"), false); got.Sure {
		t.Errorf("from memory is not sure: %+v", got)
	}
}

// Each item of the rules says its section and how far it was read, and can be answered.
func TestRulesAreWhole(t *testing.T) {
	t.Parallel()
	all := disclosure.Sets()
	if len(all) != 13 {
		t.Fatalf("%d states", len(all))
	}
	levels := map[disclosure.Read]int{}
	for _, s := range all {
		sources := []disclosure.Source{s.Works.Source}
		for _, p := range s.Prices {
			sources = append(sources, p.Source)
		}
		for _, it := range s.Facts {
			sources = append(sources, it.Source)
			if it.Fact.Label() == "" || it.When != "" && it.When.Label() == "" {
				t.Errorf("%s asks for %q when %q: no such fact", s.Name, it.Fact, it.When)
			}
		}
		for _, w := range s.Fixed {
			sources = append(sources, w.Source)
		}
		for _, c := range append(slices.Clone(s.Exempt), optional(s.Silence, s.Listing, s.Remedy)...) {
			sources = append(sources, c.Source)
		}
		for _, src := range sources {
			if src.Section == "" || src.Read.Words() == "" {
				t.Errorf("%s: a rule without its source: %+v", s.Name, src)
			}
			levels[src.Read]++
		}
		if s.Cite == "" || s.Looked.IsZero() || s.Currency != "USD" || s.State != "US-"+s.Code() {
			t.Errorf("%s: %+v", s.Name, s)
		}
	}
	for _, l := range []disclosure.Read{disclosure.ReadText, disclosure.ReadSecondary, disclosure.ReadMemory} {
		if levels[l] < 5 {
			t.Errorf("%d rules are %s", levels[l], l)
		}
	}
}

func optional(all ...*disclosure.Clause) (out []disclosure.Clause) {
	for _, c := range all {
		if c != nil {
			out = append(out, *c)
		}
	}
	return out
}

var heron = edition.Edition{ID: 1, Paper: "cotton rag", Technique: "pigment print", Limit: 50, Proofs: edition.Proofs{AP: 5, PP: 2, HC: 3, BAT: 1}}

func say(t *testing.T, told map[disclosure.Fact]string) []disclosure.Saying {
	t.Helper()
	var out []disclosure.Saying
	for f, words := range told {
		s, err := disclosure.Say(f, words)
		if err != nil {
			t.Fatal(err)
		}
		s.Day = calendar.Date(2031, 3, 4)
		out = append(out, s)
	}
	return out
}

// Source: a worked example of edition sizes, computed: N 50, AP 5, PP 2, HC 3, BAT 1 make 61 impressions.
func TestFactsOfAnEdition(t *testing.T) {
	t.Parallel()
	f := disclosure.Of(heron, "Ines Varga", say(t, map[disclosure.Fact]string{
		disclosure.Year: "2031", disclosure.Posthumous: "Does not apply.", disclosure.MasterYear: "not known",
	}))
	for fact, want := range map[disclosure.Fact]string{
		disclosure.Artist: "Ines Varga", disclosure.Medium: "pigment print on cotton rag", disclosure.Limited: "limited", disclosure.MaxSigned: "50",
		disclosure.MaxProofs: "11 (5 AP, 2 PP, 3 HC, 1 BAT)", disclosure.HorsCommerce: "3", disclosure.Total: "61", disclosure.Year: "2031",
		disclosure.Posthumous: disclosure.NoneWords, disclosure.MasterYear: disclosure.UnknownWords,
	} {
		if got := f[fact].Text(); got != want {
			t.Errorf("%s: %q, want %q", fact, got, want)
		}
	}
	for words, want := range map[string]string{"20": "81", "does not apply": "61", "a few": "61 numbered and proofs, and besides: a few", "not known": "61 numbered and proofs; of further prints it is not known"} {
		if got := disclosure.Of(heron, "", say(t, map[disclosure.Fact]string{disclosure.MaxUnsigned: words}))[disclosure.Total].Words; got != want {
			t.Errorf("with %q further ones: %q", words, got)
		}
	}
	open := disclosure.Of(edition.Edition{Paper: "card"}, "Ines Varga", nil)
	if open[disclosure.Total].Said != disclosure.None || open[disclosure.Limited].Words != "an open edition, without a limit" || open[disclosure.Medium].Said != disclosure.Missing {
		t.Errorf("%+v", open)
	}
	again := append(say(t, map[disclosure.Fact]string{disclosure.Artist: "I. V."}), say(t, map[disclosure.Fact]string{disclosure.Artist: ""})...)
	if got := disclosure.Of(heron, "Ines Varga", again)[disclosure.Artist]; got.Words != "Ines Varga" || !got.Declared {
		t.Errorf("taken back: %+v", got)
	}
	for f, words := range map[disclosure.Fact]string{"total": "70", "colour": "red", disclosure.Workshop: strings.Repeat("x", 401), disclosure.Year: "20\x0031"} {
		if _, err := disclosure.Say(f, words); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s %.10q: %v", f, words, err)
		}
	}
}

// Source: California Civil Code 1744(a), item by item; an item that hangs on another is asked for with it.
func TestCheckItemByItem(t *testing.T) {
	t.Parallel()
	ca := set(t, "us-ca")
	told := map[disclosure.Fact]string{
		disclosure.Signature: "by the artist, in pencil", disclosure.NameSource: "does not apply", disclosure.Reproduction: "does not apply",
		disclosure.ArtistDead: "does not apply", disclosure.Posthumous: "does not apply", disclosure.PriorEditions: "does not apply",
		disclosure.Year: "2031", disclosure.MasterYear: "2030", disclosure.MaxUnsigned: "does not apply",
	}
	lacking := func() (out []string) {
		for _, l := range ca.Check(disclosure.Of(heron, "Ines Varga", say(t, told))) {
			if l.Lacks {
				out = append(out, l.Section)
			}
		}
		return out
	}
	if got := lacking(); !slices.Equal(got, []string{"1744(a)(11)"}) {
		t.Errorf("lacking %v", got)
	}
	told[disclosure.Master] = "the file is deleted"
	told[disclosure.Reproduction] = "oil on canvas"
	if got := lacking(); !slices.Equal(got, []string{"1744(a)(5)"}) {
		t.Errorf("a copy of a painting, lacking %v", got)
	}
	if n := len(set(t, "Iowa").Check(nil)); n != 0 {
		t.Errorf("%d items of a law without a list", n)
	}
}

func TestCheckText(t *testing.T) {
	t.Parallel()
	ca := set(t, "California")
	f := disclosure.Of(heron, "Ines Varga", say(t, map[disclosure.Fact]string{
		disclosure.Signature: "by the artist, in pencil", disclosure.Posthumous: "does not apply", disclosure.MasterYear: "not known", disclosure.Year: "2031",
	}))
	text := "Heron at dusk by Ines Varga. Limited edition of 50, signed in pencil by the artist. Pigment print on cotton rag, 2031. Total 61; year of the file: not known."
	want := map[disclosure.Fact]disclosure.Found{
		disclosure.Artist: disclosure.Says, disclosure.Signature: disclosure.Says, disclosure.Medium: disclosure.Says, disclosure.Limited: disclosure.Says,
		disclosure.MaxSigned: disclosure.Says, disclosure.MaxProofs: disclosure.Silent, disclosure.Total: disclosure.Says, disclosure.MasterYear: disclosure.Says,
		disclosure.Posthumous: disclosure.NeedNot, disclosure.Master: disclosure.Silent, disclosure.Year: disclosure.Says,
	}
	seen := 0
	for _, l := range ca.CheckText(f, text) {
		if w, asked := want[l.Fact]; asked {
			seen++
			if l.Found != w {
				t.Errorf("%s: %s (%s), want %s", l.Fact, l.Found, l.Why, w)
			}
		}
	}
	if seen != len(want) {
		t.Errorf("%d of %d items", seen, len(want))
	}
	// A figure is found as a whole: 50 is not in 1950 or 500.
	for _, l := range ca.CheckText(f, "A limited edition of 500, after a work of 1950.") {
		if l.Fact == disclosure.MaxSigned && l.Found != disclosure.Silent {
			t.Errorf("50 was found in 500")
		}
	}
	lack := ca.FixedIn("This is to certify that all information, and the statements contained herein, are true and correct", disclosure.FixedWords)
	if len(lack) != 0 || len(ca.FixedIn("trust me", disclosure.FixedWords)) != 1 {
		t.Errorf("fixed words: %+v", lack)
	}
}
