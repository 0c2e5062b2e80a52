// Package naming reads which prints a text names: titles with their sizes, numbers, counts, grades and papers. A text that can be read in
// several ways gives all of them, the one that leaves the most together first; who asks decides.
package naming

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/edition"
	"solander/intake/cell"
)

// Item is one print that a cell names. What it does not say is zero.
type Item struct {
	Title       string
	Size        cell.SizeRead
	SizeText    string
	Grade       string
	Paper       string
	Numbers     []cell.NumbersRead // of one edition each
	Count       int
	Open        bool
	Trouble     cell.Trouble // of its size
	Bare        bool         // its number is written without a limit: "Heron #4"
	CommaBefore bool         // nothing but a comma stands before it
}

func (x Item) Copies() int { return max(1, x.Count, CountNumbers(x.Numbers)) }

func CountNumbers(all []cell.NumbersRead) int {
	n := 0
	for _, l := range all {
		n += len(l.Numbers)
	}
	return n
}

// Naming is one way in which a cell can be read. Each bit of apart is one doubtful place that was taken apart; with none of them the
// doubtful words stay in the title.
type Naming struct {
	Items []Item
	Apart int
	More  bool // there are further readings, too many to be looked at
}

func (x Naming) Prints() int {
	n := 0
	for _, i := range x.Items {
		n += i.Copies()
	}
	return n
}

// chunk is a part of a cell with one title.
type chunk struct {
	cut    string // the mark before it
	pieces []piece
}

// mostDoubts bounds the doubtful places of a cell that are looked at one by one; of more, none or all are taken apart.
const mostDoubts = 5

// Namer reads what a cell names: prints with their sizes, numbers, grades and papers.
type Namer struct {
	papers []string            // the studio's
	unit   string              // of sizes without one
	seen   map[string][]Naming // a text is read once
}

// NewNamer reads for a studio with these papers; unit is that of sizes without one.
func NewNamer(papers []string, unit string) *Namer {
	return &Namer{papers, unit, map[string][]Naming{}}
}

// Namings returns the ways in which a text can be read, the one that leaves the most together first. There is at least one.
func (r *Namer) Namings(text string) []Naming {
	if known, ok := r.seen[text]; ok {
		return known
	}
	all := r.waysToRead(text)
	r.seen[text] = all
	return all
}

func (r *Namer) waysToRead(text string) []Naming {
	pieces := r.attributes(PiecesOf(text, r.unit))
	chunks := chunksOf(pieces)
	if len(chunks) == 0 {
		return []Naming{untitled(text, pieces)}
	}
	var doubts []doubt
	for i := range chunks {
		if i > 0 && !chunks[i-1].sharesKind(chunks[i]) {
			doubts = append(doubts, doubt{i, cutHere})
		}
		doubts = append(doubts, r.doubtsIn(chunks, i)...)
	}
	var all []Naming
	for _, bits := range ways(len(doubts)) {
		if x, ok := r.readAs(chunks, doubts, bits); ok {
			x.More = len(doubts) > mostDoubts
			all = append(all, x)
		}
	}
	if len(all) == 0 {
		return []Naming{{Items: []Item{{Title: Tidy(text)}}}}
	}
	return all
}

// untitled reads a cell without words: numbers with their limit are numbers; anything else is a title, such as "No. 5".
func untitled(text string, all []piece) Naming {
	x, numbered := Item{}, false
	for _, p := range all {
		if !x.add(p) {
			return Naming{Items: []Item{{Title: Tidy(text)}}}
		}
		numbered = numbered || p.Kind == aNumber && p.numbers[0].Of > 0
	}
	if !numbered {
		return Naming{Items: []Item{{Title: Tidy(text)}}}
	}
	x.Numbers = Together(x.Numbers)
	return Naming{Items: []Item{x}}
}

