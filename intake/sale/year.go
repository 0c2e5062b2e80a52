package sale

import (
	"fmt"
	"strconv"

	"solander/calendar"
	"solander/intake"
	"solander/intake/cell"
	"solander/intake/grid"
)

// settleYears gives days without a year the one that brings them nearest to the next sale above or below in their sheet whose
// year is written; other days the one of their own sale. It is only proposed: one question for each sheet and year.
func (r *Rows) settleYears() {
	for i, s := range r.Sales {
		if s.Days[Placed].Open {
			r.settleDay(s, Placed, r.neighbour(i))
		}
	}
	for _, s := range r.Sales {
		for d := Promised; d <= SentOn; d++ {
			if s.Days[d].Open {
				r.settleDay(s, d, s.Days[Placed].Day)
			}
		}
	}
}

// neighbour returns the nearest day of a sale in the same sheet that was written with its year, looking up first.
func (r *Rows) neighbour(i int) calendar.Day {
	s := r.Sales[i]
	for step := 1; step < len(r.Sales) && step <= mostNeighbours; step++ {
		for _, j := range []int{i - step, i + step} {
			if j < 0 || j >= len(r.Sales) || r.Sales[j].Grid != s.Grid {
				continue
			}
			if d := r.Sales[j].Days[Placed]; d.read.Year != 0 {
				return d.Day
			}
		}
	}
	return calendar.Day{}
}

const mostNeighbours = 200

func (r *Rows) settleDay(s *Sale, i int, near calendar.Day) {
	d := &s.Days[i]
	if near.IsZero() {
		r.Problem(s, d.Column, cell.Trouble{Rule: "day.year", What: "the year of the day is missing", Mend: "write the year, at least once in the sheet, or say it for the whole sheet, as 2025-05 or 2025", Bars: i == Placed})
		return
	}
	day := d.read.Near(near)
	if i != Placed && day.Before(near) {
		day = d.read.In(yearOf(day) + 1)
	}
	year := yearOf(day)
	id := r.Ask(intake.Question{
		ID: "year:" + s.Origin.Sheet + ":" + strconv.Itoa(year), What: fmt.Sprintf("Days without a year in %s: are they of %d?", grid.SheetWords(s.Grid.Sheet), year),
		Where: s.Place(d.Column), Choices: []intake.Choice{{Value: intake.Yes, Words: "yes, of " + strconv.Itoa(year)}, {Value: intake.No, Words: "no: I write the years into the file"}}, Offer: intake.Yes,
		Why: "it is the year nearest to the days beside them",
	})
	if r.Answer(id) != intake.Yes {
		r.Problem(s, d.Column, cell.Trouble{Rule: "day.year", What: fmt.Sprintf("the year of the day is missing; %d is likely", year), Mend: "say whether it is that year", Bars: i == Placed, Ask: id})
		return
	}
	d.Day = day
	r.checkDay(s, i)
}

func yearOf(d calendar.Day) int {
	y, _, _ := d.Civil()
	return y
}
