package store

import (
	"database/sql"
	"encoding/base64"
	"slices"
	"strings"

	"solander/intake"
	"solander/studio"
)

const arrivalColumns = "id, name, hash, size, source, mapping, answers, note, at, until, who"

// partSize is how many bytes of a file one part holds.
const partSize = 192 << 10

func arrivalValues(a studio.Arrival) ([]any, error) {
	mapping, answers := "", ""
	var err error
	if a.Mapping != nil {
		if mapping, err = asJSON(a.Mapping); err != nil {
			return nil, err
		}
	}
	if len(a.Answers) > 0 {
		answers, err = asJSON(a.Answers)
	}
	return []any{a.ID, a.Name, a.Hash, a.Size, a.Source, mapping, answers, a.Note, a.At, a.Until, a.Who}, err
}

func scanArrival(rows *sql.Rows) (a studio.Arrival, err error) {
	err = rows.Scan(&a.ID, &a.Name, &a.Hash, &a.Size, &a.Source, inJSON{&a.Mapping}, inJSON{&a.Answers}, &a.Note, instant{&a.At}, instant{&a.Until}, &a.Who)
	return a, err
}

// AddArrival keeps a file with its bytes.
func (t *tx) AddArrival(a studio.Arrival, body []byte) (int64, error) {
	var err error
	if a.ID, err = t.next("arrivals"); err != nil {
		return 0, err
	}
	values, err := arrivalValues(a)
	if err != nil {
		return 0, err
	}
	if _, err := t.exec(insertInto("arrivals", arrivalColumns), values...); err != nil {
		return 0, err
	}
	n := 0
	for part := range slices.Chunk(body, partSize) {
		if _, err := t.exec(`INSERT INTO arrival_parts (arrival, part, body) VALUES ($1, $2, $3)`, a.ID, n, base64.StdEncoding.EncodeToString(part)); err != nil {
			return 0, err
		}
		n++
	}
	return a.ID, nil
}

func (t *tx) Arrival(id int64) (studio.Arrival, error) {
	out, err := list(t, scanArrival, selectFrom("arrivals", arrivalColumns, "WHERE id = $1"), id)
	return only(out, err, "file %d", id)
}

func (t *tx) ArrivalBody(id int64) ([]byte, error) {
	a, err := t.Arrival(id)
	if err != nil {
		return nil, err
	}
	out := make([]byte, 0, a.Size)
	err = t.each(`SELECT body FROM arrival_parts WHERE arrival = $1 ORDER BY part`, []any{id}, func(rows *sql.Rows) error {
		var text string
		if err := rows.Scan(&text); err != nil {
			return err
		}
		out, err = base64.StdEncoding.AppendDecode(out, []byte(text))
		return err
	})
	return out, err
}

func (t *tx) Arrivals() ([]studio.Arrival, error) {
	return list(t, scanArrival, selectFrom("arrivals", arrivalColumns, "ORDER BY id DESC"))
}

func (t *tx) SaveArrival(a studio.Arrival) error {
	values, err := arrivalValues(a)
	if err != nil {
		return err
	}
	return t.change("file", a.ID, `UPDATE arrivals SET mapping = $2, answers = $3, note = $4 WHERE id = $1`, a.ID, values[5], values[6], values[7])
}

// DropArrival forgets a file that waits.
func (t *tx) DropArrival(id int64) error {
	if _, err := t.exec(`DELETE FROM arrival_parts WHERE arrival = $1`, id); err != nil {
		return err
	}
	return t.change("file", id, `DELETE FROM arrivals WHERE id = $1`, id)
}

// Mappings returns all mappings, by name.
func (t *tx) Mappings() ([]intake.Mapping, error) {
	out, err := list(t, func(rows *sql.Rows) (m intake.Mapping, err error) {
		err = rows.Scan(inJSON{&m})
		return m, err
	}, `SELECT body FROM mappings`)
	slices.SortFunc(out, func(a, b intake.Mapping) int { return byText(a.Name, b.Name) })
	return out, err
}

func (t *tx) SaveMapping(m intake.Mapping) error {
	body, err := asJSON(m)
	if err != nil {
		return err
	}
	n, err := t.exec(`UPDATE mappings SET body = $2 WHERE name = $1`, m.Name, body)
	if err == nil && n == 0 {
		_, err = t.exec(`INSERT INTO mappings (name, body) VALUES ($1, $2)`, m.Name, body)
	}
	return err
}

func (t *tx) DropMapping(name string) error {
	n, err := t.exec(`DELETE FROM mappings WHERE name = $1`, name)
	if err == nil && n == 0 {
		return missing("mapping %q", strings.ToValidUTF8(name, ""))
	}
	return err
}
