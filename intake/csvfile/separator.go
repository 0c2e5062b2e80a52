package csvfile

import (
	"fmt"

	"solander/intake"
)

// mostSample is how many records are looked at to find the separator.
const mostSample = 50

// mostLooked is how many bytes are looked at for commas that part no cells.
const mostLooked = 1 << 16

// separator finds what parts the fields: the candidate that gives the most records of one same width above one.
// A line "sep=;" at the very start, as some programs write it, is not part of RFC 4180 and is read as a record.
func separator(text []byte) (byte, intake.Finding) {
	best, bestCount, bestOf, bestWidth, tied := byte(','), 0, 0, 1, false
	candidates := []byte{',', ';', '\t'}
	if decimals(text) {
		candidates = []byte{';', '\t', ','} // commas part the cells if nothing else does as well
	}
	for _, sep := range candidates {
		same, of, width := agreement(text, sep)
		if width < 2 {
			continue
		}
		switch {
		case same > bestCount || same == bestCount && width > bestWidth && (sep != ',' || candidates[0] == ','):
			best, bestCount, bestOf, bestWidth, tied = sep, same, of, width, same == bestCount
		case same == bestCount:
			tied = true
		}
	}
	if bestCount == 0 {
		return ',', separatorFinding(',', "none was found, every row has one cell", true)
	}
	return best, separatorFinding(best, fmt.Sprintf("they give %d of the first %d rows the same %d cells", bestCount, bestOf, bestWidth), tied || bestCount < bestOf)
}

// decimals reports whether every comma of the beginning stands between two digits, outside of quotes: as in "8,21;8,36".
func decimals(text []byte) bool {
	digit := func(i int) bool { return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9' }
	quoted, found := false, false
	for i, b := range text[:min(len(text), mostLooked)] {
		switch {
		case b == '"':
			quoted = !quoted
		case b == ',' && !quoted:
			if !digit(i-1) || !digit(i+1) {
				return false
			}
			found = true
		}
	}
	return found
}

// agreement counts how many of the first records have the width that most of them have.
func agreement(text []byte, sep byte) (same, of, width int) {
	widths := map[int]int{}
	fields, quoted, start := 1, false, true
	for i := 0; i < len(text) && of < mostSample; i++ {
		switch b := text[i]; {
		case quoted:
			quoted = b != '"'
			start = false
		case b == '"' && start:
			quoted = true
		case b == '"' && text[i-1] == '"':
			quoted = true // a doubled quote
		case b == sep:
			fields, start = fields+1, true
		case b == '\n' || b == '\r':
			if fields > 1 || !start {
				widths[fields]++
				of++
			}
			fields, start = 1, true
		default:
			start = false
		}
	}
	if of < mostSample && (fields > 1 || !start) {
		widths[fields]++
		of++
	}
	for w, n := range widths {
		if n > same || n == same && w > width {
			same, width = n, w
		}
	}
	return same, of, width
}
