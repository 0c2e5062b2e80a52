package order

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"solander/internal/fold"
)

// BuyerRule says what becomes of an order whose buyer may be in the book already.
type BuyerRule string

// The rules. The first is that of the studio's own desk, and of a feed that says nothing else.
const (
	TakeSame    BuyerRule = "take"    // who is the same person is taken as her; who may be is proposed
	ProposeSame BuyerRule = "propose" // nobody is taken; who is or may be the same is proposed
	AlwaysNew   BuyerRule = "new"     // a new buyer each time, never compared with anybody
	TakeByName  BuyerRule = "name"    // of files: as TakeSame, and a name alone is enough, for sales books hold little else
)

// BuyerRules returns the rules that a feed can have.
func BuyerRules() []BuyerRule { return []BuyerRule{TakeSame, ProposeSame, AlwaysNew} }

// Likeness is how alike two buyers are, by what is written of them.
type Likeness int

// The degrees, rising.
const (
	Stranger Likeness = iota // nothing says that they are one person
	Namesake                 // the name alone, and nothing speaks against it
	Perhaps                  // it is worth asking
	Same                     // taken as one person
)

// The stable names of why two buyers are alike: docs/guide.md lists them.
const (
	ByEmail       = "buyer.email"         // the same e-mail address and the same name; first names may be initials
	ByAddress     = "buyer.address"       // the same name and address, and not two e-mail addresses
	ByMailAlone   = "buyer.email-alone"   // the same e-mail address, another name
	ByOtherMail   = "buyer.other-email"   // the same name and address, two e-mail addresses
	ByNameAndLess = "buyer.name-and-less" // the same name, and of one of them nothing else is known
	ByName        = "buyer.name"          // the same name, and neither address nor e-mail to compare
)

// Party is a buyer as she is written somewhere, with the addresses that are known of her.
type Party struct {
	Person    int64 // the buyer of the book that she is; several writings may be one person. 0 = who comes in
	Name      string
	Email     string
	Addresses []Address
	places    []string // what Ready found
}

// Ready is the party with what its addresses are compared by, for one that is compared with many.
func (p Party) Ready() Party {
	p.places = p.placeKeys()
	return p
}

func (p Party) placeKeys() []string {
	if len(p.places) == len(p.Addresses) {
		return p.places
	}
	out := make([]string, len(p.Addresses))
	for i, a := range p.Addresses {
		out[i] = PlaceKey(a)
	}
	return out
}

func (p Party) bare() bool { return p.Email == "" && len(p.Addresses) == 0 }

// EmailKey is an e-mail address as addresses are compared: without regard to capitals and to how Unicode writes a letter.
// Nothing else is taken off: what a provider does with dots or a plus sign is its own affair.
func EmailKey(email string) string {
	return norm.NFC.String(strings.ToLower(strings.Join(strings.Fields(email), "")))
}

// NameKey is a name as names are compared: without case and accents, each run of other signs one space.
func NameKey(name string) string { return words(name) }

var apostrophes = strings.NewReplacer("'", "", "’", "")

// words folds a text to its letters and digits, parted by single spaces; apostrophes join.
func words(text string) string {
	if text == "" {
		return ""
	}
	text = apostrophes.Replace(text)
	return strings.Join(strings.FieldsFunc(fold.Text(text), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsNumber(r)
	}), " ")
}

// PlaceKey is an address as addresses of buyers are compared: country, postcode and first line; the town where the country
// writes no postcode. Of a ZIP+4 the ZIP counts (USPS Publication 28, from memory). "" when there is no first line, or neither
// postcode nor town. Whose name stands on it does not matter: a gift goes to somebody else.
func PlaceKey(a Address) string {
	a = a.Tidy()
	post := strings.ReplaceAll(words(a.Postcode), " ", "")
	if a.Country == "US" && len(post) > 5 {
		post = post[:5]
	}
	if post == "" {
		post = words(a.City)
	}
	street := words(a.Line1)
	if street == "" || post == "" {
		return ""
	}
	return a.Country + "/" + post + "/" + street
}

// Alike compares two buyers and names the rule that says so; "" for strangers. It is symmetric.
func Alike(a, b Party) (Likeness, string) {
	mailA, mailB := EmailKey(a.Email), EmailKey(b.Email)
	mail, mails := mailA != "" && mailA == mailB, mailA != "" && mailB != "" && mailA != mailB
	name := sameName(a, b, mail)
	switch {
	case mail && name:
		return Same, ByEmail
	case mail:
		return Perhaps, ByMailAlone
	case !name:
		return Stranger, ""
	case samePlace(a, b) && !mails:
		return Same, ByAddress
	case samePlace(a, b):
		return Perhaps, ByOtherMail
	case mails:
		return Stranger, ""
	case a.bare() || b.bare():
		return Perhaps, ByNameAndLess
	}
	return Namesake, ByName
}