// ways returns the sets of n doubts that are looked at.
func ways(n int) []int {
	if n > mostDoubts {
		return []int{0, 1<<min(n, 60) - 1}
	}
	all := make([]int, 1<<n)
	for i := range all {
		all[i] = i
	}
	return all
}

// chunksOf parts pieces at the marks behind which a further title stands. Pieces without any words are no chunk.
func chunksOf(all []piece) []chunk {
	var out []chunk
	now := chunk{}
	for i := 0; i < len(all); {
		end := i + 1
		for end < len(all) && all[end].Kind != aCut {
			end++
		}
		part, cut := all[i:end], ""
		if part[0].Kind == aCut {
			part, cut = part[1:], part[0].Text
		}
		if now.titled() && (chunk{pieces: part}).titled() {
			out = append(out, now)
			now = chunk{cut: cut}
		} else if cut != "" && len(now.pieces) > 0 {
			now.pieces = append(now.pieces, piece{Kind: aCut, Text: cut})
		}
		now.pieces = append(now.pieces, part...)
		i = end
	}
	if now.titled() {
		return append(out, now)
	}
	if len(out) == 0 {
		return nil
	}
	out[len(out)-1].pieces = append(out[len(out)-1].pieces, now.pieces...)
	return out
}

func (c chunk) titled() bool {
	return slices.ContainsFunc(c.pieces, func(p piece) bool { return p.Kind == someWords })
}

// sharesKind reports that both say a size, or a number, or a count: then they are two prints.
func (c chunk) sharesKind(d chunk) bool {
	for _, k := range []pieceKind{ASize, aNumber, aCount} {
		if c.has(k) && d.has(k) {
			return true
		}
	}
	return false
}

func (c chunk) has(k pieceKind) bool {
	return slices.ContainsFunc(c.pieces, func(p piece) bool { return p.Kind == k })
}

// doubt is a place that can be read in two ways.
type doubt struct {
	chunk int
	what  doubtKind
}

type doubtKind uint8

const (
	cutHere    doubtKind = iota // the mark before the chunk parts two prints
	paperHere                   // its last words are a paper
	numberHere                  // its last word is a number: "Heron 4, 5/60", "Heron 250/17"
	bareHere                    // its number without a limit is one, and no part of the title: "Heron #4", "Study no. 5"
)

var (
	lastNumber = regexp.MustCompile(`^(.*\pL.*?) ([0-9]{1,6})$`)
	lastSlip   = regexp.MustCompile(`^(.*\pL.*?) ([0-9]{1,6}) ?/ ?([0-9]{1,6})$`)
)

func (r *Namer) doubtsIn(chunks []chunk, i int) []doubt {
	var all []doubt
	c := chunks[i]
	last := c.lastWords()
	words := c.pieces[last].Text
	if _, paper, sure := r.paperAtEnd(words); paper != "" && !sure {
		all = append(all, doubt{i, paperHere})
	}
	next := last + 2
	switch {
	case next < len(c.pieces) && c.pieces[next].Kind == aNumber && c.pieces[next-1].Kind == aCut && lastNumber.MatchString(words):
		all = append(all, doubt{i, numberHere})
	case lastSlip.MatchString(words):
		all = append(all, doubt{i, numberHere})
	}
	if c.bareNumber() >= 0 {
		all = append(all, doubt{i, bareHere})
	}
	return all
}

func (c chunk) lastWords() int {
	for i := len(c.pieces) - 1; i >= 0; i-- {
		if c.pieces[i].Kind == someWords {
			return i
		}
	}
	return 0
}

// bareNumber returns the place of the first number, when no limit stands with it and it is no proof; else -1.
func (c chunk) bareNumber() int {
	for i, p := range c.pieces {
		if p.Kind != aNumber {
			continue
		}
		if n := p.numbers[0]; n.Of > 0 || n.Numbers[0].Kind != edition.Numbered || len(n.Numbers) > 1 {
			return -1
		}
		return i
	}
	return -1
}

