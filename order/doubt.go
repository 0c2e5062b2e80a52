package order

import (
	"fmt"
	"slices"
	"strings"

	"solander/address"
	"solander/letters"
)

// Doubt is something about an address that may be wrong. It is told and bars nothing: the artist, or the
// buyer, knows better than a table.
type Doubt struct {
	Field string `json:"field"` // "ship_to.postcode"
	Text  string `json:"text"`  // what and why, a sentence without its stop
}

// Doubts looks at a tidied address with its country's form: letters that no label can be printed with, fields that
// its labels carry, the form of the postcode, states that do not exist, and a postcode that belongs to another
// state. See package address for the sources.
func (a Address) Doubts() []Doubt {
	out := a.letterDoubts()
	if a.Country == "" {
		return out // no address yet: Validate says so
	}
	doubt := func(field, format string, args ...any) {
		out = append(out, Doubt{"ship_to." + field, fmt.Sprintf(format, args...)})
	}
	form, country := address.Of(a.Country), CountryName(a.Country)
	if a.City == "" && form.Requires(address.City) {
		doubt("city", "the town is missing: labels to %s carry one", country)
	}
	if a.Region == "" && form.Requires(address.Region) && !own(a.Country) {
		doubt("region", "the state or province is missing: labels to %s carry one", country)
	}
	switch {
	case a.Postcode == "" && form.Requires(address.Postcode):
		doubt("postcode", "the postcode is missing: labels to %s carry one", country)
	case a.Postcode != "" && !form.Fits(a.Postcode):
		doubt("postcode", "%.20q has not the form of a postcode of %s, such as %s", a.Postcode, country, form.Example())
	case a.Postcode != "":
		out = append(out, a.regionDoubts()...)
	}
	return append(out, a.militaryDoubts()...)
}

// letterDoubt looks whether the papers can print a text, which has a name; nil when they can.
func letterDoubt(field, name, text string) []Doubt {
	bad := letters.Named(text)
	if bad == "" {
		return nil
	}
	return []Doubt{{field, "the papers' type has no letters for " + bad + ", which the " + name + " has: no label or slip can be printed with them; write it in Latin letters"}}
}

// Doubts is what is doubtful about an order's address, when it has and needs one, and what of its own words no slip can be
// printed with.
func (o Order) Doubts() []Doubt {
	var out []Doubt
	if !o.InPerson && o.NoAddress() == "" {
		out = o.ShipTo.Doubts()
	}
	out = append(out, letterDoubt("ref", "reference", o.Ref)...)
	return append(out, letterDoubt("gift_message", "gift message", o.GiftMessage)...)
}

func (a Address) letterDoubts() []Doubt {
	var out []Doubt
	for _, f := range [][3]string{{"name", "name", a.Name}, {"line1", "street", a.Line1}, {"line2", "second line", a.Line2}, {"city", "town", a.City}, {"region", "region", a.Region}, {"postcode", "postcode", a.Postcode}} {
		out = append(out, letterDoubt("ship_to."+f[0], f[1], f[2])...)
	}
	return out
}

// own reports a territory that has a country code of its own and stands on labels as a state.
func own(country string) bool { return address.Home(country) != country }

// regionDoubts looks whether region and postcode belong together.
func (a Address) regionDoubts() []Doubt {
	country, region := address.Home(a.Country), a.Region
	if own(a.Country) {
		region = a.Country
	}
	if region == "" {
		return nil
	}
	if _, known := address.PartOf(country, region); !known {
		if country == "US" || country == "CA" || country == "AU" {
			return []Doubt{{"ship_to.region", fmt.Sprintf("%.40q is no state or province of %s", region, CountryName(country))}}
		}
		return nil
	}
	if address.Agree(country, region, a.Postcode) {
		return nil
	}
	var others []string
	for _, p := range address.PartsOf(country, a.Postcode) {
		others = append(others, p.Key)
	}
	if len(others) == 0 {
		return []Doubt{{"ship_to.postcode", fmt.Sprintf("no state or province of %s has postcodes that begin like %s", CountryName(country), a.Postcode)}}
	}
	slices.Sort(others)
	return []Doubt{{"ship_to.postcode", fmt.Sprintf("%s begins like a postcode of %s, and the address says %s", a.Postcode, strings.Join(others, " or "), region)}}
}

// militaryDoubts looks at addresses of the armed forces: APO, FPO or DPO stands for the town, and AA, AE or
// AP for the state. Source: USPS Publication 28, section 238, from memory.
func (a Address) militaryDoubts() []Doubt {
	if a.Country != "US" {
		return nil
	}
	post := slices.Contains([]string{"APO", "FPO", "DPO"}, strings.ToUpper(a.City))
	force := slices.Contains([]string{"AA", "AE", "AP"}, strings.ToUpper(a.Region))
	switch {
	case force && !post:
		return []Doubt{{"ship_to.city", fmt.Sprintf("%s is for the armed forces, whose addresses have APO, FPO or DPO for the town", a.Region)}}
	case post && !force:
		return []Doubt{{"ship_to.region", fmt.Sprintf("%s is for the armed forces, whose addresses have AA, AE or AP for the state", a.City)}}
	}
	return nil
}
