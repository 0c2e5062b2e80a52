package intake

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/edition"
)

// A cell that names prints is cut into pieces: words, sizes, numbers, counts, and the marks between them. What a piece is, is
// said by its form alone; what the pieces come to together is decided in naming.go.
type piece struct {
	kind    pieceKind
	text    string // as it stands
	size    sizeRead
	trouble trouble // of a size without a unit
	numbers []numbersRead
	count   int
}

type pieceKind uint8

const (
	someWords pieceKind = iota
	aSize
	aNumber
	aCount // "2x" before a print, "x2" behind it
	aGrade
	aPaper
	isOpen // "open edition"
	aGap   // a mark within one print: a bracket, a dash
	aCut   // a mark that may stand between two prints: a comma, a plus, "and", a line end
)

const (
	oneSide = `[0-9]{1,4}(?:[.,][0-9]{1,3})?(?: ?[0-9]/[0-9]{1,2})?`
	oneUnit = ` ?(?:"|”|″|''|inches|inch|in\b\.?|cm\b|mm\b|m\b)?`
)

// The forms of pieces, each from the place where it may begin. The end is looked at by ends.
var (
	cutForm    = regexp.MustCompile(`^(?:\s*[\n;+&,]\s*|\s+(?i:and|und|et|y|plus)\s+|\s+/\s+)`)
	gapForm    = regexp.MustCompile(`^(?:\s*[()\[\]|]\s*|\s+[-–—]\s+|\s*:\s+)`)
	sizeForm   = regexp.MustCompile(`^(?i:` + oneSide + oneUnit + ` ?(?:x|×|by|\*) ?` + oneSide + oneUnit + `)`)
	namedForm  = regexp.MustCompile(`^[AB][0-6]`)
	countForm  = regexp.MustCompile(`^([0-9]{1,2}) ?(?:[x×] ?|(?i:prints?|copies|copy)(?i: of)? )`)
	behindForm = regexp.MustCompile(`^[x×] ?([0-9]{1,2})`)
	numberForm = regexp.MustCompile(`^(?i:(?:#|no\.|nr\.|nº|n°|№|no|nr|number|num\.?) ?[0-9]{1,6}(?: ?[-–] ?[0-9]{1,6})?(?: ?(?:/|of|von|sur|de) ?[0-9]{1,6})?|[0-9]{1,6}(?: ?(?:-|–|to|bis) ?[0-9]{1,6})? ?(?:/ ?|(?:of|von|sur|de) )[0-9]{1,6})`)
	proofForm  = regexp.MustCompile(`^(?:(?:A\. ?P\.|AP|E\. ?A\.|EA|P\. ?P\.|PP|H\. ?C\.|HC|B\. ?A\. ?T\.|BAT)|(?i:artist['’]?s['’]? proofs?|printer['’]?s['’]? proofs?|hors commerce|bon [aà] tirer))(?i:[ .#:-]*(?:[0-9]{1,4}|[ivxl]{1,8})\b(?: ?(?:/|of) ?(?:[0-9]{1,4}|[ivxl]{1,8})\b)?)?`)
	openForm   = regexp.MustCompile(`^(?i:open edition|unlimited edition|offene auflage|édition ouverte|edición abierta)`)
)

// mostPieces bounds what one cell is cut into; a longer one is words.
const mostPieces = 120

// piecesOf cuts a text. unit is that of sizes without one.
func piecesOf(text, unit string) []piece {
	s := tidy(text)
	var all []piece
	words := 0 // where the words begin that go on at i
	put := func(i int, p piece, n int) int {
		if w := strings.TrimSpace(s[words:i]); w != "" {
			all = append(all, wordsPiece(w))
		}
		if n > 0 {
			all = append(all, p)
		}
		words = i + n
		return words
	}
	for i := 0; i < len(s); {
		if len(all) > mostPieces {
			return []piece{{kind: someWords, text: s}}
		}
		if p, n := pieceAt(s, i, unit, i == words && begins(all)); n > 0 {
			i = put(i, p, n)
			for i < len(s) && s[i] == ' ' && p.kind != aGap && p.kind != aCut && !separates(s[i:]) {
				i++
				words = i
			}
			continue
		}
		_, n := utf8.DecodeRuneInString(s[i:])
		i += n
	}
	put(len(s), piece{}, 0)
	return all
}

// wordsPiece is words; marks alone, such as a full stop behind a number, are a mark.
func wordsPiece(w string) piece {
	if Fold(w) == "" {
		return piece{kind: aGap, text: w}
	}
	return piece{kind: someWords, text: w}
}

func separates(s string) bool { return cutForm.MatchString(s) || gapForm.MatchString(s) }

// begins reports a place where a print may begin: the first, or one behind a mark.
func begins(all []piece) bool {
	return len(all) == 0 || all[len(all)-1].kind == aGap || all[len(all)-1].kind == aCut
}

