package certificate

import "solander/papers/pdf/leaf"

// Statement is what is told of an edition that has no numbers: of all of its prints alike, and so of none alone.
type Statement struct {
	Head
	Title, Artist string
	Year          string
	Picture       []byte // JPEG; nil = none
	About         []Row  // of the edition
	Facts         []Row  // all that is told
	Says          string // what it promises, and what not
	Words         string // her own
	Truth         string // that all of it is true, in the words that a law asks for
	Place         string
}

// Draw returns the statement as a PDF file. Faults: Refused for characters that the type lacks.
func (d Statement) Draw() ([]byte, error) {
	texts := []string{d.Studio, d.Under, d.Title, d.Artist, d.Words, d.Place}
	for _, r := range append(append([]Row{}, d.About...), d.Facts...) {
		texts = append(texts, r.Text)
	}
	if err := readable(d.Title, texts...); err != nil {
		return nil, err
	}
	f, s := told{"Statement", "Statement of authenticity", "of an open edition", d.Title, join(", ", d.Artist, d.Year), d.Picture, 130}.begin(d.Head)
	inner, outer := s.left+20, s.right-20
	s.y = s.block(inner, outer, s.y, d.Says, roman.At(10.5), ink) + 8
	foot := 56.0 // the lines to sign on
	if d.Words != "" {
		foot += float64(len(s.lines(d.Words, italic.At(11), outer-inner)))*14.5 + 4
	}
	if d.Truth != "" {
		foot += float64(len(s.lines(d.Truth, italic.At(10), outer-inner))) * 13.5
	}
	t := roman.At(10.5)
	all := append(append([]Row{}, d.About...), d.Facts...)
	for t.Size > 7.5 && s.y+s.tallOf(all, t, 170, outer-inner)+10 > s.bottom-foot {
		t.Size -= 0.4
	}
	s.y = s.rows(inner, outer, s.y, all, t, 170) + 10
	if s.y > s.bottom-foot {
		s.turn()
		s.y += 20
	}
	s.y = s.centred(inner, outer, s.y, d.Words, italic.At(11), ink) + 4
	s.block(inner, outer, s.y, d.Truth, italic.At(10), ink)
	s.signed(inner, outer, d.Artist, d.Place)
	return f.Bytes()
}

// told is a paper that tells of a whole edition: what its file and it itself are called, of which edition, and how tall its picture is at most.
type told struct {
	kind, name, under, title, by string
	picture                      []byte // JPEG; nil = none
	tall                         float64
}

// begin draws its head, down to the edition's title.
func (d told) begin(h Head) (*leaf.File, *sheet) {
	f := begin(d.kind+": "+d.title, h)
	s := newSheet(f, Sheet, h.Units, false)
	s.head(h, 15)
	s.y += 10
	s.rule(s.left, s.right, s.y, 0.5, hair)
	s.y += 28
	s.y = s.centred(s.left, s.right, s.y, d.name, roman.At(24), ink)
	s.y = s.centred(s.left, s.right, s.y+2, d.under, italic.At(12), soft) + 14
	if w, _ := leaf.Sides(d.picture); w > 0 {
		s.y = s.picture(d.picture, s.left, s.y, s.width(), d.tall) + 24
	}
	s.y = s.centred(s.left, s.right, s.y, d.title, italic.At(19), ink)
	s.y = s.centred(s.left, s.right, s.y, d.by, roman.At(12), ink) + 12
	return f, s
}

// signed draws the lines to sign on, at the foot.
func (s *sheet) signed(left, right float64, artist, place string) {
	s.signature(left, left+(right-left)*0.55, s.bottom-18, join(", ", artist, place))
	s.signature(right-(right-left)*0.32, right, s.bottom-18, "Day")
}
