package certificate

import (
	"fmt"

	"solander/fault"
	"solander/internal/qrcode"
	"solander/papers/pdf/leaf"
)

// Certificate is what stands on the certificate of one print.
type Certificate struct {
	Head
	Title, Artist string
	Year          string
	Number        string // "17/250"
	Kind          string // "numbered impression"
	Picture       []byte // JPEG; nil = none
	About         []Row  // of the print, for the front
	Facts         []Row  // all that is told, for the back
	Words         string // her own
	Truth         string // that all of it is true, in the words that a law asks for
	Place         string
	Made          string // the day on which it was made
	Serial        int64
	Small, Large  string // the codes
	Key           string // the public key that signed it
	Check         string // how it is checked
	Beforehand    bool   // it is looked at beforehand, and certifies nothing
}

// Draw returns certificates as one PDF file, front and back of each. Faults: Invalid when there is none; Refused for characters that the type
// lacks, or a code too long to be printed.
func Draw(format Format, all []Certificate) ([]byte, error) {
	if len(all) == 0 {
		return nil, fault.New(fault.Invalid, "no certificate is chosen")
	}
	title := "Certificates"
	if len(all) == 1 {
		title = fmt.Sprintf("Certificate %d: %s, %s", all[0].Serial, all[0].Title, all[0].Number)
	}
	f := begin(title, all[0].Head)
	for _, c := range all {
		if err := c.readable(); err != nil {
			return nil, err
		}
		small, err := modules(c, c.Small)
		if err != nil {
			return nil, err
		}
		large, err := modules(c, c.Large)
		if err != nil {
			return nil, err
		}
		s := newSheet(f, format, c.Units, c.Beforehand)
		if format == Card {
			s.card(c, small, large)
			continue
		}
		s.front(c, small)
		s.turn()
		s.back(c, large)
	}
	return f.Bytes()
}

func (c Certificate) readable() error {
	texts := []string{c.Studio, c.Under, c.Title, c.Artist, c.Words, c.Place}
	for _, r := range append(append([]Row{}, c.About...), c.Facts...) {
		texts = append(texts, r.Text)
	}
	return readable(c.Number+" of "+c.Title, texts...)
}

func modules(c Certificate, code string) ([][]bool, error) {
	out, err := qrcode.Dense(code)
	if err != nil {
		return nil, fault.New(fault.Refused, "its code is too long to be printed").At("%s of %s", c.Number, c.Title).Because(err)
	}
	return out, nil
}

// front draws the side of a sheet that is looked at.
func (s *sheet) front(c Certificate, small [][]bool) {
	s.head(c.Head, 15)
	s.rule(s.left+s.width()/2-30, s.left+s.width()/2+30, s.y+4, 0.8, accent)
	s.y += 26
	inner, outer := s.left+34, s.right-34
	rows := s.tallOf(c.About, roman.At(10.5), 96, outer-inner)
	words := 0.0
	if c.Words != "" {
		words = float64(len(s.lines(c.Words, italic.At(11), outer-inner)))*14.5 + 14
	}
	foot := s.bottom - float64(len(small))*Module - 14
	room := foot - s.y - rows - words - 138
	if w, _ := leaf.Sides(c.Picture); w > 0 && room > 60 {
		s.y = s.picture(c.Picture, s.left, s.y, s.width(), min(room, 330)) + 34
	} else {
		s.y += 40
	}
	s.y = s.centred(s.left, s.right, s.y, c.Title, italic.At(24), ink)
	s.y = s.centred(s.left, s.right, s.y-4, join(", ", c.Artist, c.Year), roman.At(12), ink) + 14
	s.y = s.centred(s.left, s.right, s.y, c.Number, roman.At(26), ink)
	s.y = s.centred(s.left, s.right, s.y-12, c.Kind, italic.At(9.5), soft) + 14
	s.y = s.rows(inner, outer, s.y, c.About, roman.At(10.5), 96) + 8
	if c.Words != "" {
		s.y = s.centred(inner, outer, s.y+4, c.Words, italic.At(11), ink)
	}
	wide := s.code(small, s.right-float64(len(small))*Module, foot)
	s.centred(s.right-wide, s.right, foot+wide+8, fmt.Sprintf("certificate %d", c.Serial), italic.At(8.5), soft)
	s.signature(s.left, s.left+(s.width()-wide)*0.62, foot+wide-30, join(", ", c.Artist, c.Place, c.Made))
}

