package mail

import (
	"regexp"
	"strings"
	"unicode"

	"solander/address"
	"solander/order"
)

// mostBlock is how many lines an address has.
const mostBlock = 9

// priced is a line with money in it, which is none of an address.
var priced = regexp.MustCompile(`[$€£] ?\d|\d[.,]\d{2} ?(?:[€£]|[A-Z]{3}\b)|\b[A-Z]{3} ?\d+[.,]\d{2}\b`)

// courtesy is a line that greets or closes, and is none of an address. Common practice, no source.
var courtesy = regexp.MustCompile(`(?i)^(?:(?:hi|hello|dear|hallo|liebe|lieber|guten tag|bonjour|chère|cher|hola|querida|querido)(?: [\pL.-]+){0,3} ?[,!]|` +
	`(?:thanks|thank you|many thanks|best|best wishes|all the best|yours|regards|(?:kind|best|warm) regards|cheers|danke|vielen dank|merci|cordialement|bien à vous|gracias|saludos|un saludo|` +
	`(?:viele|liebe|herzliche|beste) grüße|mit freundlichen grüßen) ?[,.!]*)$`)

// address takes the address apart that follows a label, or else the last block that looks like one.
func (r *reader) address() {
	for _, field := range []string{"to", "buyer"} {
		for i := range r.lines {
			value := r.lines[i].value
			if r.lines[i].field != field {
				continue
			}
			at := i + 1
			if value != "" {
				at = i
			}
			for at < len(r.lines) && r.lines[at].text == "" {
				at++
			}
			if block := r.block(at, i, value); r.takeBlock(block) {
				r.lines[i].used = true
				return
			}
		}
	}
	for i := len(r.lines) - 1; i >= 0; i-- {
		if l := r.lines[i].text; l == "" || courtesy.MatchString(l) || i > 0 && !r.ends(r.lines[i-1]) {
			continue
		}
		if r.takeBlock(r.block(i, -1, "")) {
			return
		}
	}
}

// ends reports whether an address may begin below a line: below an empty one, one that was understood, a label, a greeting or the end of a sentence.
func (r *reader) ends(l line) bool {
	return l.text == "" || l.used || l.field != "" || courtesy.MatchString(l.text) || strings.ContainsAny(l.text[len(l.text)-1:], ".:!?,") && len(strings.Fields(l.text)) > 3
}

// part is a line of an address: its words, and where it stands.
type part struct {
	text string
	at   int
}

// block is the lines from one on until an empty one, a label, or a line that was understood; the line labelled itself gives its value.
func (r *reader) block(from, label0 int, value string) []part {
	var out []part
	reached := false // telephone and e-mail stand at the end of a block: what follows them is none of it
	for i := from; i < len(r.lines) && len(out) < mostBlock; i++ {
		text, f := r.lines[i].text, r.lines[i].field
		reach := f == "phone" || f == "email"
		if i == label0 {
			text = value
		} else if text == "" || f != "" && !reach || r.lines[i].used && f == "" || reached && !reach || priced.MatchString(text) {
			break
		}
		reached = reach
		for _, t := range pieces(text, from == i && i == label0) {
			out = append(out, part{t, i})
		}
	}
	return out
}

