package almanac

import (
	"io"
	"strings"

	"solander/order"
)

// Card is a buyer with where parcels went last.
type Card struct {
	UID   string
	Name  string
	Email string
	Phone string
	To    order.Address // none when its country is ""
}

// Cards writes one vCard 4.0 after the other. Sources: RFC 6350, sections 6.2.1 (FN is needed), 6.3.1 (an address is
// post box, extended, street, town, region, code and country; the first two stay empty; a part may be a list),
// 6.4.1 (a telephone number as text), 6.7.6.
func Cards(w io.Writer, cards []Card) error {
	var l lines
	for _, c := range cards {
		l.add("BEGIN", "VCARD")
		l.add("VERSION", "4.0")
		l.add("PRODID", "-//Solander//Buyers//EN")
		l.text("UID;VALUE=text", c.UID)
		l.add("FN", whole(c.Name))
		if c.Email != "" {
			l.add("EMAIL", whole(c.Email))
		}
		if c.Phone != "" {
			l.add("TEL;VALUE=text", whole(c.Phone))
		}
		if c.To.Country != "" {
			l.add("ADR", address(c.To))
		}
		l.add("END", "VCARD")
	}
	return l.writeTo(w)
}

// whole writes a value that has no parts: a semicolon in it need not be escaped (RFC 6350, section 3.4), and some
// readers do not take it back.
func whole(text string) string { return strings.ReplaceAll(escaped(text), `\;`, ";") }

func address(a order.Address) string {
	var street []string
	for _, s := range []string{a.Line1, a.Line2} {
		if s != "" {
			street = append(street, escaped(s))
		}
	}
	return strings.Join([]string{
		"", "", strings.Join(street, ","), escaped(a.City), escaped(a.Region), escaped(a.Postcode), escaped(order.CountryName(a.Country)),
	}, ";")
}
