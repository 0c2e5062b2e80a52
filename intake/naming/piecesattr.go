package naming

import (
	"regexp"
	"strings"

	"solander/intake"
	"solander/intake/cell"
)

// surePaper are words that name a paper, wherever they end a title; likelyPaper are those that titles have, too: they name a paper
// behind a size, a number or a mark. Common practice, no source.
var (
	surePaper   = regexp.MustCompile(`(?i)^(?:(?:on|auf|sur|sobre) )?(?:[\pL-]+ )?(?:cotton rag|rag paper|cotton paper|etching paper|baryta paper|matte? paper|satin paper|lust(?:re|er) paper|gloss(?:y)? paper|photo paper|art paper|rice paper|bamboo paper|hemp paper|japan(?:ese)? paper|büttenpapier|baumwollpapier|papier coton|papel de algodón)(?:[ ,]+[0-9]{2,3} ?(?:gsm|g/m2|g/m²|g))?$`)
	likelyPaper = regexp.MustCompile(`(?i)^(?:(?:on|auf|sur|sobre) )?(?:[\pL-]+ )?(?:rag|cotton|baryta|bütten|washi|kozo|canvas|leinwand|toile|lienzo|matte?|satin|lust(?:re|er)|gloss(?:y)?|bamboo|hemp|paper|papier|papel)(?:[ ,]+[0-9]{2,3} ?(?:gsm|g/m2|g/m²|g))?$`)
	paperOn     = regexp.MustCompile(`(?i)^(?:on|auf|sur|sobre) `)
)

// paperIn reads words that name a paper: one of the studio's by its name, or by words that only one of them has; else such words as
// papers are named by. sure is false for words that may as well be of a title.
func (r *Namer) paperIn(words string) (paper string, is, sure bool) {
	bare := strings.TrimSpace(paperOn.ReplaceAllString(intake.Clean(words), ""))
	if p := r.PaperNamed(bare); p != "" {
		return p, true, len(strings.Fields(bare)) > 1
	}
	switch {
	case surePaper.MatchString(words):
		return bare, true, true
	case likelyPaper.MatchString(words):
		return bare, true, false
	}
	return "", false, false
}

// PaperNamed returns the studio's paper of a name, or the only one that has all its words; "" for none.
func (r *Namer) PaperNamed(name string) string {
	want := strings.Fields(intake.Fold(name))
	if len(want) == 0 {
		return ""
	}
	found := ""
	for _, p := range r.papers {
		if intake.Fold(p) == strings.Join(want, " ") {
			return p
		}
		if len(want) > 1 && strings.HasPrefix(intake.Fold(p)+" ", strings.Join(want, " ")+" ") {
			if found != "" {
				return ""
			}
			found = p
		}
	}
	return found
}

// attributes turns words that stand alone between marks, or behind a size or number, into what they name.
func (r *Namer) attributes(all []piece) []piece {
	out := make([]piece, 0, len(all))
	titled := false
	for i, p := range all {
		if p.Kind == someWords {
			if titled {
				p = r.attribute(p, out[i-1].Kind != aGap && out[i-1].Kind != aCut, out)
			}
			titled = titled || p.Kind == someWords
		}
		out = append(out, p)
	}
	return out
}

func (r *Namer) attribute(p piece, behind bool, before []piece) piece {
	if z, ok, t := cell.SizeOf(p.Text, r.unit); ok || t.Rule == "size.unit" {
		return piece{Kind: ASize, Text: p.Text, size: z, trouble: t}
	}
	if g := cell.GradeIn(p.Text); g != "" {
		return piece{Kind: aGrade, Text: g}
	}
	if w := intake.Fold(p.Text); w == "open" || w == "offen" {
		return piece{Kind: isOpen, Text: p.Text}
	}
	if list := NumberList(p.Text); len(list) == 1 && (behindNumber(before) || list[0].Numbers[0].Kind != "N") {
		return piece{Kind: aNumber, Text: p.Text, numbers: list}
	}
	if paper, ok, sure := r.paperIn(p.Text); ok && (sure || behind || attributed(before)) {
		return piece{Kind: aPaper, Text: paper}
	}
	return p
}

// behindNumber reports that a number and then only a mark stand before: "4/60, 5".
func behindNumber(before []piece) bool {
	n := len(before)
	return n > 1 && before[n-1].Kind == aCut && before[n-2].Kind == aNumber
}

// attributed reports that a size, number or grade stands before, and only a mark between.
func attributed(before []piece) bool {
	n := len(before)
	if n < 2 {
		return false
	}
	k := before[n-2].Kind
	return k == ASize || k == aNumber || k == aGrade
}
