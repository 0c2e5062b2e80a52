package privacy

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"solander/store/leaves"
	"solander/store/table"
	"solander/studio"
	"solander/upkeep"
)

// Erasing returns what Erase would change; see upkeep.PrivacyStore.
func (t *PrivacyRows) Erasing(person int64) ([]upkeep.CellChange, error) {
	if _, err := t.Erased(person); err == nil {
		return nil, errErased(person)
	}
	w, err := t.who(person)
	if err != nil {
		return nil, err
	}
	var out []upkeep.CellChange
	for i := range parts {
		p := &parts[i]
		if p.table == "person_words" || p.table == "arrivals" || p.table == "arrival_parts" {
			continue // the first is made of the others; while a file that waits names her, nothing is erased
		}
		rows, err := t.about(w, p)
		if err != nil {
			return nil, err
		}
		hers, err := t.ownKeys(w, p)
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			out = append(out, w.changes(r, hers[keyText(r.key())])...)
		}
	}
	return out, nil
}

func (t *PrivacyRows) ownKeys(w *who, p *part) (map[string]bool, error) {
	out := map[string]bool{}
	if p.hers == "" {
		return out, nil
	}
	rows, err := t.rowsOf(p, w.person)
	if err != nil {
		return nil, err
	}
	for _, r := range rows {
		out[keyText(r.key())] = true
	}
	return out, nil
}

// changes are what becomes of a row.
func (w *who) changes(r row, hers bool) []upkeep.CellChange {
	var out []upkeep.CellChange
	for i, c := range r.part.columns {
		was, ok := r.values[i].(string)
		if !ok || was == "" || c.stays != "" {
			continue
		}
		is := w.becomes(r, c, was, hers)
		if is != was {
			out = append(out, upkeep.CellChange{Table: r.part.table, Key: r.key(), Column: c.name, Was: was, Is: is, Hers: hers})
		}
	}
	return out
}

// becomes is what stands in a cell once she is erased. This is the one rule for trial and deed.
func (w *who) becomes(r row, c column, was string, hers bool) string {
	switch {
	case r.part.table == "marks" && c.free:
		return w.markBecomes(r, c, was, hers)
	case r.part.table == "feed_answers" && c.free:
		if w.tells(r) {
			return within(c, was, w.plain)
		}
	case r.part.table == "register" && c.free && hers:
		if byProgram.MatchString(was) {
			return was
		}
		return Erased
	case hers && c.class == upkeep.KeptPersonal:
		return c.blank
	}
	switch {
	case !c.free || within(c, was, w.named) == was:
		return was
	case r.part.table == "transfer_names": // the salt goes with the name
		return c.blank
	case r.part.fixed: // what stands for good is blanked whole: its triggers know one text alone
		return c.blank
	}
	return within(c, was, w.named)
}

// byProgram knows the notes of the register that the program itself words, in which nobody is named.
var byProgram = regexp.MustCompile(`^(hand-over \d+|handed over in person|instead of [A-Z0-9 /]+|` + regexp.QuoteMeta(Erased) + `)$`)

// wordsErased is the journal's text of what was told in words of hers or about her.
const wordsErased = "words that were erased with their buyer"

// markBecomes is what becomes of an entry of the journal. Of what she did with an order of hers it tells what was done, without words
// that were typed; it can be undone no more.
func (w *who) markBecomes(r row, c column, was string, hers bool) string {
	kind := studio.MarkKind(r.text("kind"))
	if !hers && !w.tells(r) {
		return within(c, was, w.named)
	}
	switch {
	case c.name == "detail" && was == "null":
		return was
	case c.name == "detail" && kind == studio.MarkPaid:
		var paid struct {
			Payment int64 `json:"payment"`
		}
		if json.Unmarshal([]byte(was), &paid) == nil {
			return fmt.Sprintf(`{"erased":true,"payment":%d}`, paid.Payment)
		}
		return `{"erased":true}`
	case c.name == "detail":
		return `{"erased":true}`
	case !hers:
		if kind == studio.MarkHandedOver {
			return w.plain(was)
		}
		return wordsErased
	case slices.Contains([]studio.MarkKind{studio.MarkPaid, studio.MarkSigned, studio.MarkPacked, studio.MarkLabelled, studio.MarkHandedOver, studio.MarkWeighed}, kind):
		return w.plain(was)
	}
	mark, rest, _ := strings.Cut(was, " ")
	if w.marks[mark] && strings.HasPrefix(rest, "taken: ") {
		return w.plain(was)
	}
	if w.marks[mark] {
		return mark + ": " + wordsErased
	}
	return wordsErased
}

// Erase changes these cells, and notes it; see upkeep.PrivacyStore.
func (t *PrivacyRows) Erase(e upkeep.Erasure, changes []upkeep.CellChange) (upkeep.Erasure, error) {
	if _, err := t.standing(e.Buyer); err != nil {
		return e, err
	}
	if _, err := t.Erased(e.Buyer); err == nil {
		return e, errErased(e.Buyer)
	}
	if e.At.IsZero() {
		e.At = t.conn.Now()
	}
	e.Cells = len(changes)
	var err error
	if e.ID, err = Erasures.Add(t.conn, e); err != nil {
		return e, foreign(err, e.Buyer)
	}
	for _, c := range changes {
		if err := t.change(e, c); err != nil {
			return e, err
		}
	}
	return e, t.after(e.Buyer)
}

func (t *PrivacyRows) change(e upkeep.Erasure, c upkeep.CellChange) error {
	p := partOf(c.Table)
	if p.fixed {
		if _, err := t.conn.Exec(`INSERT INTO blanked (part, row_id, erasure) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING`, c.Table, c.Key[0], e.ID); err != nil {
			return err
		}
	}
	is, err := t.conn.SealCell(c.Table, c.Column, table.KeyText(c.Key...), c.Is)
	if err != nil {
		return err
	}
	args := []any{is}
	var where []string
	for i, k := range p.keys() {
		args = append(args, c.Key[i])
		where = append(where, fmt.Sprintf("%s = $%d", k, i+2))
	}
	if c.Table == "register" { // of its columns the note alone may be blanked
		if err := leaves.Forget(t.conn, c.Key[0].(int64)); err != nil {
			return err
		}
	}
	n, err := t.conn.Exec("UPDATE "+c.Table+" SET "+c.Column+" = $1 WHERE "+strings.Join(where, " AND "), args...)
	return table.Must(n == 1, err, "%s %v", p.what, c.Key)
}

// after brings along what is made of the rows: how buyers are compared, and by which words they and their orders are found.
func (t *PrivacyRows) after(person int64) error {
	all, err := table.Values[int64](t.conn, `SELECT id FROM buyers WHERE id = $1 OR same_as = $1`, person)
	if err != nil {
		return err
	}
	if _, err := t.conn.Exec(`UPDATE buyers SET apart = 1 WHERE id = $1 OR same_as = $1`, person); err != nil { // two who were erased are not one person for that
		return err
	}
	for _, id := range all {
		t.index.StaleBuyer(id)
		if err := t.forgetWords(id); err != nil {
			return err
		}
	}
	placed, err := table.Values[int64](t.conn, `SELECT id FROM orders WHERE buyer IN `+herself, person)
	if err != nil {
		return err
	}
	for _, id := range placed {
		t.forget(id)
	}
	return t.index.BareOrders(placed)
}

// forgetWords leaves nothing by which a buyer is compared.
func (t *PrivacyRows) forgetWords(id int64) error {
	_, err := t.conn.Exec(`UPDATE person_words SET name = '', email = '' WHERE id = $1`, id)
	return err
}
