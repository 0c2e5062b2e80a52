package bench

import (
	"fmt"
	"strings"

	"solander/calendar"
	"solander/fault"
)

// timed fills in age, promise, lateness and the words for them.
func (b *maker) timed(t *Task, placed, promised calendar.Day) {
	t.Promised, t.Age, t.Late = promised, b.age(placed), b.late(promised)
	t.Timing = b.timing(placed, promised)
}

// age is how many working days an order has waited: those after the day it was placed, today included.
func (b *maker) age(placed calendar.Day) int {
	if placed.IsZero() {
		return 0
	}
	return max(0, b.Working.Between(placed, b.Day))
}

// late is how many working days have passed since the promise: 0 on the promised day and on days off
// right after it.
func (b *maker) late(promised calendar.Day) int {
	if promised.IsZero() {
		return 0
	}
	return max(0, b.Working.Between(promised, b.Day))
}

// timing says it in words: "waiting 6 working days, promised by Tue 14 Apr, 1 late".
func (b *maker) timing(placed, promised calendar.Day) string {
	var words []string
	switch n := b.age(placed); {
	case placed.IsZero():
	case placed.After(b.Day):
		words = append(words, "placed on "+b.day(placed))
	case n == 0:
		words = append(words, "new")
	default:
		words = append(words, "waiting "+workingDays(n))
	}
	switch n := b.late(promised); {
	case promised.IsZero():
		words = append(words, "nothing promised")
	case n > 0:
		words = append(words, "promised by "+b.day(promised), fmt.Sprintf("%d late", n))
	case promised == b.Day:
		words = append(words, "promised by today")
	default:
		words = append(words, "promised by "+b.day(promised))
	}
	return strings.Join(words, ", ")
}

// day prints a day, with its year when that is not the bench's.
func (b *maker) day(d calendar.Day) string {
	here, _, _ := b.Day.Civil()
	if there, _, _ := d.Civil(); there != here {
		return d.Long()
	}
	return d.Short()
}

func workingDays(n int) string { return fault.Count(n, "working day") }
