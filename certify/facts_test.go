package certify_test

import (
	"strings"
	"testing"

	"solander/certify"
	"solander/disclosure"
	"solander/fault"
	"solander/internal/bed"
)

func said(words map[disclosure.Fact]string) func(*certify.Words) error {
	return func(w *certify.Words) error {
		for f, text := range words {
			(*w)[f] = text
		}
		return nil
	}
}

func TestSay(t *testing.T) {
	b := bed.New(t)
	n, err := certify.Say(b.Ctx, b.Studio, b.Heron.ID, said(map[disclosure.Fact]string{
		disclosure.Signature: " by the artist, in pencil ", disclosure.Posthumous: "does not apply", disclosure.Year: "",
	}))
	if b.Must(err); n != 2 {
		t.Errorf("%d changed, want 2: what was not said and is not said now does not change", n)
	}
	n, err = certify.Say(b.Ctx, b.Studio, b.Heron.ID, said(map[disclosure.Fact]string{disclosure.Signature: "by the artist, in pencil"}))
	if b.Must(err); n != 0 {
		t.Errorf("%d changed by saying the same again", n)
	}
	v, err := certify.Facts(b.Ctx, b.Studio, b.Heron.ID)
	b.Must(err)
	if got := v.Facts[disclosure.Signature]; got.Words != "by the artist, in pencil" || got.Declared {
		t.Errorf("%+v", got)
	}
	if v.Facts[disclosure.Posthumous].Said != disclosure.None || v.Facts[disclosure.MaxSigned].Words != "5" {
		t.Errorf("%+v", v.Facts)
	}
	for f, words := range map[disclosure.Fact]string{"total": "9", disclosure.Workshop: strings.Repeat("x", 401)} {
		_, err := certify.Say(b.Ctx, b.Studio, b.Heron.ID, said(map[disclosure.Fact]string{f: words, disclosure.Year: "2026"}))
		b.Refused(err, fault.Invalid, string(f), "")
	}
	_, err = certify.Say(b.Ctx, b.Studio, 99, said(nil))
	b.Refused(err, fault.Missing, "", "")
	if v, err = certify.Facts(b.Ctx, b.Studio, b.Heron.ID); err != nil || v.Facts[disclosure.Year].Said != disclosure.Missing {
		t.Errorf("a fault leaves nothing: %+v, %v", v.Facts[disclosure.Year], err)
	}
	b.Sound()
}

// Source: New York ACAL 15.01 (more than 100 dollars, read), California Civil Code s. 1741 (from 100 dollars, memory).
func TestDisclose(t *testing.T) {
	b := bed.New(t)
	for _, tc := range []struct {
		state   string
		minor   int64
		covered bool
	}{{"NY", 100_00, false}, {"NY", 100_01, true}, {"CA", 100_00, true}, {"us-ca", 99_99, false}} {
		a, err := certify.Disclose(b.Ctx, b.Studio, b.Heron.ID, certify.Asked{State: tc.state, Price: bed.USD(tc.minor)})
		b.Must(err)
		if a.Scope.Covered != tc.covered || a.Lacks == 0 || a.Lacks >= len(a.Lines) || a.Caution == "" {
			t.Errorf("%s at %d: %+v, %d of %d lack", tc.state, tc.minor, a.Scope, a.Lacks, len(a.Lines))
		}
	}
	a, err := certify.Disclose(b.Ctx, b.Studio, b.Heron.ID, certify.Asked{State: "California", Text: "A limited edition of 5"})
	b.Must(err)
	if a.Price != b.Heron.Price || a.Silent == 0 || len(a.Words) != 1 {
		t.Errorf("%s, %d silent, %d words", a.Price, a.Silent, len(a.Words))
	}
	_, err = certify.Disclose(b.Ctx, b.Studio, b.Heron.ID, certify.Asked{State: "ZZ"})
	b.Refused(err, fault.Missing, "state", "")
	_, err = certify.Disclose(b.Ctx, b.Studio, b.Heron.ID, certify.Asked{State: "CA", Text: strings.Repeat("x", 4001)})
	b.Refused(err, fault.Invalid, "text", "")
	_, err = certify.Disclose(b.Ctx, b.Studio, b.Heron.ID, certify.Asked{State: "CA", Price: bed.USD(-1)})
	b.Refused(err, fault.Invalid, "price", "")
	_, err = certify.Disclose(b.Ctx, b.Studio, 99, certify.Asked{State: "CA"})
	b.Refused(err, fault.Missing, "", "")
}