// pieces parts an address that stands on one line at its commas.
func pieces(text string, single bool) []string {
	if !single || strings.Count(text, ",") < 2 {
		return []string{text}
	}
	var out []string
	for _, p := range strings.Split(strings.TrimSuffix(text, "."), ",") {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// takeBlock takes a block when it is an address: it needs a name, a street and a town or postcode.
func (r *reader) takeBlock(all []part) (taken bool) {
	block := r.reach(all)
	above := ""
	if len(block) > 1 && strings.EqualFold(block[0].text, block[1].text) { // the buyer's name, and the same above the street
		above = block[0].text + joint
		defer func(at int, had bool) { r.lines[at].used = taken || had }(block[0].at, r.lines[block[0].at].used)
		block = block[1:]
	}
	country, code, all := r.countryOf(block)
	t, ok := townOf(all, code)
	if !ok || t.from < 2 {
		return false
	}
	name, street := all[0], all[1:t.from]
	if r.out.Value("buyer") == "" {
		r.put(Found{Field: "buyer", Value: name.text, Words: above + name.text})
	}
	r.put(Found{Field: "ship_to.name", Value: name.text, Words: above + name.text})
	r.put(Found{Field: "ship_to.line1", Value: street[0].text, Words: street[0].text, Doubt: noNumber(street)})
	r.put(r.second(street[1:]))
	r.put(Found{Field: "ship_to.city", Value: t.city, Words: t.words})
	r.put(Found{Field: "ship_to.region", Value: t.region, Words: t.words, Doubt: elsewhere(code, t)})
	r.put(Found{Field: "ship_to.postcode", Value: t.postcode, Words: t.words})
	r.put(country)
	for i, p := range block {
		r.lines[p.at].used = r.lines[p.at].used || i < t.to || i >= len(all) // what stands between the town and the country was not understood
	}
	return true
}

// reach takes telephone and e-mail out of a block.
func (r *reader) reach(all []part) []part {
	var out []part
	for _, p := range all {
		text := p.text
		if f, value := label(text); f == "phone" || f == "email" {
			text = value
		}
		switch m := phoneForm.FindStringSubmatch(text); {
		case m != nil && len(out) > 0:
			taken := r.put(Found{Field: "phone", Value: m[1], Words: p.text})
			r.lines[p.at].used = taken || r.lines[p.at].used
		case emailForm.MatchString(text):
			taken := r.put(Found{Field: "email", Value: emailForm.FindString(text), Words: p.text})
			r.lines[p.at].used = taken || r.lines[p.at].used
		default:
			out = append(out, p)
		}
	}
	return out
}

// countryOf takes the country from the last line of a block, or from the end of it; else it is the studio's own, which is told.
func (r *reader) countryOf(all []part) (found Found, code string, rest []part) {
	if i := len(all) - 1; i > 1 {
		text := strings.Trim(all[i].text, " .")
		if c, ok := order.CountryNamed(text); ok && r.isCountryLine(text, i) {
			return Found{Field: "ship_to.country", Value: c, Words: all[i].text}, c, all[:i]
		}
		before, last, ok := cutLast(text, ",")
		if c, named := order.CountryNamed(last); ok && named && len(last) > 2 {
			rest = append(append([]part{}, all[:i]...), part{before, all[i].at})
			return Found{Field: "ship_to.country", Value: c, Words: all[i].text}, c, rest
		}
	}
	own := r.known.Country
	return Found{Field: "ship_to.country", Value: own, Doubt: "the mail names no country: the studio's own, " + order.CountryName(own) + ", stands there"}, own, all
}

// isCountryLine reports whether a line that is the name of a country means one: a few letters may be a state as well, CA or DE.
func (r *reader) isCountryLine(text string, at int) bool {
	return len(text) > 3 || strings.EqualFold(text, "USA") || strings.EqualFold(text, "UK") || at > 2 && len(address.Parts(r.known.Country)) == 0
}

func cutLast(s, sep string) (before, after string, ok bool) {
	i := strings.LastIndex(s, sep)
	if i < 0 {
		return s, "", false
	}
	return strings.TrimSpace(s[:i]), strings.TrimSpace(s[i+len(sep):]), true
}

// town is the end of an address: the lines from one on, until another.
type town struct {
	from, to               int
	city, region, postcode string
	words                  string
}

// townOf finds the line with the postcode, as the country writes it, from the end, and what stands beside it. A country without
// postcodes has its town on the last line.
func townOf(all []part, country string) (town, bool) {
	f := address.Of(country)
	if f.Example() == "" {
		i := len(all) - 1
		if i < 2 {
			return town{}, false
		}
		city, region := regionOf(all[i].text, country)
		return town{from: i, to: i + 1, city: city, region: region, words: all[i].text}, true
	}
	for i := len(all) - 1; i > 1; i-- {
		code, rest := postcodeIn(all[i].text, f)
		if code == "" {
			continue
		}
		t := town{from: i, to: i + 1, postcode: code, words: all[i].text}
		rest = strings.Trim(rest, " ,-")
		if i+1 < len(all) { // a region or a town below the postcode
			below := all[i+1].text
			t.to++
			t.words += joint + below
			rest = strings.Trim(rest+", "+below, " ,")
		}
		t.city, t.region = regionOf(rest, country)
		if p, ok := address.PartOf(country, rest); ok && len(rest) <= 3 && i > 2 { // a state's letters and the postcode, on a line of their own
			t.city, t.region = "", p.Key
		}
		if t.city == "" && i > 2 {
			t.from--
			above := all[t.from].text
			t.words = above + joint + t.words
			city, region := regionOf(above, country)
			if t.city = city; t.region == "" {
				t.region = region
			}
			if p, ok := address.PartOf(country, above); ok && i > 3 && t.region == "" { // the line above is the region: the town stands on the one before
				t.from--
				t.city, t.region = all[t.from].text, p.Key
				t.words = all[t.from].text + joint + t.words
			}
		}
		return t, t.city != ""
	}
	return town{}, false
}

// postcodeIn finds the postcode of a line: the longest run of up to three words that has the country's form, the last one first.
func postcodeIn(text string, f address.Form) (code, rest string) {
	words := strings.Fields(strings.ReplaceAll(text, ",", " , "))
	for n := min(3, len(words)); n > 0; n-- {
		for at := len(words) - n; at >= 0; at-- {
			code = strings.ToUpper(strings.Join(words[at:at+n], " "))
			if f.Fits(code) {
				rest = strings.Join(append(append([]string{}, words[:at]...), words[at+n:]...), " ")
				return code, strings.ReplaceAll(rest, " ,", ",")
			}
		}
	}
	return "", text
}

// regionOf parts a state or province from the end of a line, when the country has one of that name.
func regionOf(text, country string) (city, region string) {
	words := strings.Fields(strings.ReplaceAll(text, ",", " , "))
	for n := min(3, len(words)-1); n > 0; n-- {
		at := len(words) - n
		if p, ok := address.PartOf(country, strings.Join(words[at:], " ")); ok {
			city = strings.ReplaceAll(strings.Join(words[:at], " "), " ,", ",")
			if city = strings.Trim(city, " ,"); city != "" {
				return city, p.Key
			}
		}
	}
	city, region, ok := cutLast(text, ",")
	if ok && region != "" && len(address.Parts(country)) == 0 {
		return city, region
	}
	return strings.Trim(text, " ,"), ""
}

func elsewhere(country string, t town) string {
	if t.region == "" || t.postcode == "" || address.Agree(country, t.region, t.postcode) {
		return ""
	}
	return "the postcode " + t.postcode + " does not lie in " + t.region
}

func noNumber(street []part) string {
	for _, p := range street {
		if strings.ContainsFunc(p.text, unicode.IsDigit) {
			return ""
		}
	}
	return "the street has no house number"
}

// second is the second line of a street; further lines are put on it, and told.
func (r *reader) second(more []part) Found {
	var all []string
	for _, p := range more {
		all = append(all, p.text)
	}
	f := Found{Field: "ship_to.line2", Value: strings.Join(all, ", "), Words: strings.Join(all, joint)}
	if len(all) > 1 {
		f.Doubt = "the address has more lines than a label: they stand on one"
	}
	return f
}
