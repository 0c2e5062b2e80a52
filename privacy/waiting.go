package privacy

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"solander/intake"
	"solander/upkeep"
)

// waitingRow is a row of a file that waits, in which a buyer is named.
type waitingRow struct {
	File  string
	Sheet string
	Row   int
	Cells []string
}

// waiting returns the rows of files that wait in which a buyer is named. A file that cannot be read is looked through as it is, and told
// whole.
func (t *Privacy) waiting(buyer int64) ([]waitingRow, error) {
	files, err := t.Arrivals()
	if err != nil || len(files) == 0 {
		return nil, err
	}
	tables, err := t.Kept(buyer)
	if err != nil {
		return nil, err
	}
	names := calledBy(tables)
	var out []waitingRow
	for _, a := range files {
		body, err := t.ArrivalBody(a.ID)
		if err != nil {
			return nil, err
		}
		table, err := intake.Table{}, error(nil)
		if t.files != nil {
			table, err = t.files(a.Name, body, nil)
		}
		if t.files == nil || err != nil {
			if named(names, a.Name+"\n"+a.Note+"\n"+string(body)) {
				out = append(out, waitingRow{File: a.Name})
			}
			continue
		}
		if named(names, a.Name+"\n"+a.Note) {
			out = append(out, waitingRow{File: a.Name})
		}
		for _, sheet := range table.Sheets {
			for _, row := range sheet.Rows {
				var cells []string
				for _, c := range row.Cells {
					cells = append(cells, c.Text)
				}
				if named(names, strings.Join(cells, "\n")) {
					out = append(out, waitingRow{a.Name, sheet.Name, row.N, cells})
				}
			}
		}
	}
	return out, nil
}

// calledBy are the names, mail addresses and telephone numbers of a buyer, in small letters.
func calledBy(tables []upkeep.KeptTable) []string {
	seen := map[string]bool{}
	var out []string
	for _, t := range tables {
		if t.Name != "buyers" && t.Name != "orders" {
			continue
		}
		for i, c := range t.Columns {
			switch c.Name {
			case "name", "ship_name", "said_name", "email", "said_email", "phone", "said_phone":
			default:
				continue
			}
			for _, row := range t.Rows {
				text, _ := row[i].(string)
				if text = strings.ToLower(strings.TrimSpace(text)); utf8.RuneCountInString(text) >= 3 && !seen[text] {
					seen[text] = true
					out = append(out, text)
				}
			}
		}
	}
	return out
}

func named(names []string, text string) bool {
	text = strings.ToLower(text)
	for _, n := range names {
		if strings.Contains(text, n) {
			return true
		}
	}
	return false
}

// waitingTable is such rows as a table to be given out.
func waitingTable(rows []waitingRow) upkeep.KeptTable {
	out := upkeep.KeptTable{Name: "waiting_rows", What: "rows of files that wait to be brought in", Columns: []upkeep.KeptColumn{
		{Name: "file", Class: upkeep.KeptWords}, {Name: "sheet", Class: upkeep.KeptPlain}, {Name: "row", Class: upkeep.KeptPlain}, {Name: "cells", Class: upkeep.KeptPersonal},
	}}
	for _, r := range rows {
		quoted := make([]string, len(r.Cells))
		for i, c := range r.Cells {
			quoted[i] = strconv.Quote(c)
		}
		out.Rows = append(out.Rows, []any{r.File, r.Sheet, int64(r.Row), strings.Join(quoted, ", ")})
	}
	return out
}
