package intake

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/edition"
)

// item is one print that a cell names. What it does not say is zero.
type item struct {
	title       string
	size        sizeRead
	sizeText    string
	grade       string
	paper       string
	numbers     []numbersRead // of one edition each
	count       int
	open        bool
	trouble     trouble // of its size
	bare        bool    // its number is written without a limit: "Heron #4"
	commaBefore bool    // nothing but a comma stands before it
}

func (x item) copies() int { return max(1, x.count, countNumbers(x.numbers)) }

func countNumbers(all []numbersRead) int {
	n := 0
	for _, l := range all {
		n += len(l.numbers)
	}
	return n
}

// naming is one way in which a cell can be read. Each bit of apart is one doubtful place that was taken apart; with none of them the
// doubtful words stay in the title.
type naming struct {
	items []item
	apart int
	more  bool // there are further readings, too many to be looked at
}

func (x naming) prints() int {
	n := 0
	for _, i := range x.items {
		n += i.copies()
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
	seen   map[string][]naming // a text is read once
}

// NewNamer reads for a studio with these papers; unit is that of sizes without one.
func NewNamer(papers []string, unit string) *Namer {
	return &Namer{papers, unit, map[string][]naming{}}
}

// namings returns the ways in which a text can be read, the one that leaves the most together first. There is at least one.
func (r *Namer) namings(text string) []naming {
	if known, ok := r.seen[text]; ok {
		return known
	}
	all := r.waysToRead(text)
	r.seen[text] = all
	return all
}

func (r *Namer) waysToRead(text string) []naming {
	pieces := r.attributes(piecesOf(text, r.unit))
	chunks := chunksOf(pieces)
	if len(chunks) == 0 {
		return []naming{untitled(text, pieces)}
	}
	var doubts []doubt
	for i := range chunks {
		if i > 0 && !chunks[i-1].sharesKind(chunks[i]) {
			doubts = append(doubts, doubt{i, cutHere})
		}
		doubts = append(doubts, r.doubtsIn(chunks, i)...)
	}
	var all []naming
	for _, bits := range ways(len(doubts)) {
		if x, ok := r.readAs(chunks, doubts, bits); ok {
			x.more = len(doubts) > mostDoubts
			all = append(all, x)
		}
	}
	if len(all) == 0 {
		return []naming{{items: []item{{title: tidy(text)}}}}
	}
	return all
}

// untitled reads a cell without words: numbers with their limit are numbers; anything else is a title, such as "No. 5".
func untitled(text string, all []piece) naming {
	x, numbered := item{}, false
	for _, p := range all {
		if !x.add(p) {
			return naming{items: []item{{title: tidy(text)}}}
		}
		numbered = numbered || p.kind == aNumber && p.numbers[0].of > 0
	}
	if !numbered {
		return naming{items: []item{{title: tidy(text)}}}
	}
	x.numbers = together(x.numbers)
	return naming{items: []item{x}}
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
		for end < len(all) && all[end].kind != aCut {
			end++
		}
		part, cut := all[i:end], ""
		if part[0].kind == aCut {
			part, cut = part[1:], part[0].text
		}
		if now.titled() && (chunk{pieces: part}).titled() {
			out = append(out, now)
			now = chunk{cut: cut}
		} else if cut != "" && len(now.pieces) > 0 {
			now.pieces = append(now.pieces, piece{kind: aCut, text: cut})
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
	return slices.ContainsFunc(c.pieces, func(p piece) bool { return p.kind == someWords })
}

// sharesKind reports that both say a size, or a number, or a count: then they are two prints.
func (c chunk) sharesKind(d chunk) bool {
	for _, k := range []pieceKind{aSize, aNumber, aCount} {
		if c.has(k) && d.has(k) {
			return true
		}
	}
	return false
}

func (c chunk) has(k pieceKind) bool {
	return slices.ContainsFunc(c.pieces, func(p piece) bool { return p.kind == k })
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
	words := c.pieces[last].text
	if _, paper, sure := r.paperAtEnd(words); paper != "" && !sure {
		all = append(all, doubt{i, paperHere})
	}
	next := last + 2
	switch {
	case next < len(c.pieces) && c.pieces[next].kind == aNumber && c.pieces[next-1].kind == aCut && lastNumber.MatchString(words):
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
		if c.pieces[i].kind == someWords {
			return i
		}
	}
	return 0
}

// bareNumber returns the place of the first number, when no limit stands with it and it is no proof; else -1.
func (c chunk) bareNumber() int {
	for i, p := range c.pieces {
		if p.kind != aNumber {
			continue
		}
		if n := p.numbers[0]; n.of > 0 || n.numbers[0].Kind != edition.Numbered || len(n.numbers) > 1 {
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
			return strings.Join(all[:from], " "), p, r.paperNamed(tail) != ""
		}
	}
	return words, "", false
}

// readAs reads the chunks with the doubts of bits taken apart. ok is false when that cannot be: two sizes of one print.
func (r *Namer) readAs(chunks []chunk, doubts []doubt, bits int) (naming, bool) {
	x := naming{apart: bits}
	taken := func(i int, k doubtKind) bool {
		at := slices.Index(doubts, doubt{i, k})
		return at >= 0 && bits&(1<<at) != 0
	}
	for i, c := range chunks {
		it, ok := r.itemOf(c, taken(i, paperHere), taken(i, numberHere), taken(i, bareHere))
		if !ok {
			return x, false
		}
		it.commaBefore = strings.TrimSpace(c.cut) == ","
		if i > 0 && slices.Contains(doubts, doubt{i, cutHere}) && !taken(i, cutHere) {
			if ok = x.items[len(x.items)-1].join(it, c.cut); !ok {
				return x, false
			}
			continue
		}
		x.items = append(x.items, it)
	}
	return x, true
}

// join puts the words of two chunks into one title.
func (x *item) join(y item, cut string) bool {
	if cut = strings.ReplaceAll(cut, "\n", ", "); x.count > 0 && y.count > 0 || x.size != (sizeRead{}) && y.size != (sizeRead{}) || x.sizeText != "" && y.sizeText != "" ||
		x.grade != "" && y.grade != "" || x.paper != "" && y.paper != "" || len(x.numbers) > 0 && len(y.numbers) > 0 {
		return false
	}
	x.title += cut + y.title
	x.numbers = append(x.numbers, y.numbers...)
	x.count = max(x.count, y.count)
	x.open, x.bare = x.open || y.open, x.bare || y.bare
	if y.sizeText != "" {
		x.size, x.sizeText, x.trouble = y.size, y.sizeText, y.trouble
	}
	x.grade, x.paper = x.grade+y.grade, x.paper+y.paper
	return true
}

// itemOf reads one chunk.
func (r *Namer) itemOf(c chunk, paper, number, bare bool) (item, bool) {
	x := item{}
	kept := c.pieces
	if at := c.bareNumber(); at >= 0 && !bare {
		kept = slices.Clone(kept)
		kept[at].kind = someWords
	}
	c.pieces = kept
	last := c.lastWords()
	if c.pieces[last].kind == someWords && (paper || number || r.surePaperAtEnd(c.pieces[last].text)) {
		c.pieces = slices.Clone(c.pieces)
		c.pieces[last].text = x.takeEnd(r, c.pieces[last].text, paper, number)
	}
	for _, p := range c.pieces {
		if !x.add(p) {
			return x, false
		}
	}
	x.bare = bare
	x.title = titleOf(c.pieces)
	x.numbers = together(x.numbers)
	return x, true
}

func (r *Namer) surePaperAtEnd(words string) bool {
	_, paper, sure := r.paperAtEnd(words)
	return paper != "" && sure
}

// takeEnd takes what the end of a title was read as, and returns what is left of it.
func (x *item) takeEnd(r *Namer, words string, paper, number bool) string {
	title, p, sure := r.paperAtEnd(words)
	if p != "" && (paper || sure) {
		x.paper, words = p, title
	}
	if !number {
		return words
	}
	if m := lastSlip.FindStringSubmatch(words); m != nil {
		x.numbers = append(x.numbers, numberList(m[2]+"/"+m[3])...)
		return m[1]
	}
	if m := lastNumber.FindStringSubmatch(words); m != nil {
		x.numbers = append(x.numbers, numberList(m[2])...)
		return m[1]
	}
	return words
}

// add takes an attribute; false when the print has another of its kind.
func (x *item) add(p piece) bool {
	switch p.kind {
	case aSize:
		if x.sizeText != "" && (x.size != p.size || x.size == (sizeRead{})) {
			return false
		}
		x.size, x.sizeText, x.trouble = p.size, p.text, p.trouble
	case aNumber:
		x.numbers = append(x.numbers, p.numbers...)
	case aCount:
		if x.count > 0 {
			return false
		}
		x.count = p.count
	case aGrade:
		if x.grade != "" && x.grade != p.text {
			return false
		}
		x.grade = p.text
	case aPaper:
		if x.paper != "" && x.paper != p.text {
			return false
		}
		x.paper = p.text
	case isOpen:
		x.open = true
	}
	return true
}

// titleOf joins the words of a chunk: as they stand where nothing was taken out, else with a comma where a mark stood between them.
func titleOf(all []piece) string {
	whole := true
	for _, p := range all {
		whole = whole && (p.kind == someWords || p.kind == aGap || p.kind == aCut)
	}
	var b strings.Builder
	mark := ""
	for i, p := range all {
		switch {
		case whole && (p.kind != aCut || i+1 < len(all)):
			b.WriteString(p.text)
			if p.kind == someWords && i+1 < len(all) && all[i+1].kind == someWords {
				b.WriteByte(' ')
			}
		case p.kind == aGap || p.kind == aCut:
			mark = ", "
		case p.kind == someWords:
			if b.Len() > 0 {
				b.WriteString(firstOf(mark, " "))
			}
			b.WriteString(p.text)
			mark = ""
		}
	}
	return strings.TrimSpace(strings.ReplaceAll(b.String(), "\n", ", "))
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// words tells an item in a line: "Heron, 30x40 cm, 7/90".
func (x item) words() string {
	parts := []string{x.title}
	for _, s := range []string{x.sizeText, x.grade, x.paper} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	for _, l := range x.numbers {
		for _, n := range l.numbers {
			s := n.String()
			if l.of > 0 {
				s += "/" + strconv.Itoa(l.of)
			}
			parts = append(parts, s)
		}
	}
	if x.count > 1 {
		parts = append(parts, strconv.Itoa(x.count)+" prints")
	}
	if x.open {
		parts = append(parts, "open edition")
	}
	return strings.Join(parts, ", ")
}

// goesOn reports a title that begins with a small letter, as what follows a comma within a title does.
func goesOn(title string) bool {
	first, _ := utf8.DecodeRuneInString(title)
	return unicode.IsLower(first)
}

// all reports that every title of a reading passes.
func (x naming) all(known func(string) bool) bool {
	return !slices.ContainsFunc(x.items, func(i item) bool { return !known(i.title) })
}

// titles tells the titles, sizes and papers of a reading.
func (x naming) titles() string {
	var parts []string
	for _, i := range x.items {
		parts = append(parts, strings.Join(strings.Fields(strings.Join([]string{i.title, i.sizeText, i.paper}, " ")), " "))
	}
	return strings.Join(parts, " | ")
}

func (x naming) words() string {
	var parts []string
	for _, i := range x.items {
		parts = append(parts, "“"+i.words()+"”")
	}
	if len(parts) == 1 {
		return "one kind of print: " + parts[0]
	}
	return strconv.Itoa(len(parts)) + " prints: " + strings.Join(parts, " and ")
}
