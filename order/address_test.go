package order

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/fault"
)

func us() Address {
	return Address{Name: "Ottilie Marrow", Line1: "12 Quarry Lane", City: "Cinder Gap", Region: "VA", Postcode: "24019", Country: "US"}
}

// Sources, from memory: USPS Publication 28; Canada Post addressing guidelines; Royal Mail guide to the
// postcode address file. K1A 0B1, EC1A 1BB and SW1A 1AA are the examples that they print.
func TestPostcodes(t *testing.T) {
	for _, tc := range []struct{ country, typed, tidy string }{
		{"US", "24019", "24019"},
		{"US", "24019-1234", "24019-1234"},
		{"US", "240191234", "24019-1234"},
		{"US", "24019 1234", "24019-1234"},
		{"US", "00501", "00501"},
		{"PR", "00901", "00901"},
		{"CA", "K1A 0B1", "K1A 0B1"},
		{"CA", "k1a0b1", "K1A 0B1"},
		{"CA", "K1A-0B1", "K1A 0B1"},
		{"GB", "EC1A 1BB", "EC1A 1BB"},
		{"GB", "ec1a1bb", "EC1A 1BB"},
		{"GB", "W1A 0AX", "W1A 0AX"},
		{"GB", "M1 1AE", "M1 1AE"},
		{"GB", "m11ae", "M1 1AE"},
		{"GB", "B33 8TH", "B33 8TH"},
		{"GB", "CR2 6XH", "CR2 6XH"},
		{"GB", "DN55 1PT", "DN55 1PT"},
		{"GB", "SW1A  1AA", "SW1A 1AA"},
		{"DE", "01277", "01277"},
		{"FR", "75001", "75001"},
		{"AT", "1010", "1010"},
		{"CH", "8001", "8001"},
		{"AU", "2000", "2000"},
		{"JP", "100-0001", "100-0001"},
		{"JP", "1000001", "100-0001"},
		{"NL", "1012 AB", "1012 AB"},
		{"NL", "1012ab", "1012 AB"},
		{"SE", "931 62", "931 62"},
		{"PL", "58-310", "58-310"},
		{"IE", "d02 af30", "D02 AF30"}, // taken as typed
		{"HK", "", ""},
		{"AE", "", ""}, // countries without postcodes
	} {
		a := us()
		a.Country, a.Postcode = tc.country, tc.typed
		a = a.Tidy()
		if err := a.Validate(); err != nil || a.Postcode != tc.tidy {
			t.Errorf("%s: %q is tidied to %q, want %q; %v", tc.country, tc.typed, a.Postcode, tc.tidy, err)
		}
	}
}

// A postcode of a wrong form is told as a doubt; one that a label needs and that is missing is a fault.
func TestPostcodeDoubts(t *testing.T) {
	for country, typed := range map[string][]string{
		"US": {"", "2401", "240199", "24019-12", "ABCDE", "24O19", "２４０１９", "K1A 0B1"},
		"CA": {"", "K1A", "KIA OB1", "K1A 0B", "D1A 0B1", "W1A 0B1", "24019"},
		"GB": {"", "EC1A", "EC1A 1B", "1EC 1BB", "EC1A 1BI", "24019", "ÄÖÜ"},
		"DE": {"", "1234", "123456", "D-10115"},
		"AU": {"", "200", "20000"},
		"JP": {"", "100-001", "1000-001"},
		"NL": {"", "1012", "0012 AB", "1012 A1"},
		"CH": {"CH-80012"},
	} {
		for _, p := range typed {
			a := us()
			a.Country, a.Postcode = country, p
			a = a.Tidy()
			if p == "" {
				only(t, "ship_to.postcode", a.Validate())
			} else if err := a.Validate(); err != nil {
				t.Errorf("%s: %q is refused: %v", country, p, err)
			}
			if !doubtful(a, "ship_to.postcode") {
				t.Errorf("%s: %q raises no doubt: %v", country, p, a.Doubts())
			}
			if err := a.ValidateOrigin(); err == nil {
				t.Errorf("%s: %q may be an origin", country, p)
			}
			if !utf8.ValidString(a.Postcode) {
				t.Errorf("%s: %q was cut within a letter: %q", country, p, a.Postcode)
			}
		}
	}
}

