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
	f := begin("Statement: "+d.Title, d.Head)
	s := newSheet(f, Sheet, d.Units, false)
	s.head(d.Head, 15)
	s.y += 10
	s.rule(s.left, s.right, s.y, 0.5, hair)
	s.y += 28
	s.y = s.centred(s.left, s.right, s.y, "Statement of authenticity", roman.At(24), ink)
	s.y = s.centred(s.left, s.right, s.y+2, "of an open edition", italic.At(12), soft) + 14
	if w, _ := leaf.Sides(d.Picture); w > 0 {
		s.y = s.picture(d.Picture, s.left, s.y, s.width(), 130) + 24
	}
	s.y = s.centred(s.left, s.right, s.y, d.Title, italic.At(19), ink)
	s.y = s.centred(s.left, s.right, s.y, join(", ", d.Artist, d.Year), roman.At(12), ink) + 12
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
	s.signature(inner, inner+(outer-inner)*0.55, s.bottom-18, join(", ", d.Artist, d.Place))
	s.signature(outer-(outer-inner)*0.32, outer, s.bottom-18, "Day")
	return f.Bytes()
}