// paperAtEnd takes the words of a paper off the end of a title. sure says that it is one of the studio's.
func (r *Namer) paperAtEnd(words string) (title, paper string, sure bool) {
	all := strings.Fields(words)
	for from := len(all) - 1; from > 0 && from >= len(all)-6; from-- {
		tail := strings.Join(all[from:], " ")
		if p, ok, certain := r.paperIn(tail); ok && certain {
			if from > 1 && paperOn.MatchString(all[from-1]+" ") {
				from--
			}
			return strings.Join(all[:from], " "), p, r.PaperNamed(tail) != ""
		}
	}
	return words, "", false
}

// readAs reads the chunks with the doubts of bits taken apart. ok is false when that cannot be: two sizes of one print.
func (r *Namer) readAs(chunks []chunk, doubts []doubt, bits int) (Naming, bool) {
	x := Naming{Apart: bits}
	taken := func(i int, k doubtKind) bool {
		at := slices.Index(doubts, doubt{i, k})
		return at >= 0 && bits&(1<<at) != 0
	}
	for i, c := range chunks {
		it, ok := r.itemOf(c, taken(i, paperHere), taken(i, numberHere), taken(i, bareHere))
		if !ok {
			return x, false
		}
		it.CommaBefore = strings.TrimSpace(c.cut) == ","
		if i > 0 && slices.Contains(doubts, doubt{i, cutHere}) && !taken(i, cutHere) {
			if ok = x.Items[len(x.Items)-1].join(it, c.cut); !ok {
				return x, false
			}
			continue
		}
		x.Items = append(x.Items, it)
	}
	return x, true
}

// join puts the words of two chunks into one title.
func (x *Item) join(y Item, cut string) bool {
	if cut = strings.ReplaceAll(cut, "\n", ", "); x.Count > 0 && y.Count > 0 || x.Size != (cell.SizeRead{}) && y.Size != (cell.SizeRead{}) || x.SizeText != "" && y.SizeText != "" ||
		x.Grade != "" && y.Grade != "" || x.Paper != "" && y.Paper != "" || len(x.Numbers) > 0 && len(y.Numbers) > 0 {
		return false
	}
	x.Title += cut + y.Title
	x.Numbers = append(x.Numbers, y.Numbers...)
	x.Count = max(x.Count, y.Count)
	x.Open, x.Bare = x.Open || y.Open, x.Bare || y.Bare
	if y.SizeText != "" {
		x.Size, x.SizeText, x.Trouble = y.Size, y.SizeText, y.Trouble
	}
	x.Grade, x.Paper = x.Grade+y.Grade, x.Paper+y.Paper
	return true
}

// itemOf reads one chunk.
func (r *Namer) itemOf(c chunk, paper, number, bare bool) (Item, bool) {
	x := Item{}
	kept := c.pieces
	if at := c.bareNumber(); at >= 0 && !bare {
		kept = slices.Clone(kept)
		kept[at].Kind = someWords
	}
	c.pieces = kept
	last := c.lastWords()
	if c.pieces[last].Kind == someWords && (paper || number || r.surePaperAtEnd(c.pieces[last].Text)) {
		c.pieces = slices.Clone(c.pieces)
		c.pieces[last].Text = x.takeEnd(r, c.pieces[last].Text, paper, number)
	}
	for _, p := range c.pieces {
		if !x.add(p) {
			return x, false
		}
	}
	x.Bare = bare
	x.Title = titleOf(c.pieces)
	x.Numbers = Together(x.Numbers)
	return x, true
}

func (r *Namer) surePaperAtEnd(words string) bool {
	_, paper, sure := r.paperAtEnd(words)
	return paper != "" && sure
}

