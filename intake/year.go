package intake

import (
	"fmt"
	"strconv"

	"solander/calendar"
)

// settleYears gives days without a year the one that brings them nearest to the next sale above or below in their sheet whose
// year is written; other days the one of their own sale. It is only proposed: one question for each sheet and year.
func (r *Rows) settleYears() {
	for i, s := range r.sales {
		if s.days[placed].open {
			r.settleDay(s, placed, r.neighbour(i))
		}
	}
	for _, s := range r.sales {
		for d := promised; d <= sentOn; d++ {
			if s.days[d].open {
				r.settleDay(s, d, s.days[placed].day)
			}
		}
	}
}

// neighbour returns the nearest day of a sale in the same sheet that was written with its year, looking up first.
func (r *Rows) neighbour(i int) calendar.Day {
	s := r.sales[i]
	for step := 1; step < len(r.sales) && step <= mostNeighbours; step++ {
		for _, j := range []int{i - step, i + step} {
			if j < 0 || j >= len(r.sales) || r.sales[j].plan != s.plan {
				continue
			}
			if d := r.sales[j].days[placed]; d.read.year != 0 {
				return d.day
			}
		}
	}
	return calendar.Day{}
}

const mostNeighbours = 200

func (r *Rows) settleDay(s *sale, i int, near calendar.Day) {
	d := &s.days[i]
	if near.IsZero() {
		r.problem(s, d.column, trouble{"day.year", "the year of the day is missing", "write the year, at least once in the sheet, or say it for the whole sheet, as 2025-05 or 2025", i == placed, ""})
		return
	}
	day := d.read.near(near)
	if i != placed && day.Before(near) {
		day = d.read.in(yearOf(day) + 1)
	}
	year := yearOf(day)
	id := r.ask(Question{
		ID: "year:" + s.origin.Sheet + ":" + strconv.Itoa(year), What: fmt.Sprintf("Days without a year in %s: are they of %d?", sheetWords(s.plan.sheet), year),
		Where: s.place(d.column), Choices: []Choice{{Yes, "yes, of " + strconv.Itoa(year)}, {No, "no: I write the years into the file"}}, Offer: Yes,
		Why: "it is the year nearest to the days beside them",
	})
	if r.answer(id) != Yes {
		r.problem(s, d.column, trouble{"day.year", fmt.Sprintf("the year of the day is missing; %d is likely", year), "say whether it is that year", i == placed, id})
		return
	}
	d.day = day
	r.checkDay(s, i)
}

func yearOf(d calendar.Day) int {
	y, _, _ := d.Civil()
	return y
}
