package certify

import (
	"context"

	"solander/certificate"
	"solander/fault"
	"solander/papers/pdf/leaf"
	"solander/studio"
)

// ChangeLetterhead changes what of her own stands on certificates, as it stands. Faults: Invalid.
func ChangeLetterhead(ctx context.Context, s *studio.Studio, change func(*certificate.Letterhead) error) (l certificate.Letterhead, err error) {
	err = write(ctx, s, func(t *Certify) error {
		l = certificate.Letterhead{}
		if t.Set.Letterhead != nil {
			l = *t.Set.Letterhead
		}
		if err := change(&l); err != nil {
			return err
		}
		if err := l.Validate(); err != nil {
			return err
		}
		if w, _ := leaf.Sides(l.Crest); len(l.Crest) > 0 && w == 0 {
			return fault.Invalidf("crest", "the crest cannot be printed").ToMend("save it as JPEG, in grey or in three colours")
		}
		set := t.Set
		set.Letterhead = &l
		return t.SaveSettings(set)
	})
	return l, err
}
