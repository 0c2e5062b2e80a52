package letters

import (
	"strings"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/segmenter"
)

// Glyph is one shape of a line. Lengths are in thousandths of the type's size.
type Glyph struct {
	Face    *Face
	ID      uint16
	Advance int    // to the next glyph
	X, Y    int    // how far it is drawn from its place, to the right and up
	Text    string // what it stands for; "" for the further glyphs of what several draw
	More    bool   // the next glyph belongs to what this one draws
}

// Line is one line of text as it is drawn, from left to right.
type Line struct {
	Glyphs []Glyph
	Width  int // in thousandths of the type's size
}

// Setter sets lines. It remembers words, and serves one user at a time.
type Setter struct {
	words map[word]Line
	fonts map[*Face]*harfbuzz.Font
	buf   *harfbuzz.Buffer
	seg   segmenter.Segmenter
}

type word struct {
	text  string
	style Style
}

// NewSetter returns one that remembers nothing.
func NewSetter() *Setter {
	return &Setter{words: map[word]Line{}, fonts: map[*Face]*harfbuzz.Font{}, buf: harfbuzz.NewBuffer()}
}

// Set sets a text that Clean has cleaned as one line: in the first face of the style that draws each of its clusters,
// joined and placed as its script asks, in the order of Unicode Standard Annex 9.
func (s *Setter) Set(text string, style Style) Line {
	if !strings.Contains(text, " ") || turns(text) {
		return s.word(text, style)
	}
	var line Line // word by word, which a line of one direction allows
	for word := range strings.SplitSeq(text, " ") {
		if line.Glyphs != nil {
			line.add(s.word(" ", style))
		} else {
			line.Glyphs = []Glyph{}
		}
		line.add(s.word(word, style))
	}
	return line
}

func (l *Line) add(more Line) {
	l.Glyphs, l.Width = append(l.Glyphs, more.Glyphs...), l.Width+more.Width
}

// word sets a text as a whole, once.
func (s *Setter) word(text string, style Style) Line {
	key := word{text, style}
	line, known := s.words[key]
	if !known {
		line = s.set([]rune(text), style)
		s.words[key] = line
	}
	return line
}

// run is a part of a line of one face, level and script.
type run struct {
	face     *Face
	level    uint8
	script   language.Script
	from, to int
}

func (s *Setter) set(text []rune, style Style) Line {
	runs := s.runs(text, style)
	visual(runs, func(r run) uint8 { return r.level })
	var line Line
	for _, r := range runs {
		line.Glyphs = append(line.Glyphs, s.shape(text, r)...)
	}
	for _, g := range line.Glyphs {
		line.Width += g.Advance
	}
	return line
}

// runs parts a line. What belongs to no script, such as a comma, goes with what stands before it.
func (s *Setter) runs(text []rune, style Style) []run {
	var out []run
	level := levels(text)
	for _, c := range s.Clusters(text) {
		at, end := c[0], c[1]
		face := faceFor(text[at:end], style)
		if face == nil { // Clean leaves none of these
			face = manners[style]
		}
		script := scriptOf(text[at:end])
		if n := len(out) - 1; n >= 0 && out[n].face == face && out[n].level == level[at] && (script == 0 || out[n].script == 0 || out[n].script == script) {
			out[n].to = end
			if out[n].script == 0 {
				out[n].script = script
			}
			continue
		}
		out = append(out, run{face, level[at], script, at, end})
	}
	return out
}

// scriptOf is the script of a cluster; 0 when it belongs to all.
func scriptOf(cluster []rune) language.Script {
	for _, r := range cluster {
		if sc := language.LookupScript(r); sc != language.Common && sc != language.Inherited && sc != language.Unknown {
			return sc
		}
	}
	return 0
}

// Clusters parts a text into what a reader takes for one letter, as from and to. Source: Unicode Standard Annex 29.
func (s *Setter) Clusters(text []rune) [][2]int {
	out := make([][2]int, 0, len(text))
	simple := true
	for _, r := range text {
		simple = simple && r < 0x300
	}
	if simple {
		for i := range text {
			out = append(out, [2]int{i, i + 1})
		}
		return out
	}
	s.seg.Init(text)
	for it := s.seg.GraphemeIterator(); it.Next(); {
		g := it.Grapheme()
		out = append(out, [2]int{g.Offset, g.Offset + len(g.Text)})
	}
	return out
}

// Breaks parts a text where a line can be broken. Source: Unicode Standard Annex 14; where words are not parted, as in
// Thai, the whole is one part.
func (s *Setter) Breaks(text string) []string {
	if strings.IndexFunc(text, func(r rune) bool { return r >= 0x300 }) < 0 {
		return strings.SplitAfter(text, " ")
	}
	s.seg.Init([]rune(text))
	var out []string
	for it := s.seg.LineIterator(); it.Next(); {
		out = append(out, string(it.Line().Text))
	}
	return out
}

// Tall reports a line with letters that reach higher or deeper than Latin ones, by their marks.
func Tall(line string) bool {
	return strings.IndexFunc(line, func(r rune) bool {
		if r < '\u0590' {
			return false
		}
		switch language.LookupScript(r) {
		case language.Arabic, language.Thai, language.Devanagari:
			return true
		}
		return false
	}) >= 0
}

// shape sets one run.
func (s *Setter) shape(text []rune, r run) []Glyph {
	f := s.fonts[r.face]
	if f == nil {
		f = harfbuzz.NewFont(font.NewFace(r.face.open()))
		s.fonts[r.face] = f
	}
	b := s.buf
	b.Clear()
	b.AddRunes(text, r.from, r.to-r.from)
	b.Props = harfbuzz.SegmentProperties{Direction: harfbuzz.LeftToRight, Script: r.script, Language: "en"}
	if r.script == 0 {
		b.Props.Script = language.Latin
	}
	if r.level%2 == 1 {
		b.Props.Direction = harfbuzz.RightToLeft
	}
	b.Shape(f, features)
	em := func(p harfbuzz.Position) int { return int(p) * 1000 / int(r.face.open().Upem()) }
	out := make([]Glyph, len(b.Info))
	for i, g := range b.Info {
		p := b.Pos[i]
		out[i] = Glyph{Face: r.face, ID: uint16(g.Glyph), Advance: em(p.XAdvance), X: em(p.XOffset), Y: em(p.YOffset)}
	}
	tell(out, b.Info, text, r)
	return out
}

// features: figures and letters as the faces have them, without the ligatures of choice.
var features = []harfbuzz.Feature{{Tag: opentype.MustNewTag("dlig"), Value: 0, Start: harfbuzz.FeatureGlobalStart, End: harfbuzz.FeatureGlobalEnd}}

// tell gives each glyph the text that it stands for: the whole of a cluster is told by its base, which stands first as
// it is read.
func tell(glyphs []Glyph, info []harfbuzz.GlyphInfo, text []rune, r run) {
	for i := 0; i < len(info); {
		j := i
		for j < len(info) && info[j].Cluster == info[i].Cluster {
			j++
		}
		end := r.to
		if r.level%2 == 1 {
			if i > 0 {
				end = info[i-1].Cluster
			}
			glyphs[j-1].Text = string(text[info[i].Cluster:end])
		} else {
			if j < len(info) {
				end = info[j].Cluster
			}
			glyphs[i].Text = string(text[info[i].Cluster:end])
		}
		for k := i; k < j-1; k++ {
			glyphs[k].More = true
		}
		i = j
	}
}