func TestAddressFaults(t *testing.T) {
	for name, tc := range map[string]struct {
		change func(*Address)
		field  string
	}{
		"no name":         {func(a *Address) { a.Name = " \u00a0" }, "ship_to.name"},
		"no street":       {func(a *Address) { a.Line1 = "" }, "ship_to.line1"},
		"no town":         {func(a *Address) { a.City = "" }, "ship_to.city"},
		"no state":        {func(a *Address) { a.Region = "" }, "ship_to.region"},
		"two lines":       {func(a *Address) { a.Line2 = "rear\nhouse" }, "ship_to.line2"},
		"C1 control":      {func(a *Address) { a.City = "Cinder\u009bGap" }, "ship_to.city"},
		"line separator":  {func(a *Address) { a.Line2 = "a\u2028b" }, "ship_to.line2"},
		"turned round":    {func(a *Address) { a.Name = "Ottilie \u202eworraM" }, "ship_to.name"},
		"isolate":         {func(a *Address) { a.Name = "\u2067Ottilie\u2069" }, "ship_to.name"},
		"broken UTF-8":    {func(a *Address) { a.Line1 = "12 Quarry\xffLane" }, "ship_to.line1"},
		"too long":        {func(a *Address) { a.Line1 = strings.Repeat("字", 121) }, "ship_to.line1"},
		"no such country": {func(a *Address) { a.Country, a.Postcode = "Atlantis", "10115" }, "ship_to.country"},
		"no country":      {func(a *Address) { a.Country = "" }, "ship_to.country"},
		"country EU":      {func(a *Address) { a.Country, a.Region = "EU", "" }, "ship_to.country"},
		"country XX":      {func(a *Address) { a.Country = "XX" }, "ship_to.country"},
		"country number":  {func(a *Address) { a.Country = "84" }, "ship_to.country"},
	} {
		a := us()
		tc.change(&a)
		t.Run(name, func(t *testing.T) { only(t, tc.field, a.Tidy().Validate()) })
	}
	long := us()
	long.Line1 = strings.Repeat("字", 120)
	if err := long.Validate(); err != nil {
		t.Errorf("120 characters, whatever their bytes: %v", err)
	}
	if n := len(fault.All(Address{}.Validate())); n < 4 {
		t.Errorf("an empty address shows %d faults, want all at once", n)
	}
}

// Addresses in the letters of their countries stay as they are.
func TestTidyKeepsLetters(t *testing.T) {
	a := Address{Name: " Łucja Źródlana ", Line1: "ulica Młyńska 4/6", Line2: "م. نسرين\u200f", City: "Łęgowa Dolina", Postcode: " 58-310 ", Country: "pl"}
	want := a
	want.Name, want.Postcode, want.Country = "Łucja Źródlana", "58-310", "PL"
	got := a.Tidy()
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if err := got.Validate(); err != nil {
		t.Error(err)
	}
}

