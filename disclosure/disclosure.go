// Package disclosure knows which facts about a print a buyer is told in writing, by the state in which the buyer lives, and looks whether
// they are said: of an edition, in a certificate, in the text of a listing.
//
// The rules are data (rules, one file a state): each says where it comes from, when that was looked at, and how far it was read. What is
// from memory says so, and is never given out as a statute's text. Nothing here is legal advice: local rules decide, and an adviser
// knows them. The room knows no studio and no clock; prices are exact, in the currency of the rule.
package disclosure

import (
	"strings"
	"time"

	"solander/calendar"
	"solander/fault"
	"solander/order"
)

// Fact is something that is said about an edition.
type Fact string

// The facts. Those that a declaration settles are never said by hand: see Of.
const (
	Artist        Fact = "artist"
	Signature     Fact = "signature"
	NameSource    Fact = "name_source"
	Medium        Fact = "medium"
	Reproduction  Fact = "reproduction"
	Approval      Fact = "approval"
	ArtistDead    Fact = "artist_dead"
	Posthumous    Fact = "posthumous"
	PriorEditions Fact = "prior_editions"
	OtherEditions Fact = "other_editions"
	Year          Fact = "year"
	MasterYear    Fact = "master_year"
	Limited       Fact = "limited"
	MaxSigned     Fact = "max_signed"
	MaxUnsigned   Fact = "max_unsigned"
	MaxProofs     Fact = "max_proofs"
	HorsCommerce  Fact = "hors_commerce"
	Total         Fact = "total"
	Master        Fact = "master"
	Workshop      Fact = "workshop"
	ArtistsPart   Fact = "artists_part"
	Book          Fact = "book"
	Image         Fact = "image"
	Files         Fact = "files"
)

// Said is how a fact stands.
type Said string

// A fact is stated, does not apply, or is not known; or nothing was said of it.
const (
	Missing Said = ""
	Stated  Said = "stated"
	None    Said = "none"
	Unknown Said = "unknown"
)

// The words that stand for the last two, as they are typed and printed.
const (
	NoneWords    = "does not apply"
	UnknownWords = "not known"
)

// Saying is that a fact of an edition was said. Sayings are only ever added: the latest of a fact holds.
type Saying struct {
	ID      int64        `json:"id"`
	Edition int64        `json:"edition"`
	Fact    Fact         `json:"fact"`
	Said    Said         `json:"said"`
	Words   string       `json:"words,omitempty"` // of what is stated
	Day     calendar.Day `json:"day"`
	At      time.Time    `json:"at"`
	Who     string       `json:"who"`
}

// Store keeps what was said.
type Store interface {
	// Sayings returns what was said of an edition, oldest first.
	Sayings(edition int64) ([]Saying, error)
	// AddSaying adds one. Faults: Missing for no such edition.
	AddSaying(Saying) (int64, error)
}

// mostWords bounds what is said of one fact.
const mostWords = 400

// Say reads what was typed of a fact: "not known", "does not apply", or what is stated. Nothing typed takes back what was said.
// Faults: Invalid in the fact's name.
func Say(f Fact, typed string) (Saying, error) {
	typed = strings.TrimSpace(typed)
	s := Saying{Fact: f, Said: Stated, Words: typed}
	if _, asked := AskOf(f); !asked {
		return s, fault.Invalidf(string(f), "there is no such fact to say").ToMend("use one of: %s", strings.Join(askedNames(), ", "))
	}
	switch strings.ToLower(strings.TrimSuffix(typed, ".")) {
	case "":
		s.Said, s.Words = Missing, ""
	case NoneWords, "none":
		s.Said, s.Words = None, ""
	case UnknownWords, "unknown":
		s.Said, s.Words = Unknown, ""
	}
	return s, order.Text(string(f), s.Words, mostWords, false)
}

// Latest is what holds of each fact.
func Latest(all []Saying) map[Fact]Saying {
	out := map[Fact]Saying{}
	for _, s := range all {
		out[s.Fact] = s
	}
	return out
}

// Text is a saying as it is typed and printed.
func (s Saying) Text() string {
	switch s.Said {
	case None:
		return NoneWords
	case Unknown:
		return UnknownWords
	}
	return s.Words
}
