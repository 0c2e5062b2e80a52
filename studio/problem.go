package studio

import (
	"strconv"
)

func SheetID(line int64) string { return strconv.FormatInt(line, 10) }
