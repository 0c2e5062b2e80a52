// Package letters knows the type that the papers are printed in: its embedded faces, what of a text they can draw, and how
// a line is set in them, joined and ordered as its script asks. It is asked when a text is typed too, so that nobody learns
// at the printer that a name cannot be printed. It draws nothing.
//
// The Latin, Greek and Cyrillic letters are those of the screen, as roman, italic and bold; Hebrew, Arabic, Thai,
// Devanagari, Armenian, Georgian, Korean, Chinese and Japanese ones, and signs, have a face each.
package letters

import (
	"slices"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/language"
	"golang.org/x/text/unicode/norm"
)

// Gap stands where letters are lacking: a line to write them onto by hand.
const Gap = "____"

// Clean returns text as the type can draw it, composed and without invisible characters, and the characters that
// it cannot, in their order. A letter that is a variant of drawable ones (full-width letters, ligatures) is
// drawn as those when no face has it; each run of others becomes a gap to write them into.
func Clean(text string) (string, []rune) {
	if plainASCII(text) {
		return text, nil
	}
	var b strings.Builder
	var missing []rune
	inRun := false
	line := []rune(norm.NFC.String(string(seen([]rune(strings.ToValidUTF8(text, "\uFFFD"))))))
	for _, at := range new(Setter).Clusters(line) {
		cluster := line[at[0]:at[1]]
		s, ok := drawn(cluster)
		if !ok {
			missing = append(missing, cluster...)
			if !inRun {
				b.WriteString(Gap)
			}
		}
		inRun = !ok
		b.WriteString(s)
	}
	return b.String(), missing
}

// seen returns a line without what is not drawn, with plain spaces and hyphens.
func seen(line []rune) []rune {
	out := line[:0:len(line)]
	for i, r := range line {
		switch {
		case r == '\n':
			out = append(out, r)
		case joiner(r) && i > 0 && joins(line[i-1]), r == leftMark, r == rightMark:
			out = append(out, r)
		case hidden(r):
		case unicode.IsSpace(r) || unicode.IsControl(r):
			out = append(out, ' ')
		case r == '\u2010' || r == '\u2011':
			out = append(out, '-')
		default:
			out = append(out, r)
		}
	}
	return out
}

// joins reports letters that a joiner behind them is for: without it, Persian words would be joined wrongly.
func joins(r rune) bool {
	sc := language.LookupScript(r)
	return sc == language.Arabic || sc == language.Devanagari
}

// drawn returns how a cluster is drawn, and whether it can be.
func drawn(cluster []rune) (string, bool) {
	if cluster[0] == '\n' || faceFor(cluster, Roman) != nil {
		return string(cluster), true
	}
	variant := []rune(norm.NFKC.String(string(cluster)))
	for _, at := range new(Setter).Clusters(variant) {
		if faceFor(variant[at[0]:at[1]], Roman) == nil {
			return "", false
		}
	}
	return string(variant), true
}

// hidden reports characters that draw nothing by themselves: joiners, what embeds a direction, variation
// selectors, the soft hyphen.
func hidden(r rune) bool {
	return r == '\u00AD' || r == '\r' || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r)
}

// plainASCII reports lines of the letters, digits and signs of ASCII, all of which the faces draw.
func plainASCII(text string) bool {
	for i := range len(text) {
		if (text[i] < ' ' || text[i] > '~') && text[i] != '\n' {
			return false
		}
	}
	return true
}

// Lacking returns the characters of a text that the type lacks, each once, in order of their code points; nil when
// it can be printed whole.
func Lacking(text string) []rune {
	_, missing := Clean(text)
	slices.Sort(missing)
	return slices.Compact(missing)
}

// Script names the script of a character: "Han", "Arabic"; "symbol" when it belongs to none.
func Script(r rune) string {
	for name, table := range unicode.Scripts {
		if name != "Common" && name != "Inherited" && unicode.Is(table, r) {
			return name
		}
	}
	return "symbol"
}

// mostNamed is how many lacking characters a sentence names.
const mostNamed = 12

// Named names the characters that the type lacks of a text: "東京 (Han)"; "" when it can be printed whole.
func Named(text string) string {
	bad := Lacking(text)
	if len(bad) == 0 {
		return ""
	}
	var scripts []string
	for _, r := range bad {
		if s := Script(r); !slices.Contains(scripts, s) {
			scripts = append(scripts, s)
		}
	}
	slices.Sort(scripts)
	named := string(bad[:min(mostNamed, len(bad))])
	if len(bad) > mostNamed {
		named += " …"
	}
	return named + " (" + strings.Join(scripts, ", ") + ")"
}
