package studio

import (
	"solander/order"
)

func AllIn(lines []order.Line, has map[int64]bool) bool {
	for _, l := range lines {
		if !has[l.ID] {
			return false
		}
	}
	return true
}
