package naming

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"solander/edition"
	"solander/intake"
	"solander/intake/cell"
)

// A cell that names prints is cut into pieces: words, sizes, numbers, counts, and the marks between them. What a piece is, is
// said by its form alone; what the pieces come to together is decided in naming.go.
type piece struct {
	Kind    pieceKind
	Text    string // as it stands
	size    cell.SizeRead
	trouble cell.Trouble // of a size without a unit
	numbers []cell.NumbersRead
	count   int
}

type pieceKind uint8

const (
	someWords pieceKind = iota
	ASize
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

// PiecesOf cuts a text. unit is that of sizes without one.
func PiecesOf(text, unit string) []piece {
	s := Tidy(text)
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
			return []piece{{Kind: someWords, Text: s}}
		}
		if p, n := pieceAt(s, i, unit, i == words && begins(all)); n > 0 {
			i = put(i, p, n)
			for i < len(s) && s[i] == ' ' && p.Kind != aGap && p.Kind != aCut && !separates(s[i:]) {
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
	if intake.Fold(w) == "" {
		return piece{Kind: aGap, Text: w}
	}
	return piece{Kind: someWords, Text: w}
}

func separates(s string) bool { return cutForm.MatchString(s) || gapForm.MatchString(s) }

// begins reports a place where a print may begin: the first, or one behind a mark.
func begins(all []piece) bool {
	return len(all) == 0 || all[len(all)-1].Kind == aGap || all[len(all)-1].Kind == aCut
}

// Tidy joins the spaces of each line, and leaves out empty lines.
func Tidy(text string) string {
	var lines []string
	for _, line := range strings.Split(text, "\n") {
		if line = intake.Clean(line); line != "" {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "\n")
}

// pieceAt reads a piece that begins at i; n is 0 when none does.
func pieceAt(s string, i int, unit string, first bool) (p piece, n int) {
	rest := s[i:]
	if m := cutForm.FindString(rest); m != "" {
		return piece{Kind: aCut, Text: m}, len(m)
	}
	if m := gapForm.FindString(rest); m != "" {
		return piece{Kind: aGap, Text: m}, len(m)
	}
	if before, _ := utf8.DecodeLastRuneInString(s[:i]); i > 0 && inWord(before) {
		return p, 0
	}
	if first {
		if m := countForm.FindStringSubmatch(rest); m != nil && counts(rest[len(m[0]):]) {
			c, _ := cell.WholeNumber(intake.Cell{Kind: intake.Words, Text: m[1]})
			return piece{Kind: aCount, Text: m[0], count: c}, len(m[0])
		}
	}
	if m := behindForm.FindStringSubmatch(rest); m != nil && i > 0 && ends(rest, len(m[0])) {
		c, _ := cell.WholeNumber(intake.Cell{Kind: intake.Words, Text: m[1]})
		return piece{Kind: aCount, Text: m[0], count: c}, len(m[0])
	}
	if m := openForm.FindString(rest); m != "" && ends(rest, len(m)) {
		return piece{Kind: isOpen, Text: m}, len(m)
	}
	for _, form := range []*regexp.Regexp{sizeForm, namedForm} {
		if m := strings.TrimRight(form.FindString(rest), " "); m != "" && ends(rest, len(m)) {
			if z, ok, t := cell.SizeOf(m, unit); ok || t.Rule == "size.unit" {
				return piece{Kind: ASize, Text: m, size: z, trouble: t}, len(m)
			}
		}
	}
	for _, form := range []*regexp.Regexp{numberForm, proofForm} {
		if m := form.FindString(rest); m != "" && ends(rest, len(m)) {
			if list := NumberList(m); len(list) == 1 && !wrongWay(list[0]) {
				return piece{Kind: aNumber, Text: m, numbers: list}, len(m)
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
func wrongWay(n cell.NumbersRead) bool {
	for _, one := range n.Numbers {
		if n.Of > 0 && one.N > n.Of {
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

// NumberList reads numbers that may be of several editions: "4/60, 7/90", "4-6/60 + AP 2". Numbers of one kind and one edition stand
// together. nil when the text holds anything else. The limit that stands behind the last one holds for those before it: "4, 5/60".
func NumberList(text string) []cell.NumbersRead {
	s := strings.ToLower(intake.Clean(text))
	if s == "" || len(s) > 200 {
		return nil
	}
	s = cell.NumberWords.ReplaceAllString(s, "")
	var all []cell.NumbersRead
	total := 0
	for _, part := range cell.NumberParts.Split(s, cell.MostNumbers+1) {
		part = cell.NumberWords.ReplaceAllString(strings.TrimSpace(part), "")
		var n cell.NumbersRead
		if m := cell.NumberRange.FindStringSubmatch(part); m != nil {
			read, ok, _ := cell.RangeOf(part, m)
			if !ok {
				return nil
			}
			n = read
		} else {
			one, of, ok := cell.OneNumber(part)
			if !ok {
				return nil
			}
			n = cell.NumbersRead{Numbers: []edition.Number{one}, Of: of}
		}
		if total += len(n.Numbers); total > cell.MostNumbers {
			return nil
		}
		all = append(all, n)
	}
	return Together(all)
}

// Together joins neighbours of one kind and one edition.
func Together(all []cell.NumbersRead) []cell.NumbersRead {
	var out []cell.NumbersRead
	for _, n := range all {
		if len(out) > 0 {
			last := &out[len(out)-1]
			if last.Numbers[0].Kind == n.Numbers[0].Kind && (last.Of == 0 || n.Of == 0 || last.Of == n.Of) {
				last.Numbers = append(append([]edition.Number(nil), last.Numbers...), n.Numbers...)
				last.Of = max(last.Of, n.Of)
				continue
			}
		}
		out = append(out, n)
	}
	return out
}
