package intakes

import (
	"database/sql"
	"encoding/base64"
	"slices"
	"strings"

	"solander/intake"
	"solander/intake/kept"
	"solander/store/engine"
	"solander/store/table"
	"solander/store/words"
)

// Arrivals are the files that wait, without their bytes.
var Arrivals = table.Make("arrivals", "file", func(a *kept.Arrival) table.Columns {
	return table.Columns{
		"id", &a.ID, "name", &a.Name, "hash", &a.Hash, "size", &a.Size, "source", &a.Source,
		"mapping", table.JSONIf(a.Mapping != nil, &a.Mapping),
		"answers", table.JSONIf(len(a.Answers) > 0, &a.Answers), "note", &a.Note, "at", &a.At,
		"until", &a.Until, "who", &a.Who,
	}
})

// partSize is how many bytes of a file one part holds.
const partSize = 192 << 10

// AddArrival keeps a file with its bytes.
func (t *IntakeRows) AddArrival(a kept.Arrival, body []byte) (int64, error) {
	var err error
	if a.ID, err = Arrivals.Add(t.conn, a); err != nil {
		return 0, err
	}
	n := 0
	for part := range slices.Chunk(body, partSize) {
		text, err := t.conn.SealCell("arrival_parts", "body", table.KeyText(a.ID, n), base64.StdEncoding.EncodeToString(part))
		if err != nil {
			return 0, err
		}
		if _, err := t.conn.Exec(`INSERT INTO arrival_parts (arrival, part, body) VALUES ($1, $2, $3)`, a.ID, n, text); err != nil {
			return 0, err
		}
		n++
	}
	return a.ID, nil
}

// Arrival reads what is known of a file that waits.
func (t *IntakeRows) Arrival(id int64) (kept.Arrival, error) { return Arrivals.Get(t.conn, id) }

func (t *IntakeRows) ArrivalBody(id int64) ([]byte, error) {
	a, err := t.Arrival(id)
	if err != nil {
		return nil, err
	}
	out, n := make([]byte, 0, a.Size), 0
	err = t.conn.Each(`SELECT body FROM arrival_parts WHERE arrival = $1 ORDER BY part`, []any{id}, func(rows *sql.Rows) error {
		var text string
		if err := rows.Scan(&text); err != nil {
			return err
		}
		if text, err = t.conn.OpenCell("arrival_parts", "body", table.KeyText(id, n), text); err != nil {
			return err
		}
		n++
		out, err = base64.StdEncoding.AppendDecode(out, []byte(text))
		return err
	})
	return out, err
}

// Arrivals returns all files that wait, the latest first.
func (t *IntakeRows) Arrivals() ([]kept.Arrival, error) {
	return Arrivals.List(t.conn, "ORDER BY id DESC")
}

// SaveArrival keeps how a file is to be read. Faults: Missing.
func (t *IntakeRows) SaveArrival(a kept.Arrival) error {
	return Arrivals.ChangeOnly(t.conn, a, "mapping", "answers", "note")
}

// DropArrival forgets a file that waits.
func (t *IntakeRows) DropArrival(id int64) error {
	if _, err := t.conn.Exec(`DELETE FROM arrival_parts WHERE arrival = $1`, id); err != nil {
		return err
	}
	return Arrivals.Drop(t.conn, id)
}

// Mappings returns all mappings, by name.
func (t *IntakeRows) Mappings() ([]intake.Mapping, error) {
	out, err := table.List(t.conn, func(rows *sql.Rows) (m intake.Mapping, err error) {
		err = rows.Scan(table.JSON(&m))
		return m, err
	}, `SELECT body FROM mappings`)
	slices.SortFunc(out, func(a, b intake.Mapping) int { return words.Compare(a.Name, b.Name) })
	return out, err
}

func (t *IntakeRows) SaveMapping(m intake.Mapping) error {
	body, err := table.AsJSON(m)
	if err != nil {
		return err
	}
	n, err := t.conn.Exec(`UPDATE mappings SET body = $2 WHERE name = $1`, m.Name, body)
	if err == nil && n == 0 {
		_, err = t.conn.Exec(`INSERT INTO mappings (name, body) VALUES ($1, $2)`, m.Name, body)
	}
	return err
}

func (t *IntakeRows) DropMapping(name string) error {
	n, err := t.conn.Exec(`DELETE FROM mappings WHERE name = $1`, name)
	if err == nil && n == 0 {
		return engine.Missing("mapping %q", strings.ToValidUTF8(name, ""))
	}
	return err
}
