package store

import (
	"cmp"
	"database/sql"
	"fmt"
	"slices"

	"solander/edition"
)

const workColumns = "id, title, year, note"

func scanWork(rows *sql.Rows) (w edition.Work, err error) {
	err = rows.Scan(&w.ID, &w.Title, &w.Year, &w.Note)
	return w, err
}

func (t *tx) Works() ([]edition.Work, error) {
	out, err := list(t, scanWork, selectFrom("works", workColumns, ""))
	slices.SortFunc(out, func(a, b edition.Work) int {
		return cmp.Or(byText(a.Title, b.Title), cmp.Compare(a.ID, b.ID))
	})
	return out, err
}

func (t *tx) Work(id int64) (edition.Work, error) {
	out, err := list(t, scanWork, selectFrom("works", workColumns, "WHERE id = $1"), id)
	return only(out, err, "work %d", id)
}

func (t *tx) SaveWork(w edition.Work) (int64, error) {
	if w.ID == 0 {
		id, err := t.next("works")
		if err != nil {
			return 0, err
		}
		_, err = t.exec(insertInto("works", workColumns), id, w.Title, w.Year, w.Note)
		return id, err
	}
	before, err := t.Work(w.ID)
	if err != nil {
		return 0, err
	}
	if before.Title != w.Title {
		t.stale.works = append(t.stale.works, w.ID)
	}
	return w.ID, t.change("work", w.ID, updateOf("works", workColumns), w.ID, w.Title, w.Year, w.Note)
}

const editionColumns = "id, work, width, height, paper, grammage, caliper, grade, technique, declared_limit, ap, pp, hc, bat, " +
	"tightest_roll, price, price_currency, price_steps, print_cost, print_cost_currency, declared, closed"

func editionValues(e edition.Edition) ([]any, error) {
	steps, err := asJSON(e.Steps)
	return []any{
		e.ID, e.Work, e.Width, e.Height, e.Paper, e.Grammage, e.Caliper, e.Grade, e.Technique, e.Limit,
		e.Proofs.AP, e.Proofs.PP, e.Proofs.HC, e.Proofs.BAT, e.TightestRoll, e.Price.Minor, e.Price.Currency, steps,
		e.PrintCost.Minor, e.PrintCost.Currency, e.Declared, e.Closed,
	}, err
}

func scanEdition(rows *sql.Rows) (e edition.Edition, err error) {
	err = rows.Scan(&e.ID, &e.Work, &e.Width, &e.Height, &e.Paper, &e.Grammage, &e.Caliper, &e.Grade, &e.Technique, &e.Limit,
		&e.Proofs.AP, &e.Proofs.PP, &e.Proofs.HC, &e.Proofs.BAT, &e.TightestRoll, &e.Price.Minor, &e.Price.Currency, inJSON{&e.Steps},
		&e.PrintCost.Minor, &e.PrintCost.Currency, day{&e.Declared}, &e.Closed, &e.Title)
	return e, err
}

// The title of the work is read along.
var selectEdition = selectFrom("editions e", "e."+spread(editionColumns, "e")+", w.title", "JOIN works w ON w.id = e.work")

func (t *tx) Editions() ([]edition.Edition, error) {
	out, err := list(t, scanEdition, selectEdition)
	slices.SortFunc(out, func(a, b edition.Edition) int {
		return cmp.Or(byText(a.Title, b.Title), cmp.Compare(a.Width, b.Width), cmp.Compare(a.Height, b.Height),
			byText(a.Grade, b.Grade), cmp.Compare(a.ID, b.ID))
	})
	return out, err
}

func (t *tx) Edition(id int64) (edition.Edition, error) {
	out, err := list(t, scanEdition, selectEdition+" WHERE e.id = $1", id)
	return only(out, err, "edition %d", id)
}

// Declare adds an edition and a row for each of its numbers and proofs, all free.
func (t *tx) Declare(e edition.Edition) (int64, error) {
	if _, err := t.Work(e.Work); err != nil {
		return 0, err
	}
	var err error
	if e.ID, err = t.next("editions"); err != nil {
		return 0, err
	}
	values, err := editionValues(e)
	if err != nil {
		return 0, err
	}
	if _, err := t.exec(insertInto("editions", editionColumns), values...); err != nil {
		return 0, err
	}
	for _, k := range edition.Kinds() {
		if err := t.declareKind(e, k); err != nil {
			return 0, err
		}
	}
	_, err = t.exec(`INSERT INTO tallies (edition, free, promised, signed, sent, returned, spoilt, kept, withdrawn, held)
		VALUES ($1, $2, 0, 0, 0, 0, 0, 0, 0, 0)`, e.ID, e.Total())
	return e.ID, err
}

func (t *tx) declareKind(e edition.Edition, k edition.Kind) error {
	if e.Count(k) == 0 {
		return nil
	}
	n, err := t.exec(`INSERT INTO impressions (edition, kind, number)
		WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < CAST($3 AS BIGINT))
		SELECT CAST($1 AS BIGINT), CAST($2 AS TEXT), i FROM n`, e.ID, k, e.Count(k))
	if err == nil && n != int64(e.Count(k)) {
		err = fmt.Errorf("%d of %d numbers of kind %s were made", n, e.Count(k), k)
	}
	return err
}

// Reprice changes price, price steps and print cost, nothing else.
func (t *tx) Reprice(e edition.Edition) error {
	steps, err := asJSON(e.Steps)
	if err != nil {
		return err
	}
	return t.change("edition", e.ID, `UPDATE editions SET price = $2, price_currency = $3, price_steps = $4, print_cost = $5,
		print_cost_currency = $6 WHERE id = $1`, e.ID, e.Price.Minor, e.Price.Currency, steps, e.PrintCost.Minor, e.PrintCost.Currency)
}

func (t *tx) CloseEdition(id int64) error {
	return t.change("edition", id, `UPDATE editions SET closed = 1 WHERE id = $1`, id)
}
