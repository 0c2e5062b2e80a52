package consign

import (
	"solander/calendar"
	"solander/money"
)

// OpenStatement is a month of sales of which a gallery still owes something. A statement is mostly made of a month; common practice, no source.
type OpenStatement struct {
	First calendar.Day // the first sale of it of which something is owed
	Until calendar.Day // the last day of the month
	Own   money.Amount // owed of the sales of that month
	Owed  money.Amount // of all sales up to its end
}

// OpenStatements are the months of debts, which are the oldest first; Own of all of them come to all that is owed.
func OpenStatements(debts []Unpaid) []OpenStatement {
	var out []OpenStatement
	for _, d := range debts {
		y, m, _ := d.Print.Ended.Civil()
		until := calendar.Date(y, m+1, 1).Add(-1)
		n := len(out)
		if n == 0 || out[n-1].Until != until {
			s := OpenStatement{First: d.Print.Ended, Until: until, Own: money.Of(0, d.Owed.Currency), Owed: money.Of(0, d.Owed.Currency)}
			if n > 0 {
				s.Owed = out[n-1].Owed
			}
			out, n = append(out, s), n+1
		}
		out[n-1].Own.Minor += d.Owed.Minor
		out[n-1].Owed.Minor += d.Owed.Minor
	}
	return out
}
