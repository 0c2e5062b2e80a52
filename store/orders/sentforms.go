package orders

import (
	"solander/fault"
	"solander/store/engine"
	"solander/store/table"
	"solander/studio"
)

// sentForm is a form with the place that it has among all.
type sentForm struct {
	id int64
	studio.SentForm
}

// SentForms are the forms that were sent.
var SentForms = table.Make("sent_forms", "form", func(f *sentForm) table.Columns {
	return table.Columns{"id", &f.id, "key", &f.Key, "print", &f.Print, "mark", table.Ref(&f.Mark), "at", &f.At}
})

// SentForm returns the form that was done under a key. Faults: Missing.
func (t *MarkRows) SentForm(key string) (studio.SentForm, error) {
	out, err := SentForms.List(t.conn, "WHERE key = $1", key)
	f, err := table.Only(out, err, "a form that was sent under this key")
	return f.SentForm, err
}

// AddSentForm keeps a form and forgets all but the latest. Faults: Taken when its key is kept already.
func (t *MarkRows) AddSentForm(f studio.SentForm, latest int) error {
	if err := t.made.Write(); err != nil { // the form points at its mark
		return err
	}
	id, err := SentForms.Add(t.conn, sentForm{SentForm: f})
	if err != nil {
		err = engine.When(err, engine.Unique, fault.New(fault.Taken, "this form was sent before").ToMend("open the page anew"))
		return engine.When(err, engine.Foreign, engine.Missing("mark %d", f.Mark))
	}
	_, err = t.conn.Exec(`DELETE FROM sent_forms WHERE id <= $1`, id-int64(latest))
	return err
}
