package certify

import (
	"context"
	"strings"

	"solander/certificate"
	"solander/edition"
	"solander/fault"
	paper "solander/papers/certificate"
	"solander/picture"
	"solander/sealog"
	"solander/studio"
)

// Truth are the words by which a certificate says that it is true. Source: California Civil Code s. 1740, read in a secondary source.
const Truth = "This is to certify that all information and the statements contained herein are true and correct."

// howToCheck stands beside the large code.
const howToCheck = "Open the page “Check a certificate” that the studio gives out, from its record or as a file; it needs no server. Scan either code, or paste its text. " +
	"The small code carries the statement and its signature; this one proves besides that it stands in the register's log."

// Proven is a certificate with its proof.
type Proven struct {
	certificate.Kept
	Signed certificate.Signed
	Proof  certificate.Proof
	End    *certificate.End // nil = it was not ended
}

// Large is the large code.
func (p Proven) Large() string { return p.Signed.Large(p.Proof) }

// File is the certificate as a file.
func (p Proven) File() string { return p.Signed.File(p.Facts, p.Proof) }

// Read reads a certificate with its proof, as it can be handed out. Faults: Missing.
func Read(ctx context.Context, s *studio.Studio, serial int64) (Proven, error) {
	return studio.Got(ctx, s, read, func(t *Certify) (Proven, error) {
		c, err := t.Certificate(serial)
		if err != nil {
			return Proven{}, err
		}
		return t.proven(c)
	})
}

// proven proves that a certificate stands in the log, by the first checkpoint that was signed after it.
func (t *Certify) proven(c certificate.Kept) (Proven, error) {
	out := Proven{Kept: c}
	var err error
	if out.Signed, err = c.Read(); err != nil {
		return out, damaged(c, err)
	}
	leaves, err := t.LeavesOf(certificate.LeafMade, c.ID)
	if err != nil {
		return out, err
	}
	if len(leaves) != 1 || leaves[0].Body != out.Signed.Leaf().Text() {
		return out, damaged(c, nil)
	}
	leaf := leaves[0]
	signed, err := t.signedAfter(leaf, c.Key)
	if err != nil {
		return out, err
	}
	path, err := t.Inclusion(leaf.Log, leaf.Index, signed.Size)
	if err != nil {
		return out, err
	}
	if out.Proof, err = certificate.ProofOf(leaf.Index, path, signed.Body, c.Key); err != nil {
		return out, damaged(c, err)
	}
	ends, err := t.CertificateEnds()
	if err != nil {
		return out, err
	}
	if e, ended := ends[c.ID]; ended {
		out.End = &e
	}
	return out, nil
}

func damaged(c certificate.Kept, why error) error {
	return fault.New(fault.Refused, "what is kept of certificate %d is not what the log tells", c.ID).ToMend("run solander check, and look at a backup").Because(why)
}

// signedAfter is the first checkpoint that holds a leaf and was signed by a key.
func (t *Certify) signedAfter(leaf sealog.KeptLeaf, key string) (sealog.Signed, error) {
	all, err := t.Checkpoints(leaf.Log)
	if err != nil {
		return sealog.Signed{}, err
	}
	v, err := sealog.NewVerifier(key)
	if err != nil {
		return sealog.Signed{}, err
	}
	for _, c := range all {
		if c.Size <= leaf.Index {
			continue
		}
		if _, _, err := sealog.Open([]byte(c.Body), v); err == nil {
			return c, nil
		}
	}
	return sealog.Signed{}, fault.New(fault.Refused, "no checkpoint was signed after it").ToMend("sign one: solander register checkpoint")
}

// Papers are certificates as they are drawn. Faults: Invalid, Missing.
func Papers(ctx context.Context, s *studio.Studio, serials []int64) ([]paper.Certificate, error) {
	if len(serials) == 0 || len(serials) > mostAtOnce {
		return nil, fault.Invalidf("certificates", "%d certificates cannot be printed at once", len(serials)).ToMend("choose 1 to %d", mostAtOnce)
	}
	return studio.Got(ctx, s, read, func(t *Certify) ([]paper.Certificate, error) {
		pictures := map[int64][]byte{}
		var out []paper.Certificate
		for _, serial := range serials {
			c, err := t.Certificate(serial)
			if err != nil {
				return nil, err
			}
			p, err := t.proven(c)
			if err != nil {
				return nil, err
			}
			one, err := t.paper(p, pictures)
			if err != nil {
				return nil, err
			}
			out = append(out, one)
		}
		return out, nil
	})
}

func (t *Certify) paper(p Proven, pictures map[int64][]byte) (paper.Certificate, error) {
	e, err := t.EditionOf(p.Edition)
	if err != nil {
		return paper.Certificate{}, err
	}
	if _, read := pictures[e.Work]; !read {
		if pictures[e.Work], err = t.picture(e.Work, picture.Large); err != nil {
			return paper.Certificate{}, err
		}
	}
	front, back := rowsOf(p.Facts)
	c := paper.Certificate{
		Head: t.head(), Title: e.Title, Artist: t.Set.Artist, Number: p.Signed.Label(), Kind: kindWords(p.Number.Kind), Picture: pictures[e.Work],
		About: front, Facts: back, Place: p.Place, Made: p.Day.Long(), Serial: p.ID, Small: p.Code, Large: p.Large(), Key: p.Key, Check: howToCheck,
	}
	c.Day = p.Day
	if p.Signed.Year > 0 {
		c.Year = yearText(p.Signed.Year)
	}
	c.Words, c.Crest, c.Truth = t.ofHerOwn()
	return c, nil
}

func kindWords(k edition.Kind) string {
	if k == edition.Numbered {
		return "of the numbered edition"
	}
	return k.Long()
}

// rowsOf are the facts of a certificate as rows: what the print is, and all that is told.
func rowsOf(facts string) (front, back []paper.Row) {
	first, second, _ := strings.Cut(facts, "\n\n")
	read := func(text string) (out []paper.Row) {
		for line := range strings.Lines(text) {
			label, words, _ := strings.Cut(strings.TrimSuffix(line, "\n"), ": ")
			out = append(out, paper.Row{Label: label, Text: words})
		}
		return out
	}
	return read(first), read(second)
}
