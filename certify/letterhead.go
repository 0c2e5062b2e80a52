package certify

import (
	"context"
	"errors"
	"slices"

	"solander/certificate"
	"solander/edition"
	"solander/fault"
	"solander/gallery"
	paper "solander/papers/certificate"
	"solander/papers/pdf/leaf"
	"solander/record"
	"solander/sealog"
	"solander/studio"
)

// Crest is the crest in a file of a picture: upright, in colours that every screen knows, and nothing else of the file. Faults: Invalid and TooLarge for the file.
func Crest(ctx context.Context, file []byte) ([]byte, error) {
	prints, err := gallery.Developed(ctx, file)
	if err != nil {
		return nil, fault.InField(err, "crest")
	}
	return prints.Middle.JPEG, nil
}

// ChangeLetterhead changes what of her own stands on certificates, as it stands. Faults: Invalid.
func ChangeLetterhead(ctx context.Context, s *studio.Studio, change func(*certificate.Letterhead) error) (l certificate.Letterhead, err error) {
	err = write(ctx, s, func(t *Certify) (err error) {
		l, err = t.changeLetterhead(change)
		return err
	})
	return l, err
}

func (t *Certify) changeLetterhead(change func(*certificate.Letterhead) error) (l certificate.Letterhead, err error) {
	if t.Set.Letterhead != nil {
		l = *t.Set.Letterhead
	}
	if err := change(&l); err != nil {
		return l, err
	}
	if err := l.Validate(); err != nil {
		return l, err
	}
	if w, _ := leaf.Sides(l.Crest); len(l.Crest) > 0 && w == 0 {
		return l, fault.Invalidf("crest", "the crest cannot be printed").ToMend("save it as JPEG, in grey or in three colours")
	}
	t.Set.Letterhead = &l
	return l, t.SaveSettings(t.Set)
}

// ofHerOwn is what of her own stands on papers: words, crest, and that all of it is true.
func (t *Certify) ofHerOwn() (words string, crest []byte, truth string) {
	l := t.Set.Letterhead
	if l == nil {
		return "", nil, ""
	}
	if l.Truth {
		truth = Truth
	}
	return l.Words, l.Crest, truth
}

// errForeseen ends the transaction of Foresee, so that nothing of it is kept.
var errForeseen = errors.New("certify: nothing is to be kept")

// Foresee makes a certificate of an edition under a changed letterhead, as Make and Papers do, in a transaction that is then taken back. It is signed by a
// key that is nobody's and thrown away, so that no code on it holds. Faults: as Make and ChangeLetterhead; Refused while nothing of the edition is signed.
func Foresee(ctx context.Context, s *studio.Studio, ed int64, change func(*certificate.Letterhead) error) (out paper.Certificate, err error) {
	err = write(ctx, s, func(t *Certify) error {
		if _, err := t.changeLetterhead(change); err != nil {
			return err
		}
		in, err := t.aSigned(ed)
		if err != nil {
			return err
		}
		key, err := t.nobodys()
		if err != nil {
			return err
		}
		made, err := t.make(in, key)
		if err != nil {
			return err
		}
		if _, err := record.In(t.Turn).Checkpoint(key); err != nil {
			return err
		}
		p, err := t.proven(made[0])
		if err != nil {
			return err
		}
		if out, err = t.paper(p, map[int64][]byte{}); err != nil {
			return err
		}
		out.Beforehand = true
		return errForeseen
	})
	if errors.Is(err, errForeseen) {
		err = nil
	}
	return out, err
}

// aSigned asks for a certificate of a signed number of an edition: of one that has none, else in the place of one.
func (t *Certify) aSigned(ed int64) (MakeIn, error) {
	lacking, err := t.lacking(ed)
	if err != nil {
		return MakeIn{}, err
	}
	if len(lacking) > 0 {
		return MakeIn{Edition: ed, Numbers: lacking[:1]}, nil
	}
	all, err := t.Certificates(ed, edition.Number{})
	if err != nil {
		return MakeIn{}, err
	}
	ends, err := t.CertificateEnds()
	if err != nil {
		return MakeIn{}, err
	}
	for _, c := range all {
		if _, ended := ends[c.ID]; !ended {
			return MakeIn{Edition: ed, Numbers: []edition.Number{c.Number}, Place: c.Place, Reissue: true, Reason: "looked at beforehand"}, nil
		}
	}
	return MakeIn{}, fault.New(fault.Refused, "no number of this edition is signed: there is nothing to certify").In("edition").ToMend("choose another edition, or sign a number first")
}

// nobodys is a key of this moment.
func (t *Certify) nobodys() (sealog.Key, error) {
	log, err := t.Log()
	if err != nil {
		return sealog.Key{}, err
	}
	seed, err := record.In(t.Turn).Seed()
	if err != nil {
		return sealog.Key{}, err
	}
	return sealog.NewKey(log.Origin, seed)
}

// Certifiable are the editions whose prints can be certified: those with numbers.
func Certifiable(ctx context.Context, s *studio.Studio) ([]edition.Edition, error) {
	return studio.Got(ctx, s, read, func(t *Certify) ([]edition.Edition, error) {
		all, err := t.Editions()
		return slices.DeleteFunc(all, edition.Edition.Open), err
	})
}
