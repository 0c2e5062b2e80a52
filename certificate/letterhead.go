package certificate

import (
	"unicode/utf8"

	"solander/edition"
	"solander/fault"
)

// Letterhead is what of her own stands on certificates.
type Letterhead struct {
	Words string `json:"words,omitempty"` // a sentence or two below the facts
	Crest []byte `json:"crest,omitempty"` // JPEG, in the place of the studio's name
	Truth bool   `json:"truth,omitempty"` // certify in set words that all of it is true and correct
}

// MostCrest bounds a crest in bytes.
const MostCrest = 300_000

// Validate looks at it alone. Faults: Invalid.
func (l Letterhead) Validate() error {
	var f fault.List
	f.Check(utf8.ValidString(l.Words) && utf8.RuneCountInString(l.Words) <= 400, "words", "the words are too long, or no text", "use up to 400 characters")
	for _, r := range l.Words {
		if edition.Unprintable(r) && r != '\n' {
			f.Add(fault.Invalidf("words", "the words hold control characters").ToMend("type them again"))
			break
		}
	}
	f.Check(len(l.Crest) <= MostCrest, "crest", "the crest is too large a file", "use a JPEG below 300 kB")
	f.Check(len(l.Crest) == 0 || len(l.Crest) > 3 && l.Crest[0] == 0xFF && l.Crest[1] == 0xD8, "crest", "the crest is no JPEG", "save it as JPEG")
	return f.Err()
}
