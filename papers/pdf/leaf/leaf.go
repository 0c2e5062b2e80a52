// Package leaf writes pages as a PDF file: type set by package letters, lines, areas and pictures. Lengths are in points,
// measured from the upper left corner of a page. It knows nothing of what stands on them.
//
// The same pages give the same bytes: nothing is asked of a clock or of chance. The file is of PDF 1.7 (ISO 32000-1): the
// faces are embedded as TrueType with the glyphs used, each with the text it stands for, so that all text can be searched and
// copied; pictures are embedded as they come, as JPEG.
package leaf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strconv"
	"time"
	"unicode/utf16"

	"solander/letters"
)

// About is what a file says of itself.
type About struct {
	Title, Author, Creator string
	When                   time.Time
}

// Colour is red, green, blue, each of 0 to 255.
type Colour [3]int

// File is a file in the making.
type File struct {
	about    About
	setter   *letters.Setter
	pages    []*Page
	types    []*embedded
	byFace   map[*letters.Face]*embedded
	pictures []*picture
	seen     map[string]*picture
}

// New begins a file.
func New(about About) *File {
	return &File{about: about, setter: letters.NewSetter(), byFace: map[*letters.Face]*embedded{}, seen: map[string]*picture{}}
}

// Pages is how many pages there are.
func (f *File) Pages() int { return len(f.pages) }

// Page is a page in the making. Colours, widths and dashes hold from where they are set.
type Page struct {
	file          *File
	width, height float64
	content       bytes.Buffer
	fill, stroke  Colour
	line          float64
}

// Page adds a page and returns it.
func (f *File) Page(width, height float64) *Page {
	p := &Page{file: f, width: width, height: height, fill: Colour{-1}, stroke: Colour{-1}, line: -1}
	f.pages = append(f.pages, p)
	return p
}

// Cut takes away the pages from a place on, from 0.
func (f *File) Cut(from int) { f.pages = f.pages[:from] }

// At returns a page by its place from 0, so that what is known only at the end can be added.
func (f *File) At(i int) *Page { return f.pages[i] }

// num prints a length in thousandths at most, without needless zeros.
func num(b []byte, x float64) []byte {
	if x < 0 {
		b, x = append(b, '-'), -x
	}
	n := int64(x*1000 + 0.5)
	b = strconv.AppendInt(b, n/1000, 10)
	if n %= 1000; n > 0 {
		digits := []byte{'.', byte('0' + n/100), byte('0' + n/10%10), byte('0' + n%10)}
		for digits[len(digits)-1] == '0' {
			digits = digits[:len(digits)-1]
		}
		b = append(b, digits...)
	}
	return b
}

// put writes an operator behind its numbers.
func (p *Page) put(operator string, numbers ...float64) {
	b := p.content.AvailableBuffer()
	for _, n := range numbers {
		b = append(num(b, n), ' ')
	}
	b = append(append(b, operator...), '\n')
	p.content.Write(b)
}

func (p *Page) colour(now *Colour, to Colour, operator string) {
	if *now == to {
		return
	}
	*now = to
	p.put(operator, float64(to[0])/255, float64(to[1])/255, float64(to[2])/255)
}

// Pen sets the colour and width of lines.
func (p *Page) Pen(c Colour, width float64) {
	p.colour(&p.stroke, c, "RG")
	if p.line != width {
		p.line = width
		p.put("w", width)
	}
}

// Dash breaks lines into strokes and gaps; none of them makes lines whole again.
func (p *Page) Dash(lengths ...float64) {
	b := append(p.content.AvailableBuffer(), '[')
	for _, n := range lengths {
		b = append(num(b, n), ' ')
	}
	p.content.Write(append(b, "] 0 d\n"...))
}

// Line draws a line with the pen.
func (p *Page) Line(x1, y1, x2, y2 float64) {
	p.put("m", x1, p.height-y1)
	p.put("l", x2, p.height-y2)
	p.put("S")
}

// Rect fills a rectangle.
func (p *Page) Rect(x, y, w, h float64, c Colour) {
	p.colour(&p.fill, c, "rg")
	p.put("re", x, p.height-y-h, w, h)
	p.put("f")
}

// Frame draws the outline of a rectangle with the pen.
func (p *Page) Frame(x, y, w, h float64) {
	p.put("re", x, p.height-y-h, w, h)
	p.put("S")
}

// round is how far the handles of a quarter of a circle lie from its ends, of the radius: 4/3 (√2 − 1).
const round = 0.552284749831