// back draws the side of a sheet that is checked.
func (s *sheet) back(c Certificate, large [][]bool) {
	s.y = s.block(s.left, s.right, s.y+12, fmt.Sprintf("%s, %s", c.Title, c.Number), italic.At(15), ink)
	s.y = s.block(s.left, s.right, s.y, fmt.Sprintf("Certificate %d of %s, made on %s", c.Serial, c.Studio, c.Made), small, soft) + 4
	s.rule(s.left, s.right, s.y, 0.5, hair)
	s.y += 16
	wide := float64(len(large)) * Module
	foot := s.bottom - wide
	t := small
	for t.Size > 6 && s.y+s.tallOf(c.Facts, t, 170, s.width())+40 > foot {
		t.Size -= 0.4
	}
	s.y = s.rows(s.left, s.right, s.y, c.Facts, t, 170) + 6
	if s.y+30 > foot {
		s.turn()
	}
	s.y = s.block(s.left, s.right, s.y, c.Truth, italic.At(10), ink)
	s.code(large, s.left-4*Module, foot)
	s.check(c, s.left+wide+4, s.right, foot+20)
}

// check says how a certificate is checked.
func (s *sheet) check(c Certificate, from, to, y float64) {
	y = s.block(from, to, y, "Check it without us", italic.At(11), ink) + 2
	y = s.block(from, to, y, c.Check, small.At(8), ink) + 4
	y = s.block(from, to, y, "Signed by the key", italic.At(8), soft)
	s.block(from, to, y, c.Key, small.At(7), ink)
}

// card draws both sides of a card.
func (s *sheet) card(c Certificate, little, large [][]bool) {
	picture := 0.0
	if w, h := leaf.Sides(c.Picture); w > 0 {
		tall := s.bottom - s.top
		picture = min(tall*float64(w)/float64(h), s.width()*0.46)
		high := picture * float64(h) / float64(w)
		s.picture(c.Picture, s.left, s.top+(tall-high)/2, picture, high)
		picture += 18
	}
	from, to := s.left+picture, s.right
	y := s.block(from, to, s.top+10, c.Studio, bold, ink) + 14
	y = s.block(from, to, y, c.Title, italic.At(15), ink)
	y = s.block(from, to, y, join(", ", c.Artist, c.Year), roman.At(9.5), ink) + 12
	y = s.block(from, to, y, c.Number, roman.At(19), ink) + 2
	t := roman.At(8)
	for t.Size > 6 && y+s.tallOf(c.About, t, 58, to-from) > s.bottom-44 {
		t.Size -= 0.4
	}
	s.rows(from, to, y, c.About, t, 58)
	s.signature(from, to, s.bottom-16, join(", ", c.Artist, c.Made))
	s.turn()
	wide := s.code(little, s.left-4*Module, s.top-4*Module)
	big := float64(len(large)) * Module
	room := to - big + 4*Module - s.left - 8
	y = s.block(s.left, s.left+room, s.top+wide, fmt.Sprintf("Certificate %d", c.Serial), bold, ink)
	y = s.block(s.left, s.left+room, y, c.Made, small.At(8), soft) + 2
	s.block(s.left, s.left+room, y, c.Check, small.At(6.4), ink)
	s.code(large, to-big+4*Module, max(4, s.top+(s.bottom-s.top-big)/2))
}
