package order

import (
	"regexp"
	"strings"

	"solander/fault"
)

// Tracking is an operator's number of a parcel. Standard says by which published rule its check digit
// was verified; "" = by none: the form is plausible and no more is known of it.
type Tracking struct {
	Number   string // capitals and digits, without spaces
	Standard TrackingStandard
}

// Verified reports whether a published check digit held.
func (t Tracking) Verified() bool { return t.Standard != Unverified }

// TrackingStandard names a published rule for check digits.
type TrackingStandard string

// The standards.
const (
	S10        TrackingStandard = "UPU S10"
	GS1        TrackingStandard = "GS1 mod 10"
	Unverified TrackingStandard = ""
)

var (
	s10Form   = regexp.MustCompile(`^[A-Z]{2}[0-9]{9}[A-Z]{2}$`)
	digits    = regexp.MustCompile(`^[0-9]+$`)
	otherForm = regexp.MustCompile(`^[0-9A-Z]{8,40}$`)
)

// ParseTracking reads a tracking number as typed or scanned; spaces, hyphens and dots between groups
// do not count. What has the form of a standard must hold that standard's check digit:
//
//   - UPU S10: two letters, eight digits, the check digit, and an ISO 3166 country;
//   - GS1 mod 10: 18 digits (SSCC), 20 (SSCC with its 00, or a domestic number), 22 or 26 digits
//     (domestic parcel numbers), each also behind the routing prefix 420 and a ZIP or ZIP+4, which the
//     check digit does not cover. Lengths of domestic numbers: from memory.
//
// Any other 8 to 40 letters and digits are taken as Unverified, so that other operators' numbers work;
// the same goes for a number with its operator's name in front, should one look like a standard and
// follow none. Faults: Invalid, with the check digit that would be right.
func ParseTracking(text string) (Tracking, error) {
	n := compact(text)
	switch {
	case n == "":
		return Tracking{}, fault.Invalidf("tracking", "the tracking number is missing").ToMend("type or scan it from the label")
	case !otherForm.MatchString(n):
		return Tracking{}, fault.Invalidf("tracking", "%.60q is not a tracking number", text).ToMend("use the 8 to 40 letters and digits on the label")
	case s10Form.MatchString(n) && KnownCountry(n[11:]):
		return checked(n, S10, n[10], s10Digit(n[2:10]))
	}
	for _, body := range gs1Bodies(n) {
		last := len(body) - 1
		if got, want := body[last], gs1Digit(body[:last]); got == want {
			return Tracking{n, GS1}, nil
		}
	}
	if bodies := gs1Bodies(n); len(bodies) > 0 {
		last := len(bodies[0]) - 1
		return checked(n, GS1, bodies[0][last], gs1Digit(bodies[0][:last]))
	}
	return Tracking{n, Unverified}, nil
}

// ReadTracking reads a tracking number that a machine read, by a scanner or from a file. A wrong check digit is
// told as a doubt and not refused: the number is on the label. Faults: Invalid for what is no number at all.
func ReadTracking(text string) (t Tracking, doubt string, err error) {
	t, err = ParseTracking(text)
	n := compact(text)
	if err == nil || !otherForm.MatchString(n) {
		return t, "", err
	}
	return Tracking{Number: n}, fault.All(err)[0].What, nil
}

func checked(n string, by TrackingStandard, got, want byte) (Tracking, error) {
	if got == want {
		return Tracking{n, by}, nil
	}
	return Tracking{}, fault.Invalidf("tracking", "the check digit of %s is %c; by %s it would be %c, so a digit is wrong", n, got, string(by), want).
		ToMend("compare it with the label; a number of another kind may be given with its operator's name in front")
}

// compact drops what people put between groups and puts letters in capitals.
func compact(text string) string {
	return strings.ToUpper(strings.NewReplacer(" ", "", "\u00a0", "", "\t", "", "-", "", ".", "").Replace(strings.TrimSpace(text)))
}

// s10Digit returns the check digit of the eight digits of an S10 number.
// Source: UPU standard S10: weights 8 6 4 2 3 5 9 7; C = 11 − (sum mod 11); 10 becomes 0, 11 becomes 5.
func s10Digit(serial string) byte {
	sum := 0
	for i, w := range []int{8, 6, 4, 2, 3, 5, 9, 7} {
		sum += w * int(serial[i]-'0')
	}
	switch c := 11 - sum%11; c {
	case 10:
		return '0'
	case 11:
		return '5'
	default:
		return byte('0' + c)
	}
}

// gs1Digit returns the check digit that follows the digits.
// Source: GS1 general specifications, standard check digit: from the right, weights 3, 1, 3, 1 …;
// C = (10 − sum mod 10) mod 10.
func gs1Digit(number string) byte {
	sum, weight := 0, 3
	for i := len(number) - 1; i >= 0; i-- {
		sum += weight * int(number[i]-'0')
		weight = 4 - weight
	}
	return byte('0' + (10-sum%10)%10)
}

// gs1Bodies returns the parts of n that a GS1 check digit may close, the likeliest first; none when n
// has no such form. Behind 420 stands a ZIP of 5 digits, or of 9: the length leaves open which when 34
// digits are either 9 + 22 or 5 + 26, and domestic numbers begin with 9.
func gs1Bodies(n string) []string {
	if !digits.MatchString(n) {
		return nil
	}
	var out []string
	if rest, ok := strings.CutPrefix(n, "420"); ok && len(n) >= 28 {
		for _, zip := range []int{5, 9} {
			if body := rest[zip:]; gs1Length(len(body)) && len(body) >= 20 {
				out = append(out, body)
			}
		}
		if len(out) == 2 && out[0][0] != '9' {
			out[0], out[1] = out[1], out[0]
		}
		return out
	}
	if gs1Length(len(n)) {
		out = append(out, n)
	}
	return out
}

func gs1Length(n int) bool { return n == 18 || n == 20 || n == 22 || n == 26 }
