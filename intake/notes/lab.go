package notes

import (
	"regexp"
	"strings"

	"solander/intake"
)

// LabWords are words for who prints, in English, German, French and Spanish. From memory; that artists write so is common practice, no source.
var LabWords = regexp.MustCompile(`(?i)(?:^|[^\pL])(?:print ?)?(?:labs?|printers?|laboratory|(?:foto|druck)?labor|druckerei|drucker|laboratoire|labo|imprimeur|imprimerie|laboratorio|imprenta|impresor)(?:$|[^\pL'’])`)

// labProof is a printer's proof: no lab.
var labProof = regexp.MustCompile(`(?i)printer['’]?s['’]? proof`)

// clauseEnds part what a note says of one thing from what it says of the next. A full stop counts behind a word alone: "12.4." is a day.
var clauseEnds = regexp.MustCompile(`[,;\n()]|\pL\.\s|\s[-–—]\s|(?i:\s(?:and|then|und|dann|et|puis|y|luego)\s)`)

// ofTheLab turns a day that a note says of sale, sending or need into one of the lab, when words for the lab stand in the same clause that
// no other fact has taken: "ordered from lab 3/5", "printer sent 12.4.".
func ofTheLab(f intake.Fact, note string, taken []bool) intake.Fact {
	switch f.Kind {
	case intake.SoldOnDay, intake.SentOnDay, intake.NeededBy, intake.SomeDay:
	default:
		return f
	}
	from, to := clause(note, f.Start, f.End)
	if e := strings.TrimRight(f.Words, "."); len(e) < len(f.Words) && strings.ContainsAny(e[len(e)-1:], "abcdefghijklmnopqrstuvwxyz") {
		to = f.End // "9 May." ends a sentence
	}
	free := []byte(note[from:to])
	for i := range free {
		if taken[from+i] {
			free[i] = ' '
		}
	}
	if LabWords.MatchString(labProof.ReplaceAllString(strings.ToValidUTF8(string(free), " "), " ")) {
		f.Kind = intake.LabDay
		if f.Sure == intake.Plain {
			f.Sure = intake.Likely
		}
	}
	return f
}

// clause returns the bytes of a note around a fact that speak of one thing.
func clause(note string, start, end int) (from, to int) {
	to = len(note)
	for _, m := range clauseEnds.FindAllStringIndex(note, -1) {
		switch {
		case m[1] <= start:
			from = m[1]
		case m[0] >= end:
			return from, m[0] + len(strings.TrimRight(note[m[0]:m[1]], " .,;-–—()\n"))
		}
	}
	return from, to
}