// Ellipse fills an ellipse round a middle and draws its outline with the pen.
func (p *Page) Ellipse(x, y, rx, ry float64, c Colour) {
	p.colour(&p.fill, c, "rg")
	y = p.height - y
	hx, hy := rx*round, ry*round
	p.put("m", x+rx, y)
	p.put("c", x+rx, y+hy, x+hx, y+ry, x, y+ry)
	p.put("c", x-hx, y+ry, x-rx, y+hy, x-rx, y)
	p.put("c", x-rx, y-hy, x-hx, y-ry, x, y-ry)
	p.put("c", x+hx, y-ry, x+rx, y-hy, x+rx, y)
	p.put("B")
}

// object is one object of a file: a dictionary, or with data a stream.
type object struct {
	dict string
	data []byte
}

// Bytes ends the file and returns it.
func (f *File) Bytes() ([]byte, error) {
	w := writer{}
	catalogue, tree, info, resources := w.reserve(), w.reserve(), w.reserve(), w.reserve()
	var fonts, images, kids []byte
	for i, t := range f.types {
		n, err := t.write(&w)
		if err != nil {
			return nil, err
		}
		fonts = fmt.Appendf(fonts, "/F%d %d 0 R ", i+1, n)
	}
	for i, pic := range f.pictures {
		images = fmt.Appendf(images, "/P%d %d 0 R ", i+1, w.add(pic.object()))
	}
	for _, p := range f.pages {
		data, err := w.deflate(p.content.Bytes())
		if err != nil {
			return nil, err
		}
		content := w.add(object{"/Filter /FlateDecode", data})
		box := append(num(nil, p.width), ' ')
		box = num(box, p.height)
		n := w.add(object{dict: fmt.Sprintf("/Type /Page /Parent %d 0 R /MediaBox [0 0 %s] /Resources %d 0 R /Contents %d 0 R", tree, box, resources, content)})
		kids = fmt.Appendf(kids, "%d 0 R ", n)
	}
	w.objects[resources-1].dict = fmt.Sprintf("/Font << %s>> /XObject << %s>>", fonts, images)
	w.objects[tree-1].dict = fmt.Sprintf("/Type /Pages /Count %d /Kids [%s]", len(f.pages), kids)
	w.objects[catalogue-1].dict = fmt.Sprintf("/Type /Catalog /Pages %d 0 R /Lang (en) /ViewerPreferences << /DisplayDocTitle true >>", tree)
	when := f.about.When.UTC().Format("(D:20060102150405Z)")
	w.objects[info-1].dict = fmt.Sprintf("/Title %s /Author %s /Creator %s /CreationDate %s /ModDate %s", text(f.about.Title), text(f.about.Author), text(f.about.Creator), when, when)
	return w.file(catalogue, info), nil
}

// writer gathers the objects of a file. Objects are numbered from 1.
type writer struct {
	objects []object
	zip     *zlib.Writer
}

func (w *writer) reserve() int { return w.add(object{}) }

func (w *writer) add(o object) int {
	w.objects = append(w.objects, o)
	return len(w.objects)
}

// file writes all objects, the table of where they stand, and the trailer. Source: ISO 32000-1, 7.5.
func (w *writer) file(catalogue, info int) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	at := make([]int, len(w.objects))
	for i, o := range w.objects {
		at[i] = b.Len()
		if o.data == nil {
			fmt.Fprintf(&b, "%d 0 obj\n<< %s >>\nendobj\n", i+1, o.dict)
			continue
		}
		fmt.Fprintf(&b, "%d 0 obj\n<< %s /Length %d >>\nstream\n", i+1, o.dict, len(o.data))
		b.Write(o.data)
		b.WriteString("\nendstream\nendobj\n")
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for _, n := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", n)
	}
	fmt.Fprintf(&b, "trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(at)+1, catalogue, info, table)
	return b.Bytes()
}

// deflate compresses a stream. One compressor serves all of a file: a new one is costlier than most streams.
func (w *writer) deflate(data []byte) ([]byte, error) {
	var b bytes.Buffer
	if w.zip == nil {
		w.zip = zlib.NewWriter(&b)
	} else {
		w.zip.Reset(&b)
	}
	if _, err := w.zip.Write(data); err != nil {
		return nil, err
	}
	if err := w.zip.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// text is a string of a file, as UTF-16 with its mark. Source: ISO 32000-1, 7.9.2.2.
func text(s string) string { return "<FEFF" + hex16(s) + ">" }

func hex16(s string) string {
	var b []byte
	for _, u := range utf16.Encode([]rune(s)) {
		b = fmt.Appendf(b, "%04X", u)
	}
	return string(b)
}