// Sources: as in package address, whose tests hold the published examples.
func TestBlock(t *testing.T) {
	for name, tc := range map[string]struct {
		a    Address
		from string
		want []string
	}{
		"at home": {us(), "US", []string{"Ottilie Marrow", "12 Quarry Lane", "Cinder Gap VA  24019"}},
		"abroad":  {us(), "CA", []string{"Ottilie Marrow", "12 Quarry Lane", "Cinder Gap VA  24019", "United States"}},
		"no home": {us(), "", []string{"Ottilie Marrow", "12 Quarry Lane", "Cinder Gap VA  24019", "United States"}},
		"second line": {
			Address{Name: "A", Line1: "1", Line2: "flat 2", City: "Pinder Bay", Region: "ON", Postcode: "K7L 3N6", Country: "CA"},
			"US",
			[]string{"A", "1", "flat 2", "Pinder Bay ON  K7L 3N6", "Canada"},
		},
		"GB": {
			Address{Name: "A", Line1: "1 Sluice Cottages", City: "Thornwick", Region: "Norfolk", Postcode: "NR23 1QX", Country: "GB"},
			"US",
			[]string{"A", "1 Sluice Cottages", "Thornwick", "Norfolk", "NR23 1QX", "United Kingdom"},
		},
		"DE": {
			Address{Name: "A", Line1: "Mühlgräbchen 3", City: "Lindenwehr", Postcode: "01277", Country: "DE"},
			"US",
			[]string{"A", "Mühlgräbchen 3", "01277 Lindenwehr", "Germany"},
		},
		"IT": {
			Address{Name: "A", Line1: "via Lunga 3", City: "Colleverde", Region: "RM", Postcode: "00012", Country: "IT"},
			"US",
			[]string{"A", "via Lunga 3", "00012 Colleverde RM", "Italy"},
		},
		"NZ": {
			Address{Name: "A", Line1: "3 Fern Rise", City: "Harbourside", Postcode: "6011", Country: "NZ"},
			"US",
			[]string{"A", "3 Fern Rise", "Harbourside 6011", "New Zealand"},
		},
		"JP": {
			Address{Name: "A", Line1: "Minatomachi 3-1", City: "Kitanoura", Region: "Yamagata", Postcode: "998-0852", Country: "JP"},
			"US",
			[]string{"A", "Minatomachi 3-1, Kitanoura, Yamagata", "998-0852", "Japan"},
		},
		"without a postcode": {
			Address{Name: "A", Line1: "9 Harbour Steps", City: "Kowloon", Country: "HK"},
			"US",
			[]string{"A", "9 Harbour Steps", "Kowloon", "Hong Kong"},
		},
		"Puerto Rico, which is domestic": {
			Address{Name: "A", Line1: "150 Calle A", City: "San Juan", Postcode: "00926", Country: "PR"},
			"US",
			[]string{"A", "150 Calle A", "San Juan PR  00926"},
		},
		"Puerto Rico from abroad": {
			Address{Name: "A", Line1: "150 Calle A", City: "San Juan", Postcode: "00926", Country: "PR"},
			"CA",
			[]string{"A", "150 Calle A", "San Juan PR  00926", "Puerto Rico"},
		},
		"IE without a postcode": {
			Address{Name: "A", Line1: "9 Quay", City: "Dunmore", Region: "Co. Waterford", Country: "IE"},
			"US",
			[]string{"A", "9 Quay", "Dunmore", "Co. Waterford", "Ireland"},
		},
	} {
		if diff := cmp.Diff(tc.want, tc.a.Block(tc.from)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// Whatever is typed: tidying twice is tidying once, nothing visible is lost or added on the way to the
// label, and no line of it is empty.
func TestAddressLaws(t *testing.T) {
	field := rapid.OneOf(rapid.StringMatching(`[A-Za-zÄß字 0-9-]{0,12}`), rapid.String())
	rapid.Check(t, func(t *rapid.T) {
		a := Address{
			Name: field.Draw(t, "name"), Line1: field.Draw(t, "line1"), Line2: field.Draw(t, "line2"), City: field.Draw(t, "city"),
			Region: field.Draw(t, "region"), Postcode: field.Draw(t, "postcode"),
			Country: rapid.SampledFrom([]string{"US", "ca", "GB", "DE", "JP", "NL", "NZ", "IE", "HK", "SE", "XX", ""}).Draw(t, "country"),
		}
		tidy := a.Tidy()
		if again := tidy.Tidy(); again != tidy {
			t.Fatalf("tidied twice: %+v, once: %+v", again, tidy)
		}
		if !a.Same(tidy) || !tidy.Same(a) {
			t.Fatalf("%+v is not the same as %+v", a, tidy)
		}
		squeeze := func(s string) string { return strings.ToUpper(strings.Join(strings.Fields(s), "")) }
		if plain := func(s string) string { return strings.ReplaceAll(squeeze(s), "-", "") }; plain(a.Postcode) != plain(tidy.Postcode) {
			t.Fatalf("postcode %q became %q", a.Postcode, tidy.Postcode)
		}
		block := tidy.Block("US")
		on := squeeze(strings.Join(block, " "))
		for _, f := range tidy.fields()[:6] {
			if !strings.Contains(on, squeeze(f)) {
				t.Fatalf("%q does not stand in %q", f, block)
			}
		}
		for _, l := range block {
			if l == "" {
				t.Fatalf("an empty line in %q", block)
			}
		}
	})
}

func TestSame(t *testing.T) {
	a := us()
	b := Address{Name: "ottilie  marrow", Line1: "12 QUARRY LANE", City: "Cinder Gap ", Region: "va", Postcode: " 24019", Country: "us"}
	if !a.Same(b) || !b.Same(a) {
		t.Error("capitals and spaces make it another place")
	}
	for field, change := range map[string]func(*Address){
		"name": func(a *Address) { a.Name = "Otto Marrow" }, "line1": func(a *Address) { a.Line1 = "13 Quarry Lane" },
		"line2": func(a *Address) { a.Line2 = "rear" }, "city": func(a *Address) { a.City = "Cinder" }, "region": func(a *Address) { a.Region = "NC" },
		"postcode": func(a *Address) { a.Postcode = "24018" }, "country": func(a *Address) { a.Country = "CA" },
	} {
		b := us()
		change(&b)
		if a.Same(b) {
			t.Errorf("another %s is the same place", field)
		}
	}
	if (Address{Name: "a|b", Line1: "c"}).Same(Address{Name: "a", Line1: "b|c"}) {
		t.Error("two fields were taken for one")
	}
}

func TestTextAndNote(t *testing.T) {
	if err := Note("note", "two\r\nlines\tand a tab, "+strings.Repeat("ß", 3900)); err != nil {
		t.Error(err)
	}
	for _, s := range []string{"\x00", "\x1b[31m", "a\u202eb", "\xff", strings.Repeat("x", 4001)} {
		only(t, "note", Note("note", s))
		only(t, "f", Text("f", s, 100, false))
	}
	only(t, "f", Text("f", " \t ", 10, true))
	if err := Text("f", "", 10, false); err != nil {
		t.Error(err)
	}
	if err := Text("f", strings.Repeat("字", 10), 10, true); err != nil {
		t.Error(err)
	}
}

func FuzzAddress(f *testing.F) {
	f.Add("Ottilie Marrow", "12 Quarry Lane", "Cinder Gap", "VA", "24019", "US")
	f.Add("", "\xff", "\u202e", "ÄÖÜ", "ÄÖÜ", "CA")
	f.Add("x", "y", "z", "", "ﬀﬀ1ß", "gb")
	f.Fuzz(func(t *testing.T, name, line, city, region, code, country string) {
		a := Address{Name: name, Line1: line, City: city, Region: region, Postcode: code, Country: country}
		tidy := a.Tidy()
		err := tidy.Validate()
		for _, e := range fault.All(err) {
			if e.Code != fault.Invalid || !strings.HasPrefix(e.Field, "ship_to.") || e.Mend == "" {
				t.Fatalf("%+v: %+v", a, e)
			}
		}
		for _, l := range tidy.Block("US") {
			if err == nil && (l == "" || !utf8.ValidString(l) || strings.ContainsAny(l, "\n\r\x00")) {
				t.Fatalf("%+v is accepted, and its label holds %q", a, l)
			}
		}
	})
}
