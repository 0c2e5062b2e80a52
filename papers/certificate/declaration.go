package certificate

import (
	"fmt"

	"solander/papers/pdf/leaf"
)

// Declaration says that an edition was closed, or cancelled.
type Declaration struct {
	Head
	Title, Artist, Name string
	Picture             []byte // JPEG; nil = none
	About               []Row  // of the edition
	Ends                []End
	Counts              []Row // what became of its numbers
	Place               string
}

// End is one fact of the end of an edition.
type End struct {
	Word  string // "closed"
	On    string // day
	Says  string // what it means
	Files string
	Note  string
}

// Draw returns the declaration as a PDF file. Faults: Refused for characters that the type lacks.
func (d Declaration) Draw() ([]byte, error) {
	texts := []string{d.Studio, d.Under, d.Title, d.Artist, d.Name, d.Place}
	for _, e := range d.Ends {
		texts = append(texts, e.Files, e.Note)
	}
	for _, r := range append(d.About, d.Counts...) {
		texts = append(texts, r.Text)
	}
	if err := readable(d.Title, texts...); err != nil {
		return nil, err
	}
	f := begin("Declaration: "+d.Title, d.Head)
	s := newSheet(f, Sheet, d.Units, false)
	s.head(d.Head, 15)
	s.y += 10
	s.rule(s.left, s.right, s.y, 0.5, hair)
	s.y += 34
	s.y = s.centred(s.left, s.right, s.y, "Declaration", roman.At(26), ink)
	s.y = s.centred(s.left, s.right, s.y+2, "on the end of an edition", italic.At(12), soft) + 14
	if w, _ := leaf.Sides(d.Picture); w > 0 {
		s.y = s.picture(d.Picture, s.left, s.y, s.width(), 160) + 28
	}
	s.y = s.centred(s.left, s.right, s.y, d.Title, italic.At(19), ink)
	s.y = s.centred(s.left, s.right, s.y, d.Artist, roman.At(12), ink) + 12
	inner, outer := s.left+20, s.right-20
	s.y = s.rows(inner, outer, s.y, d.About, roman.At(10.5), 120) + 8
	s.rule(inner, outer, s.y-6, 0.4, hair)
	s.y += 12
	for _, e := range d.Ends {
		s.y = s.block(inner, outer, s.y, fmt.Sprintf("This edition was %s on %s: %s", e.Word, e.On, e.Says), roman.At(12), ink) + 2
		s.y = s.rows(inner, outer, s.y, []Row{{"Plate and files", e.Files}, {"Note", e.Note}}, roman.At(10.5), 120) + 8
	}
	if len(d.Counts) > 0 {
		s.rule(inner, outer, s.y-6, 0.4, hair)
		s.y = s.rows(inner, outer, s.y+12, d.Counts, roman.At(10.5), 120)
	}
	if s.y > s.bottom-46 {
		s.turn()
	}
	s.signature(inner, inner+(outer-inner)*0.55, s.bottom-18, join(", ", d.Artist, d.Place))
	s.signature(outer-(outer-inner)*0.32, outer, s.bottom-18, "Day")
	return f.Bytes()
}

// join joins what is not empty.
func join(between string, parts ...string) string {
	out := ""
	for _, p := range parts {
		if p == "" {
			continue
		}
		if out != "" {
			out += between
		}
		out += p
	}
	return out
}