// takeEnd takes what the end of a title was read as, and returns what is left of it.
func (x *Item) takeEnd(r *Namer, words string, paper, number bool) string {
	title, p, sure := r.paperAtEnd(words)
	if p != "" && (paper || sure) {
		x.Paper, words = p, title
	}
	if !number {
		return words
	}
	if m := lastSlip.FindStringSubmatch(words); m != nil {
		x.Numbers = append(x.Numbers, NumberList(m[2]+"/"+m[3])...)
		return m[1]
	}
	if m := lastNumber.FindStringSubmatch(words); m != nil {
		x.Numbers = append(x.Numbers, NumberList(m[2])...)
		return m[1]
	}
	return words
}

// add takes an attribute; false when the print has another of its kind.
func (x *Item) add(p piece) bool {
	switch p.Kind {
	case ASize:
		if x.SizeText != "" && (x.Size != p.size || x.Size == (cell.SizeRead{})) {
			return false
		}
		x.Size, x.SizeText, x.Trouble = p.size, p.Text, p.trouble
	case aNumber:
		x.Numbers = append(x.Numbers, p.numbers...)
	case aCount:
		if x.Count > 0 {
			return false
		}
		x.Count = p.count
	case aGrade:
		if x.Grade != "" && x.Grade != p.Text {
			return false
		}
		x.Grade = p.Text
	case aPaper:
		if x.Paper != "" && x.Paper != p.Text {
			return false
		}
		x.Paper = p.Text
	case isOpen:
		x.Open = true
	}
	return true
}

// titleOf joins the words of a chunk: as they stand where nothing was taken out, else with a comma where a mark stood between them.
func titleOf(all []piece) string {
	whole := true
	for _, p := range all {
		whole = whole && (p.Kind == someWords || p.Kind == aGap || p.Kind == aCut)
	}
	var b strings.Builder
	mark := ""
	for i, p := range all {
		switch {
		case whole && (p.Kind != aCut || i+1 < len(all)):
			b.WriteString(p.Text)
			if p.Kind == someWords && i+1 < len(all) && all[i+1].Kind == someWords {
				b.WriteByte(' ')
			}
		case p.Kind == aGap || p.Kind == aCut:
			mark = ", "
		case p.Kind == someWords:
			if b.Len() > 0 {
				b.WriteString(FirstOf(mark, " "))
			}
			b.WriteString(p.Text)
			mark = ""
		}
	}
	return strings.TrimSpace(strings.ReplaceAll(b.String(), "\n", ", "))
}

func FirstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// words tells an item in a line: "Heron, 30x40 cm, 7/90".
func (x Item) words() string {
	parts := []string{x.Title}
	for _, s := range []string{x.SizeText, x.Grade, x.Paper} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	for _, l := range x.Numbers {
		for _, n := range l.Numbers {
			s := n.String()
			if l.Of > 0 {
				s += "/" + strconv.Itoa(l.Of)
			}
			parts = append(parts, s)
		}
	}
	if x.Count > 1 {
		parts = append(parts, strconv.Itoa(x.Count)+" prints")
	}
	if x.Open {
		parts = append(parts, "open edition")
	}
	return strings.Join(parts, ", ")
}

// GoesOn reports a title that begins with a small letter, as what follows a comma within a title does.
func GoesOn(title string) bool {
	first, _ := utf8.DecodeRuneInString(title)
	return unicode.IsLower(first)
}

// All reports that every title of a reading passes.
func (x Naming) All(known func(string) bool) bool {
	return !slices.ContainsFunc(x.Items, func(i Item) bool { return !known(i.Title) })
}

// Titles tells the titles, sizes and papers of a reading.
func (x Naming) Titles() string {
	var parts []string
	for _, i := range x.Items {
		parts = append(parts, strings.Join(strings.Fields(strings.Join([]string{i.Title, i.SizeText, i.Paper}, " ")), " "))
	}
	return strings.Join(parts, " | ")
}

func (x Naming) Words() string {
	var parts []string
	for _, i := range x.Items {
		parts = append(parts, "“"+i.words()+"”")
	}
	if len(parts) == 1 {
		return "one kind of print: " + parts[0]
	}
	return strconv.Itoa(len(parts)) + " prints: " + strings.Join(parts, " and ")
}
