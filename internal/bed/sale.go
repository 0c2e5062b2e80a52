package bed

import (
	"strings"
)

func Contains(text, part string) bool { return strings.Contains(text, part) }