// tidy joins the spaces of each line, and leaves out empty lines.
func tidy(text string) string {
	var lines []string
	for _, line := range strings.Split(text, "\n") {
		if line = clean(line); line != "" {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "\n")
}

// pieceAt reads a piece that begins at i; n is 0 when none does.
func pieceAt(s string, i int, unit string, first bool) (p piece, n int) {
	rest := s[i:]
	if m := cutForm.FindString(rest); m != "" {
		return piece{kind: aCut, text: m}, len(m)
	}
	if m := gapForm.FindString(rest); m != "" {
		return piece{kind: aGap, text: m}, len(m)
	}
	if before, _ := utf8.DecodeLastRuneInString(s[:i]); i > 0 && inWord(before) {
		return p, 0
	}
	if first {
		if m := countForm.FindStringSubmatch(rest); m != nil && counts(rest[len(m[0]):]) {
			c, _ := wholeNumber(Cell{Kind: Words, Text: m[1]})
			return piece{kind: aCount, text: m[0], count: c}, len(m[0])
		}
	}
	if m := behindForm.FindStringSubmatch(rest); m != nil && i > 0 && ends(rest, len(m[0])) {
		c, _ := wholeNumber(Cell{Kind: Words, Text: m[1]})
		return piece{kind: aCount, text: m[0], count: c}, len(m[0])
	}
	if m := openForm.FindString(rest); m != "" && ends(rest, len(m)) {
		return piece{kind: isOpen, text: m}, len(m)
	}
	for _, form := range []*regexp.Regexp{sizeForm, namedForm} {
		if m := strings.TrimRight(form.FindString(rest), " "); m != "" && ends(rest, len(m)) {
			if z, ok, t := sizeOf(m, unit); ok || t.rule == "size.unit" {
				return piece{kind: aSize, text: m, size: z, trouble: t}, len(m)
			}
		}
	}
	for _, form := range []*regexp.Regexp{numberForm, proofForm} {
		if m := form.FindString(rest); m != "" && ends(rest, len(m)) {
			if list := numberList(m); len(list) == 1 && !wrongWay(list[0]) {
				return piece{kind: aNumber, text: m, numbers: list}, len(m)
			}
		}
	}
	return p, 0
}

// counts reports what may stand behind "2x": a word, or a whole size.
func counts(rest string) bool {
	r, _ := utf8.DecodeRuneInString(rest)
	return unicode.IsLetter(r) || r == '"' || r == '“' || sizeForm.MatchString(rest)
}

// wrongWay reports 24/7: more than there are. As a number it may be a slip, as words a title.
func wrongWay(n numbersRead) bool {
	for _, one := range n.numbers {
		if n.of > 0 && one.N > n.of {
			return true
		}
	}
	return false
}

func inWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '/' }

// ends reports that no word, fraction or further side goes on behind n bytes.
func ends(s string, n int) bool {
	r, size := utf8.DecodeRuneInString(s[n:])
	if size == 0 || r == '\n' || unicode.IsSpace(r) {
		return true
	}
	if last, _ := utf8.DecodeLastRuneInString(s[:n]); !inWord(last) {
		return true
	}
	if (r == '.' || r == ',') && n+1 < len(s) && s[n+1] >= '0' && s[n+1] <= '9' {
		return r == ',' // "4/60,5/60" is two numbers
	}
	return !inWord(r) && r != '-' && r != '–' && r != '\''
}

// numberList reads numbers that may be of several editions: "4/60, 7/90", "4-6/60 + AP 2". Numbers of one kind and one edition stand
// together. nil when the text holds anything else. The limit that stands behind the last one holds for those before it: "4, 5/60".
func numberList(text string) []numbersRead {
	s := strings.ToLower(clean(text))
	if s == "" || len(s) > 200 {
		return nil
	}
	s = numberWords.ReplaceAllString(s, "")
	var all []numbersRead
	total := 0
	for _, part := range numberParts.Split(s, mostNumbers+1) {
		part = numberWords.ReplaceAllString(strings.TrimSpace(part), "")
		var n numbersRead
		if m := numberRange.FindStringSubmatch(part); m != nil {
			read, ok, _ := rangeOf(part, m)
			if !ok {
				return nil
			}
			n = read
		} else {
			one, of, ok := oneNumber(part)
			if !ok {
				return nil
			}
			n = numbersRead{[]edition.Number{one}, of}
		}
		if total += len(n.numbers); total > mostNumbers {
			return nil
		}
		all = append(all, n)
	}
	return together(all)
}

// together joins neighbours of one kind and one edition.
func together(all []numbersRead) []numbersRead {
	var out []numbersRead
	for _, n := range all {
		if len(out) > 0 {
			last := &out[len(out)-1]
			if last.numbers[0].Kind == n.numbers[0].Kind && (last.of == 0 || n.of == 0 || last.of == n.of) {
				last.numbers = append(append([]edition.Number(nil), last.numbers...), n.numbers...)
				last.of = max(last.of, n.of)
				continue
			}
		}
		out = append(out, n)
	}
	return out
}
