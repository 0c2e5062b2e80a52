package certify

import (
	"context"

	"solander/edition"
	"solander/fault"
	paper "solander/papers/certificate"
	"solander/picture"
	"solander/studio"
)

// OpenSays is what a statement of an open edition promises, and what not.
const OpenSays = "This edition is open: it has no limit and no numbers, and more of it may be made at any time. What stands here is true of every print of it. " +
	"It says nothing of how many there are, and nothing of one print alone."

// noneOfOpen refuses certificates of an edition without numbers: nothing tells one of its prints from the next, so that one certificate could be shown with
// any number of them.
func noneOfOpen(e edition.Edition) error {
	if !e.Open() {
		return nil
	}
	return fault.New(fault.Refused, "an open edition has no numbers: nothing tells one of its prints from another, so none of them is certified alone").At("%s", e.Title).In("numbers").
		ToMend("print the statement of authenticity of the edition and sign it: solander certificate statement")
}

// Statement is the paper by which the artist says what is true of an open edition. Faults: Missing; Refused for an edition with numbers, whose prints have
// certificates.
func Statement(ctx context.Context, s *studio.Studio, ed int64) (paper.Statement, error) {
	return studio.Got(ctx, s, read, func(t *Certify) (paper.Statement, error) { return t.statement(ed) })
}

func (t *Certify) statement(ed int64) (paper.Statement, error) {
	v, err := t.Facts(ed)
	if err != nil {
		return paper.Statement{}, err
	}
	e := v.Edition
	if !e.Open() {
		return paper.Statement{}, fault.New(fault.Refused, "its prints have numbers, and a certificate each").At("%s", e.Title).ToMend("make a certificate: solander certificate make")
	}
	w, err := t.Work(e.Work)
	if err != nil {
		return paper.Statement{}, err
	}
	about, facts := rowsOf(t.factsText(v))
	out := paper.Statement{Head: t.head(), Title: e.Title, Artist: t.Set.Artist, About: about, Facts: facts, Says: OpenSays, Place: t.Set.Address.City}
	if w.Year > 0 {
		out.Year = yearText(w.Year)
	}
	out.Words, out.Crest, out.Truth = t.ofHerOwn()
	out.Picture, err = t.picture(e.Work, picture.Middle)
	return out, err
}
