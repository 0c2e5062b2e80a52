package numbers

import (
	"database/sql"
	"fmt"

	"solander/calendar"
	"solander/edition"
	"solander/store/table"
	"solander/studio"
)

// laid is a number's row as it is laid down: how it stands, and the day of the latest entry.
type laid struct {
	impression
	day calendar.Day
}

// Misstands looks whether every number stands as its entries make it stand, by the one rule by which they move it along: where one does not.
func (t *RegisterRows) Misstands() (found []string, err error) {
	var at studio.NumberKey // the number whose entries are read
	var stands, follows laid
	var past []edition.Entry
	over := func() {
		if at.Edition != 0 && stands != follows {
			found = append(found, fmt.Sprintf("edition %d, number %s %d: the number does not stand as its latest entry in the register says", at.Edition, at.Number.Kind, at.Number.N))
		}
	}
	err = t.conn.Each(`SELECT i.edition, i.kind, i.number, `+impressionColumns+`, i.day,
		coalesce(r.turn, 0), coalesce(r.step, ''), coalesce(r.state, 'free'), coalesce(r.line, 0), coalesce(r.signed, 0), coalesce(r.struck, 0), coalesce(r.order_mark, ''), coalesce(r.day, '')
		FROM impressions i LEFT JOIN register r ON r.edition = i.edition AND r.kind = i.kind AND r.number = i.number
		ORDER BY i.edition, i.kind, i.number, r.turn`, nil, func(rows *sql.Rows) error {
		var k studio.NumberKey
		var row laid
		var e edition.Entry
		places := append([]any{&k.Edition, &k.Number.Kind, &k.Number.N}, row.places()...)
		err := rows.Scan(append(places, table.Day(&row.day), &e.After.Turn, &e.Step, &e.After.State, &e.After.Line, &e.After.Signed, &e.After.Struck, &e.Order, table.Day(&e.Day))...)
		if err != nil {
			return err
		}
		if k != at {
			over()
			at, stands, past = k, row, nil
			follows = laid{impression: impression{Standing: edition.FreshStanding()}}
		}
		if e.After.Turn == 0 {
			return nil // it was never touched
		}
		e.Turn = e.After.Turn
		var before []edition.Entry // as Append gives them: a correction alone looks back
		if e.Step == edition.Correct {
			before = past
		}
		follows = laid{projected(follows.impression, before, e), e.Day}
		past = append(past, e)
		return nil
	})
	over()
	return found, err
}
