// Package numbers keeps works and editions, and the register: every number with its entries, how it stands, and the
// counts of each edition. An entry is checked against edition's rules before it is added; it is never changed.
package numbers

import (
	"cmp"
	"fmt"
	"slices"

	"solander/edition"
	"solander/store/table"
	"solander/store/words"
)

// Works are the works.
var Works = table.Make("works", "work", func(w *edition.Work) table.Columns {
	return table.Columns{"id", &w.ID, "title", &w.Title, "year", &w.Year, "note", &w.Note}
})

// Editions are the editions.
var Editions = table.Make("editions", "edition", func(e *edition.Edition) table.Columns {
	return table.Columns{
		"id", &e.ID, "work", &e.Work, "width", &e.Width, "height", &e.Height, "paper", &e.Paper,
		"grammage", &e.Grammage, "caliper", &e.Caliper, "grade", &e.Grade, "technique", &e.Technique,
		"declared_limit", &e.Limit, "ap", &e.Proofs.AP, "pp", &e.Proofs.PP, "hc", &e.Proofs.HC,
		"bat", &e.Proofs.BAT, "tightest_roll", &e.TightestRoll, "price", &e.Price,
		"price_steps", table.JSON(&e.Steps), "print_cost", &e.PrintCost, "declared", &e.Declared,
		"closed", &e.Closed,
	}
})

// CatalogueRows are works and editions within one transaction.
type CatalogueRows struct {
	conn  *table.Conn
	index *words.Index
	log   Log
}

// Catalogue are the works and editions of a transaction.
func Catalogue(c *table.Conn, x *words.Index, log Log) *CatalogueRows {
	return &CatalogueRows{c, x, log}
}

// Works returns all works, by title.
func (t *CatalogueRows) Works() ([]edition.Work, error) {
	out, err := Works.List(t.conn, "")
	words.ByName(out, func(x edition.Work) (string, int64) { return x.Title, x.ID })
	return out, err
}

// Work reads a work.
func (t *CatalogueRows) Work(id int64) (edition.Work, error) { return Works.Get(t.conn, id) }

// SaveWork adds a work, or changes one. Faults: Missing.
func (t *CatalogueRows) SaveWork(w edition.Work) (int64, error) {
	if w.ID != 0 {
		before, err := t.Work(w.ID)
		if err != nil {
			return 0, err
		}
		if before.Title != w.Title {
			t.index.StaleWork(w.ID)
		}
	}
	return Works.Save(t.conn, w)
}

// The title of the work is read along.
func (t *CatalogueRows) editions(rest string, args ...any) ([]edition.Edition, error) {
	return Editions.Read(t.conn, "SELECT "+Editions.Under("e")+", w.title FROM editions e JOIN works w ON w.id = e.work"+rest, args,
		func(e *edition.Edition) any { return &e.Title })
}

// Editions returns all editions, by title, size and grade.
func (t *CatalogueRows) Editions() ([]edition.Edition, error) {
	out, err := t.editions("")
	slices.SortFunc(out, func(a, b edition.Edition) int {
		return cmp.Or(words.Compare(a.Title, b.Title), cmp.Compare(a.Width, b.Width), cmp.Compare(a.Height, b.Height),
			words.Compare(a.Grade, b.Grade), cmp.Compare(a.ID, b.ID))
	})
	return out, err
}

// Edition reads an edition with the title of its work.
func (t *CatalogueRows) Edition(id int64) (edition.Edition, error) {
	out, err := t.editions(" WHERE e.id = $1", id)
	return table.Only(out, err, "edition %d", id)
}

// Declare adds an edition and a row for each of its numbers and proofs, all free.
func (t *CatalogueRows) Declare(e edition.Edition) (int64, error) {
	w, err := t.Work(e.Work)
	if err != nil {
		return 0, err
	}
	if e.ID, err = Editions.Add(t.conn, e); err != nil {
		return 0, err
	}
	for _, k := range edition.Kinds() {
		if err := t.declareKind(e, k); err != nil {
			return 0, err
		}
	}
	e.Title = w.Title
	if err := t.log.AppendDeclared(e, w.Year); err != nil {
		return 0, err
	}
	_, err = t.conn.Exec(`INSERT INTO tallies (edition, free, promised, signed, sent, returned, spoilt, kept, withdrawn, consigned, sold, held)
		VALUES ($1, $2, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0)`, e.ID, e.Total())
	return e.ID, err
}

func (t *CatalogueRows) declareKind(e edition.Edition, k edition.Kind) error {
	if e.Count(k) == 0 {
		return nil
	}
	n, err := t.conn.Exec(`INSERT INTO impressions (edition, kind, number)
		WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < CAST($3 AS BIGINT))
		SELECT CAST($1 AS BIGINT), CAST($2 AS TEXT), i FROM n`, e.ID, k, e.Count(k))
	if err == nil && n != int64(e.Count(k)) {
		err = fmt.Errorf("%d of %d numbers of kind %s were made", n, e.Count(k), k)
	}
	return err
}

// Reprice changes price, price steps and print cost, nothing else. Faults: Missing.
func (t *CatalogueRows) Reprice(e edition.Edition) error {
	return Editions.ChangeOnly(t.conn, e, "price", "price_steps", "print_cost")
}

// CloseEdition ends an edition. Faults: Missing.
func (t *CatalogueRows) CloseEdition(id int64) error {
	return t.conn.Change("edition", id, `UPDATE editions SET closed = 1 WHERE id = $1`, id)
}
