package disclosure

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"sort"
	"strings"
	"sync"

	"solander/calendar"
	"solander/money"
)

// Read says how far a source was read.
type Read string

// How far: the text itself in a copy, what others write about it, or nothing but memory.
const (
	ReadText      Read = "text"
	ReadSecondary Read = "secondary"
	ReadMemory    Read = "memory"
)

// Words says it for people.
func (r Read) Words() string {
	return map[Read]string{
		ReadText: "read in a copy of the text", ReadSecondary: "read in what others write about it", ReadMemory: "from memory: look it up before you rely on it",
	}[r]
}

// Class is what kind of words a fact asks for.
type Class string

// The classes. A fact in own words is the seller's promise; fixed words stand as they are; a notice stands beside the price.
const (
	OwnWords   Class = "own"
	FixedWords Class = "fixed"
	Notice     Class = "notice"
)

// Source is where a rule comes from.
type Source struct {
	Section string `json:"section"`
	Read    Read   `json:"read"`
}

// Price is from what price on a law holds, in whole minor units of its currency.
type Price struct {
	Source
	Minor  int64 `json:"minor"`
	Above  bool  `json:"above"`  // the amount itself is not covered yet
	Framed bool  `json:"framed"` // it is for prints that are sold in a frame
}

// Clause is a rule in our words.
type Clause struct {
	Source
	Text string `json:"text"`
}

// Item is a fact that is asked for.
type Item struct {
	Source
	Fact Fact `json:"fact"`
	// When is another fact: only where that is stated is this one asked for; "" = always.
	When Fact `json:"when,omitempty"`
}

// Fixed are words which stand in a certificate or a listing as they are.
type Fixed struct {
	Source
	Class Class  `json:"class"`
	Words string `json:"words"`
}

// Set is the rules of one state.
type Set struct {
	State    string       `json:"state"` // ISO 3166-2
	Name     string       `json:"name"`
	Cite     string       `json:"cite"`
	Looked   calendar.Day `json:"looked"` // when the notes were gathered
	Currency string       `json:"currency"`
	Prices   []Price      `json:"prices"` // none: from what price it holds was not found
	Works    Clause       `json:"works"`  // of which prints it speaks
	Facts    []Item       `json:"facts"`
	Fixed    []Fixed      `json:"fixed,omitempty"`
	Silence  *Clause      `json:"silence,omitempty"` // what it means to say nothing of a fact
	Listing  *Clause      `json:"listing,omitempty"` // sales by post and from afar
	Exempt   []Clause     `json:"exempt,omitempty"`
	Remedy   *Clause      `json:"remedy,omitempty"`
}

//go:embed rules
var files embed.FS

// Caution stands wherever the rules are shown.
const Caution = "This is no legal advice. The rules were gathered by hand, some from memory; which hold for you, local rules and an adviser say."

// Sets are the rules of all states, by name. They are read once.
var Sets = sync.OnceValue(func() []Set {
	all, err := load(files)
	if err != nil {
		panic(err) // they are part of the program: a test reads them
	}
	return all
})

func load(from fs.FS) ([]Set, error) {
	names, err := fs.Glob(from, "rules/*.json")
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("no rules: %w", err)
	}
	var out []Set
	for _, name := range names {
		raw, err := fs.ReadFile(from, name)
		if err != nil {
			return nil, err
		}
		var s Set
		d := json.NewDecoder(bytes.NewReader(raw))
		d.DisallowUnknownFields()
		if err := d.Decode(&s); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out = append(out, s)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Name < out[j].Name })
	return out, nil
}

// Find returns the rules of a state, by its code with or without the country, or by its name.
func Find(state string) (Set, bool) {
	state = strings.TrimPrefix(strings.ToUpper(strings.TrimSpace(state)), "US-")
	for _, s := range Sets() {
		if s.Code() == state || strings.ToUpper(s.Name) == state {
			return s, true
		}
	}
	return Set{}, false
}

// Code is the state without its country: "CA".
func (s Set) Code() string { return strings.TrimPrefix(s.State, "US-") }

// Scope says whether the rules hold at a price.
type Scope struct {
	Covered bool   `json:"covered"`
	Why     string `json:"why"`
	Sure    bool   `json:"sure"` // the price from which it holds was read, not remembered
}

// At says whether the rules hold at a price; framed: the print is sold in a frame and the price is that of both. In another currency
// nothing is known, and they are taken to hold.
func (s Set) At(price money.Amount, framed bool) Scope {
	if len(s.Prices) == 0 {
		return Scope{true, "from what price it holds was not found: it is taken to hold", false}
	}
	if price.Currency != s.Currency {
		return Scope{true, fmt.Sprintf("its price is in %s, yours in %s: it is taken to hold", s.Currency, price.Currency), false}
	}
	limit := s.Prices[0]
	for _, p := range s.Prices {
		if p.Framed == framed {
			limit = p
		}
	}
	covered := price.Minor >= limit.Minor
	if limit.Above {
		covered = price.Minor > limit.Minor
	}
	word := "from"
	if limit.Above {
		word = "above"
	}
	if limit.Framed {
		word = "framed, " + word
	}
	return Scope{covered, fmt.Sprintf("it holds %s %s (%s)", word, money.Of(limit.Minor, s.Currency), limit.Section), limit.Read != ReadMemory}
}
