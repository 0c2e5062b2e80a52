package intake

import "regexp"

var gradeWords = map[string]string{
	"fine": "fine", "fine art": "fine", "fine grade": "fine", "standard": "standard", "standard grade": "standard", "deluxe": "deluxe", "archival": "archival",
	"museum": "museum", "giclée": "giclée", "giclee": "giclée", "pigment": "pigment", "pigment print": "pigment", "poster": "poster",
}

// gradeIn reads the words of a grade.
func gradeIn(words string) string {
	if g := gradeWords[Fold(words)]; g != "" {
		return g
	}
	return gradeWords[Fold(gradeEnd.ReplaceAllString(words, ""))]
}

var gradeEnd = regexp.MustCompile(`(?i) (?:grade|quality|version|print)$`)
