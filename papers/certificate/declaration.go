package certificate

import "fmt"

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
	f, s := told{"Declaration", "Declaration", "on the end of an edition", d.Title, d.Artist, d.Picture, 160}.begin(d.Head)
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
	s.signed(inner, outer, d.Artist, d.Place)
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
