package order

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/fault"
)

// Source: UPU standard S10, the example number of the published description: serial 47312482,
// 4·8 + 7·6 + 3·4 + 1·2 + 2·3 + 4·5 + 8·9 + 2·7 = 200; 200 mod 11 = 2; check digit 9.
func TestS10PublishedExample(t *testing.T) {
	if got := s10Digit("47312482"); got != '9' {
		t.Fatalf("check digit %c, published 9", got)
	}
	for _, typed := range []string{"RR473124829US", "rr 473 124 829 us", " RR-473124829-US "} {
		got, err := ParseTracking(typed)
		if err != nil || got != (Tracking{"RR473124829US", S10}) {
			t.Errorf("%q: %v %v", typed, got, err)
		}
	}
}

// The two residues with a digit of their own: 11 − 1 = 10 is written 0, 11 − 0 = 11 is written 5.
func TestS10SpecialDigits(t *testing.T) {
	for serial, want := range map[string]byte{
		"00000000": '5', // sum 0, 11 − 0 = 11
		"00100001": '5', // 4 + 7 = 11, mod 11 = 0
		"00001010": '0', // 3 + 9 = 12, mod 11 = 1
		"00000020": '4', // 2 · 9 = 18, mod 11 = 7
	} {
		if got := s10Digit(serial); got != want {
			t.Errorf("%s: %c, want %c", serial, got, want)
		}
	}
}

// Source: GS1 Hong Kong (6291041500213) and GS1 India (8904000210037), worked examples of the standard
// check digit.
func TestGS1PublishedExamples(t *testing.T) {
	for number, want := range map[string]byte{"629104150021": '3', "890400021003": '7'} {
		if got := gs1Digit(number); got != want {
			t.Errorf("%s: %c, published %c", number, got, want)
		}
	}
}

func TestTrackingForms(t *testing.T) {
	with := func(body string) string { return body + string(gs1Digit(body)) }
	sscc := with("00629104150021000")[:18]
	domestic := with("920550000000000000001")
	long := with("9261290000000000000000123")
	for name, tc := range map[string]struct {
		in   string
		want TrackingStandard
	}{
		"SSCC":                    {sscc, GS1},
		"SSCC with its 00":        {"00" + sscc, GS1},
		"20 digits":               {with("7016091000000000000"), GS1},
		"22 digits":               {domestic, GS1},
		"26 digits":               {long, GS1},
		"routed by ZIP":           {"42024011" + domestic, GS1},
		"routed by ZIP+4":         {"420240111234" + domestic, GS1},
		"26 routed by ZIP":        {"42024011" + long, GS1},
		"another operator's":      {"1Z999AA10123456784", Unverified},
		"twelve digits":           {"123456789012", Unverified},
		"no country of that code": {"AB123456789QX", Unverified},
		"with an operator's name": {"Rapid " + domestic[:21] + string('0'+(domestic[21]-'0'+1)%10), Unverified},
	} {
		got, err := ParseTracking(tc.in)
		if err != nil || got.Standard != tc.want {
			t.Errorf("%s: %q is %q, %v; want %q", name, tc.in, got.Standard, err, tc.want)
		}
	}
}

func TestTrackingFaults(t *testing.T) {
	for in, says := range map[string]string{
		"":                               "missing",
		"  - ":                           "missing",
		"1234567":                        "not a tracking number",
		strings.Repeat("1", 41):          "not a tracking number",
		"RR47312482\u0669US":             "not a tracking number",
		"RR473124829US; DROP":            "not a tracking number",
		"\xff\xfe123456789":              "not a tracking number",
		"RR473124828US":                  "it would be 9",
		"RR473124892US":                  "a digit is wrong",
		"629104150021000009":             "GS1 mod 10 it would be",
		"420240119205500000000000000000": "GS1 mod 10 it would be",
	} {
		got, err := ParseTracking(in)
		if !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, %v; want a fault that says %q", in, got, err, says)
		} else if f := fault.All(err)[0]; f.Field != "tracking" || f.Mend == "" {
			t.Errorf("%q: field %q, mend %q", in, f.Field, f.Mend)
		}
	}
}

// GS1: every single wrong digit is caught, for 1 and 3 have no factor in common with 10. Two neighbours
// exchanged are caught unless they differ by five: their sum changes by 2 · 5.
func TestGS1CatchesErrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := draw(t, rapid.SampledFrom([]int{17, 19, 21, 25}).Draw(t, "length"))
		n += string(gs1Digit(n))
		holds := func(s string) bool { return gs1Digit(s[:len(s)-1]) == s[len(s)-1] }
		for i := range n {
			for d := byte('0'); d <= '9'; d++ {
				if wrong := n[:i] + string(d) + n[i+1:]; d != n[i] && holds(wrong) {
					t.Fatalf("%s: digit %d as %c is not caught", n, i, d)
				}
			}
			if i == 0 {
				continue
			}
			swapped := n[:i-1] + string(n[i]) + string(n[i-1]) + n[i+1:]
			diff := int(n[i]) - int(n[i-1])
			if missed := holds(swapped); missed != (diff == 0 || diff == 5 || diff == -5) {
				t.Fatalf("%s: %c%c exchanged: missed %v", n, n[i-1], n[i], missed)
			}
		}
	})
}

// S10: a single wrong digit is caught unless the sum moves between the residues 0 and 6, which share
// the check digit 5. (No other two residues share one.)
func TestS10CatchesErrors(t *testing.T) {
	residue := func(s string) int {
		sum := 0
		for i, w := range []int{8, 6, 4, 2, 3, 5, 9, 7} {
			sum += w * int(s[i]-'0')
		}
		return sum % 11
	}
	rapid.Check(t, func(t *rapid.T) {
		serial := draw(t, 8)
		for i := range serial {
			for d := byte('0'); d <= '9'; d++ {
				if d == serial[i] {
					continue
				}
				wrong := serial[:i] + string(d) + serial[i+1:]
				a, b := residue(serial), residue(wrong)
				shared := a == 0 && b == 6 || a == 6 && b == 0
				if missed := s10Digit(wrong) == s10Digit(serial); missed != shared {
					t.Fatalf("%s → %s: missed %v, residues %d and %d", serial, wrong, missed, a, b)
				}
			}
		}
	})
}

func TestTrackingReadsItsOwnNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		got, err := ParseTracking(text)
		if err != nil {
			if !fault.Is(err, fault.Invalid) {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		if again, err := ParseTracking(got.Number); err != nil || again != got {
			t.Fatalf("%q → %v → %v, %v", text, got, again, err)
		}
	})
}

func draw(t *rapid.T, n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteByte(byte('0' + rapid.IntRange(0, 9).Draw(t, fmt.Sprint("digit ", i))))
	}
	return b.String()
}

// Source: UPU S10, the worked example of the standard, RR473124829 and its check digit 9 (from memory).
func TestReadTracking(t *testing.T) {
	got, doubt, err := ReadTracking("RR 473124829 GB")
	if err != nil || doubt != "" || got != (Tracking{"RR473124829GB", S10}) {
		t.Errorf("%+v %q %v", got, doubt, err)
	}
	got, doubt, err = ReadTracking("rr473124820gb")
	if err != nil || got != (Tracking{Number: "RR473124820GB"}) || !strings.Contains(doubt, "it would be 9") {
		t.Errorf("%+v %q %v", got, doubt, err)
	}
	if _, _, err := ReadTracking("no"); err == nil {
		t.Error("it is no number")
	}
}
