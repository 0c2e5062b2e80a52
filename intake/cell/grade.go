package cell

import (
	"regexp"

	"solander/intake"
)

var gradeWords = map[string]string{
	"fine": "fine", "fine art": "fine", "fine grade": "fine", "standard": "standard", "standard grade": "standard", "deluxe": "deluxe", "archival": "archival",
	"museum": "museum", "giclée": "giclée", "giclee": "giclée", "pigment": "pigment", "pigment print": "pigment", "poster": "poster",
}

// GradeIn reads the words of a grade.
func GradeIn(words string) string {
	if g := gradeWords[intake.Fold(words)]; g != "" {
		return g
	}
	return gradeWords[intake.Fold(gradeEnd.ReplaceAllString(words, ""))]
}

var gradeEnd = regexp.MustCompile(`(?i) (?:grade|quality|version|print)$`)
