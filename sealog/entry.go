package sealog

import (
	"strconv"

	"solander/edition"
)

// Erased is the note of an entry that was blanked with its buyer.
const Erased = "(erased)"

// EntrySalts is how many salts the leaf of an entry takes: one, and one more for its note, so that the note can be forgotten alone.
func EntrySalts(e edition.Entry) int {
	if e.Note == "" {
		return 1
	}
	return 2
}

// OfEntry is the leaf of an entry of the register. What ties it to an order and to people is committed to, not told.
func OfEntry(e edition.Entry, salts []string) (l Leaf) {
	l.SetEntry(&e, salts)
	return l
}

// SetEntry makes l the leaf of an entry, in the room that its facts had before.
func (l *Leaf) SetEntry(e *edition.Entry, salts []string) {
	facts := l.Facts[:0]
	if facts == nil {
		facts = make([]Fact, 0, 11)
	}
	facts = append(facts,
		Int("edition", e.Edition),
		Fact{"number", string(e.Number.Kind) + " " + strconv.Itoa(e.Number.N)},
		Int("turn", e.Turn),
		Fact{"step", string(e.Step)},
		Fact{"state", string(e.After.State)},
		Bit("signed", e.After.Signed), Int("struck", e.After.Struck),
		Fact{"day", e.Day.String()},
		Int("undoes", e.Undoes),
	)
	salt := func(i int) string {
		if i < len(salts) {
			return salts[i]
		}
		return ""
	}
	facts = append(facts, Fact{"kept", Commit(salt(0), Int("line", e.After.Line), Fact{"order", e.Order}, Int("at", e.At.UnixMicro()), Fact{"who", e.Who})})
	if e.Note != "" {
		facts = append(facts, Fact{"note", Commit(salt(1), Fact{"note", e.Note})})
	}
	*l = Leaf{Kind: Entry, Of: e.Seq, Salts: salts, Facts: facts}
}

// OfEdition is the leaf of an edition as it was declared.
func OfEdition(e edition.Edition, year int) Leaf {
	return Leaf{Kind: Declared, Of: e.ID, Facts: []Fact{
		Int("work", e.Work),
		{"title", e.Title},
		Int("year", year), Int("width", int64(e.Width)), Int("height", int64(e.Height)),
		{"paper", e.Paper},
		{"grade", e.Grade},
		{"technique", e.Technique},
		Int("limit", e.Limit),
		Int("ap", e.Proofs.AP), Int("pp", e.Proofs.PP), Int("hc", e.Proofs.HC), Int("bat", e.Proofs.BAT),
		{"declared", e.Declared.String()},
	}}
}

// OfClosing is the leaf of the end of an edition.
func OfClosing(c edition.Closing) Leaf {
	return Leaf{Kind: Closed, Of: c.Edition, Facts: []Fact{{"fact", string(c.Fact)}, {"files", c.Files}, Int("withdrawn", c.Withdrawn), {"day", c.Day.String()}}}
}

// RestoredWords begin what the bench's journal says of an older copy that was put in place; why follows.
const RestoredWords = "an older copy was put in place: "

// TakenOnWords begin what it says of rows that were taken on as they stood; why follows.
const TakenOnWords = "the rows beside the register were taken on as they stood: "

// SaidWhy are the words with which the bench's journal begins to say why a leaf of a kind was made, of the kinds that commit to a reason.
func SaidWhy(k Kind) (words string, commits bool) {
	switch k {
	case Restored:
		return RestoredWords, true
	case TakenOn:
		return TakenOnWords, true
	}
	return "", false
}

// LaterWords are the facts of an edition that may be called otherwise later on: the leaf says what they were.
func LaterWords() []string { return []string{"title", "year"} }
