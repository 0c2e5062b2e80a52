package intake

import "solander/calendar"

// Input is all that a dry run depends on.
type Input struct {
	Table    Table
	Mapping  Mapping
	Book     Book // nil: NoBook
	Answers  Answers
	Today    calendar.Day          // zero: days in the future are not looked for
	Progress func(done, total int) // rows; nil: nobody wants to know
}