// sameName compares the names. With the same e-mail address a name may be written with initials, or be the address itself.
func sameName(a, b Party, mail bool) bool {
	x, y := NameKey(a.Name), NameKey(b.Name)
	if mail && (EmailKey(a.Name) == EmailKey(a.Email) || EmailKey(b.Name) == EmailKey(b.Email)) {
		return true
	}
	return x != "" && x == y || mail && initialled(strings.Fields(x), strings.Fields(y))
}

// initialled reports whether two names are the same word for word, where all words but the last may be initials.
func initialled(a, b []string) bool {
	if len(a) != len(b) || len(a) < 2 || a[len(a)-1] != b[len(b)-1] {
		return false
	}
	for i := range a {
		short, long := a[i], b[i]
		if len(short) > len(long) {
			short, long = long, short
		}
		if short != long && (utf8.RuneCountInString(short) != 1 || !strings.HasPrefix(long, short)) {
			return false
		}
	}
	return true
}

func samePlace(a, b Party) bool {
	if len(a.Addresses) == 0 || len(b.Addresses) == 0 {
		return false
	}
	hers := b.placeKeys()
	return slices.ContainsFunc(a.placeKeys(), func(key string) bool { return key != "" && slices.Contains(hers, key) })
}

// Decision says whose an order is.
type Decision struct {
	Take    int64   // the person it is taken as; 0 = a new buyer
	Rule    string  // why she is taken; "" for a new buyer
	Maybe   []int64 // others who may be the same person, the likeliest first: proposed, never taken
	Several []int64 // persons who fit by their name alone, when they are several: by TakeByName one of them has to be chosen
}

// fit is how well a person of the book fits.
type fit struct {
	person   int64
	likeness Likeness
	rule     string
	rank     int
}

var ranks = map[string]int{ByEmail: 6, ByAddress: 5, ByOtherMail: 4, ByMailAlone: 3, ByNameAndLess: 2, ByName: 1}

// Stronger is the one of two rules that says more of why two buyers are alike; "" is none.
func Stronger(a, b string) string {
	if ranks[a] >= ranks[b] {
		return a
	}
	return b
}

// Decide says whose an order is, of what the book holds: everybody with its e-mail address or name, each writing of a person a
// party of its own. apart tells who was said to be different people. Of several who fit equally well the one who has been in the
// book longest is taken, unless they were told apart, or fit by their name alone: then nobody is, for either would be a guess.
func Decide(rule BuyerRule, in Party, book []Party, apart func(a, b int64) bool) Decision {
	var d Decision
	if rule == AlwaysNew {
		return d
	}
	all := fits(in, book)
	var best []int64
	top := 0
	for _, f := range all {
		if takes(rule, f) && (top == 0 || f.rank == top) {
			best, top = append(best, f.person), f.rank
			d.Rule = f.rule
		}
	}
	switch {
	case len(best) == 0:
	case len(best) > 1 && top <= ranks[ByNameAndLess]:
		d.Several = best
	case !anyApart(best, apart):
		d.Take = best[0]
	}
	if d.Take == 0 {
		d.Rule = ""
	}
	for _, f := range all {
		if f.person != d.Take && f.likeness >= Perhaps && (d.Take == 0 || !apart(f.person, d.Take)) {
			d.Maybe = append(d.Maybe, f.person)
		}
	}
	return d
}

// takes reports whether a rule takes an order as somebody's who fits so.
func takes(rule BuyerRule, f fit) bool {
	switch rule {
	case TakeSame:
		return f.likeness == Same
	case TakeByName:
		return f.likeness == Same || f.rule == ByNameAndLess || f.rule == ByName
	}
	return false
}

// fits lists the persons who are no strangers, the best first; of the writings of one person the best counts.
func fits(in Party, book []Party) []fit {
	at := map[int64]int{}
	var out []fit
	for _, p := range book {
		f := fit{person: p.Person}
		if f.likeness, f.rule = Alike(in, p); f.likeness == Stranger {
			continue
		}
		f.rank = ranks[f.rule]
		if f.rule == ByEmail {
			f.rank += btoi(samePlace(in, p)) + 2*btoi(NameKey(in.Name) == NameKey(p.Name))
		}
		i, seen := at[p.Person]
		switch {
		case !seen:
			at[p.Person] = len(out)
			out = append(out, f)
		case f.rank > out[i].rank:
			out[i] = f
		}
	}
	slices.SortFunc(out, func(a, b fit) int { return cmp.Or(cmp.Compare(b.rank, a.rank), cmp.Compare(a.person, b.person)) })
	return out
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func anyApart(ids []int64, apart func(a, b int64) bool) bool {
	for i, a := range ids {
		for _, b := range ids[:i] {
			if apart(a, b) {
				return true
			}
		}
	}
	return false
}
