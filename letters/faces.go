package letters

import (
	"bytes"
	"embed"
	"io"
	"slices"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/ulikunitz/xz"
)

//go:embed faces/*.ttf.xz
var faces embed.FS

// Style is a manner of the type.
type Style uint8

// The styles. Scripts other than Latin, Greek and Cyrillic have one manner only.
const (
	Roman Style = iota
	Italic
	Bold
)

// Face is one of the embedded fonts.
type Face struct {
	Name string // "roman": it names the font in a file too
	ttf  func() []byte
	open func() *font.Font
}

// TTF returns the font as a TrueType file, with outlines and without hints. It is not to be changed.
func (f *Face) TTF() []byte { return f.ttf() }

// has reports whether the face draws a character.
func (f *Face) has(r rune) bool {
	_, ok := f.open().NominalGlyph(r)
	return ok
}

// The faces. What the first of an order lacks is looked for in the next, so that one text is one face as far as can be.
var (
	manners = [...]*Face{Roman: faceOf("roman"), Italic: faceOf("italic"), Bold: faceOf("bold")}
	others  = []*Face{
		faceOf("hebrew"), faceOf("arabic"), faceOf("thai"), faceOf("devanagari"), faceOf("armenian"), faceOf("georgian"),
		faceOf("symbols"), faceOf("more"), faceOf("hangul"), faceOf("han"),
	}
	orders = [...][]*Face{
		Roman:  append([]*Face{manners[Roman]}, others...),
		Italic: append([]*Face{manners[Italic], manners[Roman]}, others...),
		Bold:   append([]*Face{manners[Bold], manners[Roman]}, others...),
	}
)

// faceOf is an embedded face. All are kept compressed: to open the first of them takes some milliseconds, once.
func faceOf(name string) *Face {
	return newFace(name, func() []byte {
		b, err := faces.ReadFile("faces/" + name + ".ttf.xz")
		if err != nil {
			panic(err) // embedded: a test opens every face
		}
		z, err := xz.NewReader(bytes.NewReader(b))
		if err != nil {
			panic(err)
		}
		if b, err = io.ReadAll(z); err != nil {
			panic(err)
		}
		return b
	})
}

func newFace(name string, ttf func() []byte) *Face {
	f := &Face{Name: name, ttf: sync.OnceValue(ttf)}
	f.open = sync.OnceValue(func() *font.Font { return parse(f.ttf()) })
	return f
}

// parse reads what setting needs of a font: not its outlines, which would take many times the room of the file.
func parse(ttf []byte) *font.Font {
	ld, err := opentype.NewLoader(bytes.NewReader(ttf))
	if err != nil {
		panic(err)
	}
	var tables []opentype.Table
	for _, tag := range ld.Tables() {
		if name := tag.String(); name != "glyf" && name != "loca" {
			content, err := ld.RawTable(tag)
			if err != nil {
				panic(err)
			}
			tables = append(tables, opentype.Table{Tag: tag, Content: content})
		}
	}
	if ld, err = opentype.NewLoader(bytes.NewReader(opentype.WriteTTF(tables))); err != nil {
		panic(err)
	}
	f, err := font.NewFont(ld)
	if err != nil {
		panic(err)
	}
	return f
}

// faceFor returns the first face in the order of a style that draws all of a cluster; nil when none does.
func faceFor(cluster []rune, s Style) *Face {
	for _, f := range orders[s] {
		if !slices.ContainsFunc(cluster, func(r rune) bool { return !unseen(r) && !f.has(r) }) {
			return f
		}
	}
	return nil
}

// unseen reports what is set and draws nothing: joiners, which say whether their neighbours join, and the marks that say a
// direction.
func unseen(r rune) bool { return joiner(r) || r == leftMark || r == rightMark }

func joiner(r rune) bool { return r == '\u200C' || r == '\u200D' }

const (
	leftMark  = '\u200E'
	rightMark = '\u200F'
)
