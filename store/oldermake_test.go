package store

import (
	"bytes"
	"compress/gzip"
	"database/sql"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"solander/store/migrations"
	"solander/store/sqlite"
)

var makeOlder = flag.Bool("make-older", false, "make the studios of testdata/older that are missing, by migrations and rows")

// firstRun is the form of the first program that kept a studio: of earlier ones there was none to make it.
const firstRun = 7

// TestMakeOlder makes what is missing of testdata/older: of a form, from the studio of the one before it, by its migration; of the earliest, in
// which no program ever kept a studio, from the rows of the first that one did.
func TestMakeOlder(t *testing.T) {
	if !*makeOlder {
		t.Skip("it makes files of testdata when it is asked to: -make-older")
	}
	newest, err := migrations.Schema()
	if err != nil {
		t.Fatal(err)
	}
	for form := int64(1); form <= newest; form++ {
		name := filepath.Join("testdata", "older", fmt.Sprintf("%05d.db.gz", form))
		if _, err := os.Stat(name); err == nil {
			continue
		}
		place := filepath.Join(t.TempDir(), "studio.db")
		if form > firstRun {
			if err := os.WriteFile(place, older(t, form-1), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		db := raw(t, place)
		inTx(t, db, func(tx *sql.Tx) error {
			if form > firstRun {
				return migrations.SQLite.Run(t.Context(), tx, form-1, form)
			}
			if _, err := tx.Exec(fmt.Sprintf(`PRAGMA application_id = %d`, sqlite.ApplicationID)); err != nil {
				return err
			}
			if err := migrations.SQLite.Run(t.Context(), tx, 0, form); err != nil {
				return err
			}
			rows, known := rowsOf(t, raw(t, olderFile(t, firstRun))), map[string]held{}
			for table := range rows {
				if columns := namesFound(t, tx, columnsOfSQLite, table); len(columns) > 0 {
					known[table] = held{columns: columns, rows: rows[table].rows}
				}
			}
			return plant(t.Context(), tx, within(rows, known))
		})
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		whole, err := os.ReadFile(place)
		if err != nil {
			t.Fatal(err)
		}
		var zipped bytes.Buffer
		zip, err := gzip.NewWriterLevel(&zipped, gzip.BestCompression)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := zip.Write(whole); err != nil {
			t.Fatal(err)
		}
		if err := zip.Close(); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, zipped.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Logf("made %s", name)
	}
}
