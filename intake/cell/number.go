package cell

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/intake"
)

// NumbersRead is what a cell of numbers says: the impressions and, when written, of how many.
type NumbersRead struct {
	Numbers []edition.Number
	Of      int // 0 = not written; for a proof, of how many proofs
}

// MostNumbers bounds the prints of one cell.
const MostNumbers = 50

// NoNumber are words for an impression without a number.
var NoNumber = map[string]bool{"": true, "open": true, "oe": true, "open edition": true, "unnumbered": true, "none": true, "n a": true, "na": true, "tbd": true, "no number": true}

// NumbersOf reads a cell of numbers: "17/250", "#17", "no. 17", "AP 2", "AP II", "3 of 75", "17, 18", "17 + 18", "17 to 19".
// ok is false when it holds none; then the trouble is why, or none.
func NumbersOf(c intake.Cell) (n NumbersRead, ok bool, t Trouble) {
	switch c.Kind {
	case intake.Blank:
		return n, false, t
	case intake.Date:
		return n, false, Trouble{"number.day", "the spreadsheet program took a number for a day: " + fault.Clip(c.Text), "format the column as text and write the number again, like 3/25", true, ""}
	case intake.Number:
		return NumbersText(c.Number)
	case intake.Words:
		return NumbersText(c.Text)
	}
	return n, false, badNumber(c.Text)
}

func badNumber(text string) Trouble {
	return Trouble{"number", "this is no number of a print: " + fault.Clip(text), "write it like 17, 17/250 or AP 2", true, ""}
}

var (
	NumberRange = regexp.MustCompile(`^#? ?([0-9]{1,6}) ?(?:-|–|to|bis) ?#? ?([0-9]{1,6})(?: ?(?:/|of) ?([0-9]{1,6}))?$`)
	NumberParts = regexp.MustCompile(` ?(?:,|;|\+|&| and | und | et ) ?`)
	NumberWords = regexp.MustCompile(`^(?:number|num\.?|no\.?|nos\.?|nr\.?|nº|n°|№|print|edition|ed\.?|#)+ ?`)
	numberOne   = regexp.MustCompile(`^#? ?([0-9]{1,7}) ?(?:(?:/|of|von|sur|out of) ?([0-9]{1,7}))?$`)
	proofOne    = regexp.MustCompile(`^(a\. ?p\.?|ap|e\. ?a\.?|ea|artists? proof|artist's proofs?|artist’s proofs?|p\. ?p\.?|pp|printers? proof|printer's proof|printer’s proof|h\. ?c\.?|hc|hors commerce|b\. ?a\. ?t\.?|bat|bon [aà] tirer)[ .#:-]*([0-9]{1,4}|[ivxl]{1,8})? ?(?:(?:/|of) ?([0-9]{1,4}|[ivxl]{1,8}))?$`)
)

func NumbersText(text string) (n NumbersRead, ok bool, t Trouble) {
	s := strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(text, "\u00a0", " ")), " "))
	if NoNumber[intake.Fold(s)] {
		return n, false, t
	}
	if len(s) > 200 {
		return n, false, badNumber(text)
	}
	s = NumberWords.ReplaceAllString(s, "")
	if m := NumberRange.FindStringSubmatch(s); m != nil {
		return RangeOf(text, m)
	}
	for _, part := range NumberParts.Split(s, MostNumbers+1) {
		one, of, ok := OneNumber(NumberWords.ReplaceAllString(strings.TrimSpace(part), ""))
		if !ok || len(n.Numbers) == MostNumbers || n.Of != 0 && of != 0 && of != n.Of {
			return NumbersRead{}, false, badNumber(text)
		}
		n.Numbers, n.Of = append(n.Numbers, one), max(n.Of, of)
	}
	first := n.Numbers[0]
	if first.N == 0 {
		return NumbersRead{}, false, Trouble{"number.proof", "which " + first.Kind.Long() + " it is, is not said: " + fault.Clip(text), "write it like " + string(first.Kind) + " 1", true, ""}
	}
	for _, one := range n.Numbers {
		if n.Of != 0 && one.N > n.Of && one.Kind == first.Kind {
			return n, true, Beyond(text, one, n.Of)
		}
	}
	return n, true, t
}

