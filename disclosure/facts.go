package disclosure

import (
	"fmt"
	"strings"

	"solander/edition"
)

// Ask is a fact that is said by hand.
type Ask struct {
	Fact  Fact
	Label string
	Hint  string
	Group string
}

// The groups in which facts are asked.
const (
	groupHand   = "The hand"
	groupImage  = "The image and its master"
	groupPrints = "The prints"
)

// asked are the facts that are said by hand, in the order in which they are asked.
var asked = []Ask{
	{Artist, "Name of the artist", "empty: as the studio's settings say", groupHand},
	{Signature, "Signed", "by whom, with what and where: by the artist, in pencil, lower right", groupHand},
	{NameSource, "A name on it that is no signature", "on the plate, stamped, stamped by the estate", groupHand},
	{ArtistsPart, "The artist's part in the making", "made the master; approved the first proof", groupHand},
	{Workshop, "Printed by", "workshop or person, and place", groupHand},
	{Year, "Year in which it was printed", "or about which", groupPrints},
	{Medium, "Technique", "empty: as declared; for a photograph, its material too", groupPrints},
	{Image, "Size of the image", "as against the sheet: 10 x 14 in", groupPrints},
	{MaxUnsigned, "Further prints without number or signature", "how many at most; does not apply, when there are none", groupPrints},
	{PriorEditions, "Earlier editions from the same master", "how many, and their sizes", groupPrints},
	{OtherEditions, "Other editions of the image", "another size, colour or numbering: which, and how many", groupPrints},
	{Book, "Out of a book or a magazine", "which", groupPrints},
	{Reproduction, "It shows a work of another medium", "photographed or scanned from: oil on canvas", groupImage},
	{Approval, "Approved in writing by the artist", "when it shows another work and is not signed", groupImage},
	{MasterYear, "Year of the plate, negative or file", "when it is another one", groupImage},
	{ArtistDead, "The artist was dead when the master was made", "", groupImage},
	{Posthumous, "Printed after the artist's death", "from a master of the artist's lifetime", groupImage},
	{Master, "The plate or stone after the run", "struck through, destroyed, altered, kept", groupImage},
	{Files, "The files", "kept, locked, deleted", groupImage},
}

// Asked returns the facts that are said by hand.
func Asked() []Ask { return asked }

// AskOf returns how a fact is asked; false when it is not said by hand.
func AskOf(f Fact) (Ask, bool) {
	for _, a := range asked {
		if a.Fact == f {
			return a, true
		}
	}
	return Ask{}, false
}

func askedNames() []string {
	var out []string
	for _, a := range asked {
		out = append(out, string(a.Fact))
	}
	return out
}

// settled are the facts that the declaration of an edition says.
var settled = map[Fact]string{
	Limited: "Limited edition", MaxSigned: "Signed and numbered at most", MaxProofs: "Proofs beside them at most",
	HorsCommerce: "Hors commerce", Total: "In all",
}

// Label names a fact.
func (f Fact) Label() string {
	if a, ok := AskOf(f); ok {
		return a.Label
	}
	return settled[f]
}

// Told is how one fact of an edition stands.
type Told struct {
	Said     Said   `json:"said"`
	Words    string `json:"words,omitempty"`
	Declared bool   `json:"declared"` // the declaration, the work or the settings say it
}

// Text is what is told, as it is printed.
func (t Told) Text() string { return Saying{Said: t.Said, Words: t.Words}.Text() }

// Facts are what is told of an edition.
type Facts map[Fact]Told

// Of puts together what is told of an edition: what was said, and what its declaration settles. What was said of artist and technique
// goes before what settings and declaration know.
func Of(e edition.Edition, artist string, sayings []Saying) Facts {
	out := Facts{}
	declare := func(f Fact, words string) {
		if words != "" {
			out[f] = Told{Stated, words, true}
		}
	}
	declare(Artist, artist)
	declare(Medium, technique(e))
	for f, s := range Latest(sayings) {
		if s.Said != Missing {
			out[f] = Told{Said: s.Said, Words: s.Words}
		}
	}
	if e.Open() {
		declare(Limited, "an open edition, without a limit")
		for _, f := range []Fact{MaxSigned, MaxProofs, HorsCommerce, Total} {
			out[f] = Told{Said: None, Declared: true}
		}
		return out
	}
	declare(Limited, "limited")
	declare(MaxSigned, fmt.Sprint(e.Limit))
	declare(MaxProofs, proofs(e))
	declare(HorsCommerce, fmt.Sprint(e.Proofs.HC))
	declare(Total, total(e, out[MaxUnsigned]))
	return out
}

func technique(e edition.Edition) string {
	if e.Technique == "" {
		return ""
	}
	return e.Technique + " on " + e.Paper
}

func proofs(e edition.Edition) string {
	var parts []string
	for _, k := range edition.Kinds()[1:] {
		if n := e.Count(k); n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, k))
		}
	}
	if len(parts) == 0 {
		return "none"
	}
	return fmt.Sprintf("%d (%s)", e.Total()-e.Limit, strings.Join(parts, ", "))
}

// total is the size of the whole edition, with what was said of further prints: a plain number is added, other words are said beside it.
func total(e edition.Edition, more Told) string {
	var n int
	switch _, err := fmt.Sscanf(more.Words, "%d", &n); {
	case more.Said == Unknown:
		return fmt.Sprintf("%d numbered and proofs; of further prints it is not known", e.Total())
	case more.Said != Stated:
		return fmt.Sprint(e.Total())
	case err == nil && fmt.Sprint(n) == more.Words && n >= 0 && n <= edition.MaxLimit:
		return fmt.Sprint(e.Total() + n)
	}
	return fmt.Sprintf("%d numbered and proofs, and besides: %s", e.Total(), more.Words)
}
