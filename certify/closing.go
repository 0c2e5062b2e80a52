package certify

import (
	"context"
	"fmt"

	"solander/edition"
	"solander/fault"
	"solander/papers/certificate"
	"solander/picture"
	"solander/studio"
)

// endWords is what the two facts mean.
var endWords = map[edition.EndFact]string{
	edition.Closed:    "nothing more of it is made or sold.",
	edition.Cancelled: "its plate or its files can print no more.",
}

// Declaration is the paper that says how an edition ended. Faults: Missing; Refused when nothing was declared of its end.
func Declaration(ctx context.Context, s *studio.Studio, ed int64) (certificate.Declaration, error) {
	return studio.Got(ctx, s, read, func(t *Certify) (certificate.Declaration, error) { return t.declaration(ed) })
}

func (t *Certify) declaration(ed int64) (certificate.Declaration, error) {
	e, err := t.EditionOf(ed)
	if err != nil {
		return certificate.Declaration{}, err
	}
	all, err := t.Closings(ed)
	if err != nil {
		return certificate.Declaration{}, err
	}
	if len(all) == 0 {
		return certificate.Declaration{}, fault.New(fault.Refused, "it was neither closed nor cancelled").At("%s", e.Name(t.Set.Units)).ToMend("close it first")
	}
	d := certificate.Declaration{Head: t.head(), Title: e.Title, Artist: t.Set.Artist, Name: e.Name(t.Set.Units), Place: t.Set.Address.City, About: t.about(e)}
	if d.Picture, err = t.picture(e.Work, picture.Middle); err != nil {
		return d, err
	}
	for _, c := range all {
		d.Ends = append(d.Ends, certificate.End{Word: string(c.Fact), On: c.Day.Long(), Says: endWords[c.Fact], Files: c.Files, Note: c.Note})
	}
	d.Counts, err = t.counts(e)
	return d, err
}

// head is whose paper it is.
func (t *Certify) head() certificate.Head {
	a := t.Set.Address
	return certificate.Head{Studio: t.Set.Studio, Under: a.City, Day: t.Today, Units: t.Set.Units}
}

// about says what the edition is.
func (t *Certify) about(e edition.Edition) []certificate.Row {
	return []certificate.Row{
		{Label: "Technique", Text: e.Technique},
		{Label: "Paper", Text: e.Grammage.Beside(e.Paper)},
		{Label: "Sheet", Text: e.Size(t.Set.Units)},
		{Label: "Edition", Text: EditionWords(e)},
		{Label: "Declared", Text: e.Declared.Long()},
	}
}

// EditionWords says how many there are: "250 numbered, and beside them 5 AP, 1 BAT".
func EditionWords(e edition.Edition) string {
	if e.Open() {
		return "an open edition, without a limit and without numbers"
	}
	words, more := fmt.Sprintf("%d numbered", e.Limit), ""
	for _, k := range edition.Kinds()[1:] {
		if n := e.Count(k); n > 0 {
			if more != "" {
				more += ", "
			}
			more += fmt.Sprintf("%d %s", n, k)
		}
	}
	if more != "" {
		words += ", and beside them " + more
	}
	return words
}

// counts says what became of the numbers.
func (t *Certify) counts(e edition.Edition) ([]certificate.Row, error) {
	if e.Open() {
		return nil, nil
	}
	lots, err := t.NumberLots(e.ID)
	if err != nil {
		return nil, err
	}
	withdrawn, err := t.NumbersIn(studio.NumberQuery{Edition: e.ID, Kind: edition.Numbered, State: edition.Withdrawn})
	if err != nil {
		return nil, err
	}
	n := lots[edition.Numbered]
	out := []certificate.Row{{Label: "With their buyers", Text: fmt.Sprint(n[edition.Sold])}, {Label: "Withdrawn", Text: fmt.Sprint(len(withdrawn))}}
	if rest := n[edition.OutOfSale] - len(withdrawn); rest > 0 {
		out = append(out, certificate.Row{Label: "Kept, spoilt or returned", Text: fmt.Sprint(rest)})
	}
	if n[edition.Unsold] > 0 {
		out = append(out, certificate.Row{Label: "Unsold", Text: fmt.Sprint(n[edition.Unsold])})
	}
	return append(out, certificate.Row{Label: "Numbers in all", Text: fmt.Sprint(e.Limit)}), nil
}

// picture is the picture of a work at a size; none when the work has none.
func (t *Certify) picture(work int64, size picture.Size) ([]byte, error) {
	found, err := t.PicturesOf([]int64{work})
	if err != nil || len(found) == 0 {
		return nil, err
	}
	return t.PictureBody(work, size)
}