// Beyond tells 250/17, which may be 17/250 or a slip.
func Beyond(text string, one edition.Number, of int) Trouble {
	return Trouble{"number.beyond", fmt.Sprintf("%s is more than the %d there are: %s", one, of, fault.Clip(text)), fmt.Sprintf("write %d/%d if that was meant, or correct it", of, one.N), true, ""}
}

func OneNumber(s string) (n edition.Number, of int, ok bool) {
	if m := numberOne.FindStringSubmatch(s); m != nil {
		n.Kind = edition.Numbered
		n.N, _ = strconv.Atoi(m[1])
		of, _ = strconv.Atoi(m[2])
		return n, of, n.N > 0 && (m[2] == "" || of > 0)
	}
	m := proofOne.FindStringSubmatch(s)
	if m == nil {
		return n, 0, false
	}
	n.Kind = proofKind(m[1])
	if n.N, ok = figure(m[2]); !ok {
		return n, 0, false
	}
	of, ok = figure(m[3])
	if n.N == 0 && of == 1 {
		n.N = 1
	}
	return n, of, ok
}

func proofKind(word string) edition.Kind {
	switch word = strings.ReplaceAll(strings.ReplaceAll(word, ".", ""), " ", ""); {
	case word == "pp" || strings.HasPrefix(word, "printer"):
		return edition.PP
	case word == "hc" || strings.HasPrefix(word, "hors"):
		return edition.HC
	case word == "bat" || strings.HasPrefix(word, "bon"):
		return edition.BAT
	}
	return edition.AP
}

// figure reads a number in figures or in Roman ones; 0 for "".
func figure(s string) (int, bool) {
	if s == "" {
		return 0, true
	}
	if n, err := strconv.Atoi(s); err == nil {
		return n, n > 0
	}
	value := map[byte]int{'i': 1, 'v': 5, 'x': 10, 'l': 50}
	total := 0
	for i := range len(s) {
		v := value[s[i]]
		if i+1 < len(s) && value[s[i+1]] > v {
			v = -v
		}
		total += v
	}
	return total, total > 0 && roman(total) == s
}

func roman(n int) string {
	var b strings.Builder
	for _, r := range []struct {
		n int
		s string
	}{{50, "l"}, {40, "xl"}, {10, "x"}, {9, "ix"}, {5, "v"}, {4, "iv"}, {1, "i"}} {
		for ; n >= r.n && b.Len() < 20; n -= r.n {
			b.WriteString(r.s)
		}
	}
	return b.String()
}

func RangeOf(text string, m []string) (n NumbersRead, ok bool, t Trouble) {
	from, _ := strconv.Atoi(m[1])
	to, _ := strconv.Atoi(m[2])
	n.Of, _ = strconv.Atoi(m[3])
	if from < 1 || to <= from || to-from >= MostNumbers {
		return NumbersRead{}, false, badNumber(text)
	}
	for i := from; i <= to; i++ {
		n.Numbers = append(n.Numbers, edition.Number{Kind: edition.Numbered, N: i})
	}
	if n.Of != 0 && to > n.Of {
		return n, true, Beyond(text, n.Numbers[len(n.Numbers)-1], n.Of)
	}
	return n, true, t
}

// WholeNumber reads a whole number that is not negative.
func WholeNumber(c intake.Cell) (int, bool) {
	text := c.Number
	if c.Kind == intake.Words {
		text = strings.TrimPrefix(strings.ToLower(intake.Clean(c.Text)), "x")
	}
	n, err := strconv.Atoi(strings.TrimSpace(text))
	return n, err == nil && n >= 0 && n <= 1_000_000
}
