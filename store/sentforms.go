package store

import (
	"database/sql"

	"solander/fault"
	"solander/studio"
)

const sentFormColumns = "id, key, print, mark, at"

// SentForm returns the form that was done under a key. Faults: Missing.
func (t *tx) SentForm(key string) (studio.SentForm, error) {
	out, err := list(t, func(rows *sql.Rows) (f studio.SentForm, err error) {
		var id int64
		err = rows.Scan(&id, &f.Key, &f.Print, reference{&f.Mark}, instant{&f.At})
		return f, err
	}, selectFrom("sent_forms", sentFormColumns, "WHERE key = $1"), key)
	return only(out, err, "a form that was sent under this key")
}

// AddSentForm keeps a form and forgets all but the latest. Faults: Taken when its key is kept already.
func (t *tx) AddSentForm(f studio.SentForm, latest int) error {
	id, err := t.next("sent_forms")
	if err != nil {
		return err
	}
	_, err = t.exec(insertInto("sent_forms", sentFormColumns), id, f.Key, f.Print, optional(f.Mark), f.At)
	if err != nil {
		return when(when(err, unique, fault.New(fault.Taken, "this form was sent before").ToMend("open the page anew")), foreign, missing("mark %d", f.Mark))
	}
	_, err = t.exec(`DELETE FROM sent_forms WHERE id <= $1`, id-int64(latest))
	return err
}
