package intake

import (
	"regexp"
	"strings"
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
	bare := strings.TrimSpace(paperOn.ReplaceAllString(clean(words), ""))
	if p := r.paperNamed(bare); p != "" {
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

// paperNamed returns the studio's paper of a name, or the only one that has all its words; "" for none.
func (r *Namer) paperNamed(name string) string {
	want := strings.Fields(Fold(name))
	if len(want) == 0 {
		return ""
	}
	found := ""
	for _, p := range r.papers {
		if Fold(p) == strings.Join(want, " ") {
			return p
		}
		if len(want) > 1 && strings.HasPrefix(Fold(p)+" ", strings.Join(want, " ")+" ") {
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
		if p.kind == someWords {
			if titled {
				p = r.attribute(p, out[i-1].kind != aGap && out[i-1].kind != aCut, out)
			}
			titled = titled || p.kind == someWords
		}
		out = append(out, p)
	}
	return out
}

func (r *Namer) attribute(p piece, behind bool, before []piece) piece {
	if z, ok, t := sizeOf(p.text, r.unit); ok || t.rule == "size.unit" {
		return piece{kind: aSize, text: p.text, size: z, trouble: t}
	}
	if g := gradeIn(p.text); g != "" {
		return piece{kind: aGrade, text: g}
	}
	if w := Fold(p.text); w == "open" || w == "offen" {
		return piece{kind: isOpen, text: p.text}
	}
	if list := numberList(p.text); len(list) == 1 && (behindNumber(before) || list[0].numbers[0].Kind != "N") {
		return piece{kind: aNumber, text: p.text, numbers: list}
	}
	if paper, ok, sure := r.paperIn(p.text); ok && (sure || behind || attributed(before)) {
		return piece{kind: aPaper, text: paper}
	}
	return p
}

// behindNumber reports that a number and then only a mark stand before: "4/60, 5".
func behindNumber(before []piece) bool {
	n := len(before)
	return n > 1 && before[n-1].kind == aCut && before[n-2].kind == aNumber
}

// attributed reports that a size, number or grade stands before, and only a mark between.
func attributed(before []piece) bool {
	n := len(before)
	if n < 2 {
		return false
	}
	k := before[n-2].kind
	return k == aSize || k == aNumber || k == aGrade
}
