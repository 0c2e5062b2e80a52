package almanac

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/order"
)

func unfold(s string) string {
	return strings.NewReplacer("\r\n ", "", "\r\n\t", "").Replace(s)
}

// Source: RFC 5545, section 3.1, its example: a long line and the same, folded; unfolded they are one.
func TestRFC5545Folding(t *testing.T) {
	const long = "DESCRIPTION:This is a long description that exists on a long line."
	const folded = "DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n"
	if got := unfold(folded); got != long+"\r\n" {
		t.Errorf("the example unfolds to %q", got)
	}
	if got := fold(long); got != long+"\r\n" {
		t.Errorf("68 octets were folded: %q", got)
	}
}

// Whatever the text: no line is longer than 75 octets, no character is cut, and unfolding gives it back.
func TestFoldingLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := strings.Map(func(r rune) rune {
			if r == '\r' || r == '\n' {
				return -1
			}
			return r
		}, rapid.OneOf(rapid.StringN(0, 200, 400), rapid.StringMatching(`[字ß🖼a ]{0,150}`)).Draw(t, "line"))
		got := fold(line)
		if unfold(got) != line+"\r\n" && line != "" {
			t.Fatalf("%q comes back as %q", line, unfold(got))
		}
		for _, l := range strings.Split(strings.TrimSuffix(got, "\r\n"), "\r\n") {
			if len(l) > 75 || !utf8.ValidString(l) {
				t.Fatalf("a line of %d octets: %q", len(l), l)
			}
		}
	})
}

// Source: RFC 5545, section 3.3.11, its example "Project XYZ Final Review ...".
func TestRFC5545Text(t *testing.T) {
	const want = `Project XYZ Final Review\nConference Room - 3B\nCome Prepared.`
	if got := escaped("Project XYZ Final Review\nConference Room - 3B\r\nCome Prepared."); got != want {
		t.Errorf("%q", got)
	}
	if got := escaped("a\\b,c;d:e\"f\x00\x1b"); got != `a\\b\,c\;d:e"f` {
		t.Errorf("%q", got)
	}
}

// Sources: RFC 5545, section 3.3.4 (19970714), 3.3.5 (19980119T070000Z), 3.6.1 (an event of a whole day: DTSTART
// of VALUE=DATE without DTEND, and TRANSP:TRANSPARENT, as its anniversary example).
func TestPromises(t *testing.T) {
	if got := date(calendar.Date(1997, 7, 14)); got != "19970714" {
		t.Error(got)
	}
	if got := instant(time.Date(1998, 1, 19, 2, 0, 0, 0, time.FixedZone("EST", -5*3600))); got != "19980119T070000Z" {
		t.Error(got)
	}
	var b strings.Builder
	now := time.Date(2026, 4, 1, 9, 30, 0, 0, time.UTC)
	if err := Promises(&b, "Larkfold; prints", now, []Promise{{"promise-1@x", calendar.Date(2026, 4, 14), "Hand over S-1042, 2 prints", "17/250 Heron\nAP 2/5 Reeds"}}); err != nil {
		t.Fatal(err)
	}
	want := strings.Join([]string{
		"BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Solander//Promises//EN", "CALSCALE:GREGORIAN", `NAME:Larkfold\; prints`, "REFRESH-INTERVAL;VALUE=DURATION:PT1H",
		"BEGIN:VEVENT", "UID:promise-1@x", "DTSTAMP:20260401T093000Z", "DTSTART;VALUE=DATE:20260414", `SUMMARY:Hand over S-1042\, 2 prints`,
		`DESCRIPTION:17/250 Heron\nAP 2/5 Reeds`, "TRANSP:TRANSPARENT", "END:VEVENT", "END:VCALENDAR", "",
	}, "\r\n")
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
}

// Source: RFC 6350, section 6.3.1, the parts of its example ADR: ;;123 Main Street;Any Town;CA;91921-1234;U.S.A.
func TestCards(t *testing.T) {
	a := order.Address{Line1: "123 Main Street", City: "Any Town", Region: "CA", Postcode: "91921-1234", Country: "US"}
	if got := address(a); got != ";;123 Main Street;Any Town;CA;91921-1234;United States" {
		t.Error(got)
	}
	a.Line1, a.Line2 = "9 Quay; rear, left", "Floor 2"
	if got := address(a); got != `;;9 Quay\; rear\, left,Floor 2;Any Town;CA;91921-1234;United States` {
		t.Error(got)
	}
	var b strings.Builder
	if err := Cards(&b, []Card{{UID: "buyer-1@x", Name: "Zoé, Müller", Email: "z@example.org", Phone: "+49 30 1", To: a}, {Name: "Nobody"}}); err != nil {
		t.Fatal(err)
	}
	want := "BEGIN:VCARD\r\nVERSION:4.0\r\nPRODID:-//Solander//Buyers//EN\r\nUID;VALUE=text:buyer-1@x\r\nFN:Zoé\\, Müller\r\nEMAIL:z@example.org\r\nTEL;VALUE=text:+49 30 1\r\n" +
		"ADR:;;9 Quay\\; rear\\, left,Floor 2;Any Town;CA;91921-1234;United States\r\nEND:VCARD\r\n" +
		"BEGIN:VCARD\r\nVERSION:4.0\r\nPRODID:-//Solander//Buyers//EN\r\nFN:Nobody\r\nEND:VCARD\r\n"
	if got := unfold(b.String()); got != want {
		t.Errorf("%s", cmp.Diff(want, got))
	}
}
