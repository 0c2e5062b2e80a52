// Package letters knows the type that the papers are printed in: its embedded faces, which letters they hold
// (Latin, Greek, Cyrillic, Hebrew), and what a text lacks of them. It is asked when a text is typed, so that nobody
// learns at the printer that a name cannot be printed. It draws nothing.
package letters

import (
	"encoding/binary"
	"slices"
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationmonoregular"
	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-fonts/liberation/liberationserifitalic"
	"codeberg.org/go-fonts/liberation/liberationserifregular"
	"golang.org/x/text/unicode/norm"
)

// Faces are the embedded fonts (SIL Open Font Licence), by family and style.
var Faces = map[string][]byte{
	"serif":  liberationserifregular.TTF,
	"serifI": liberationserifitalic.TTF,
	"sans":   liberationsansregular.TTF,
	"sansB":  liberationsansbold.TTF,
	"mono":   liberationmonoregular.TTF,
}

// glyphs returns the characters that all faces can draw.
var glyphs = sync.OnceValue(func() map[rune]bool {
	var all map[rune]bool
	for _, ttf := range Faces {
		has := characters(ttf)
		if all == nil {
			all = has
			continue
		}
		for r := range all {
			if !has[r] {
				delete(all, r)
			}
		}
	}
	return all
})

// characters reads which characters of the basic plane a TrueType font has a glyph for.
// Source: OpenType specification, table "cmap", format 4.
func characters(ttf []byte) map[rune]bool {
	u16 := func(at int) int { return int(binary.BigEndian.Uint16(ttf[at:])) }
	u32 := func(at int) int { return int(binary.BigEndian.Uint32(ttf[at:])) }
	has := make(map[rune]bool)
	for i := range u16(4) {
		if table := 12 + 16*i; string(ttf[table:table+4]) == "cmap" {
			cmap := u32(table + 8)
			for j := range u16(cmap + 2) {
				if sub := cmap + u32(cmap+4+8*j+4); u16(sub) == 4 {
					segments(u16, sub, has)
				}
			}
		}
	}
	return has
}

// segments adds the characters of one subtable of format 4.
func segments(u16 func(int) int, sub int, has map[rune]bool) {
	twice := u16(sub + 6)
	ends := sub + 14
	starts := ends + twice + 2
	deltas, offsets := starts+twice, starts+2*twice
	for s := 0; s < twice; s += 2 {
		for c := u16(starts + s); c <= u16(ends+s) && c < 0xFFFF; c++ {
			glyph := c
			if off := u16(offsets + s); off != 0 {
				glyph = u16(offsets + s + off + 2*(c-u16(starts+s)))
			}
			if glyph != 0 && (glyph+u16(deltas+s))&0xFFFF != 0 {
				has[rune(c)] = true
			}
		}
	}
}

// Gap stands where letters are lacking: a line to write them onto by hand.
const Gap = "____"

// Clean returns text as the type can draw it, composed and without invisible characters, and the characters that
// it cannot, in their order. A character that is a variant of drawable ones (full-width letters, ligatures) is
// drawn as those; each run of others becomes a gap to write them into.
func Clean(text string) (string, []rune) {
	var b strings.Builder
	var missing []rune
	inRun := false
	for _, r := range norm.NFC.String(strings.ToValidUTF8(text, "\uFFFD")) {
		s := plain(r)
		if s == "" && !hidden(r) {
			missing = append(missing, r)
			if !inRun {
				b.WriteString(Gap)
			}
			inRun = true
			continue
		}
		inRun = inRun && s == ""
		b.WriteString(s)
	}
	return b.String(), missing
}

// plain returns how a character is drawn; "" when it cannot be, or needs not be.
func plain(r rune) string {
	switch {
	case r == '\n':
		return "\n"
	case hidden(r):
		return ""
	case unicode.IsSpace(r) || unicode.IsControl(r):
		return " "
	case r == '\u2010' || r == '\u2011':
		return "-"
	case glyphs()[r]:
		return string(r)
	}
	variant := norm.NFKC.String(string(r))
	if variant == string(r) {
		return ""
	}
	for _, v := range variant {
		if !glyphs()[v] && v != ' ' {
			return ""
		}
	}
	return variant
}

// hidden reports characters that draw nothing by themselves: joiners, marks of direction, variation
// selectors, the soft hyphen.
func hidden(r rune) bool {
	return r == '\u00AD' || r == '\r' || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r)
}

// plainASCII reports a text of the letters, digits and signs of ASCII, all of which the faces draw.
func plainASCII(text string) bool {
	for i := range len(text) {
		if text[i] < ' ' || text[i] > '~' {
			return false
		}
	}
	return true
}

// Lacking returns the characters of a text that the type lacks, each once, in order of their code points; nil when
// it can be printed whole.
func Lacking(text string) []rune {
	if plainASCII(text) {
		return nil
	}
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
