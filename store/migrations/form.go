package migrations

import (
	"context"
	"database/sql"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"solander/store/engine"
)

const liteForm = `SELECT 'the ' || type || ' ' || name, coalesce(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite!_%' ESCAPE '!'`

// SQLiteForm compares tables, indexes and triggers with what the migrations make in an empty database.
func SQLiteForm(ctx context.Context, db *sql.DB) ([]string, error) {
	have, err := FormOf(ctx, db, liteForm)
	if err != nil {
		return nil, err
	}
	want, err := liteMade()
	if err != nil {
		return nil, err
	}
	return FormDiffers(have, want), nil
}

// liteMade is what the migrations make in an empty database. That is the same as long as the program runs.
var liteMade = sync.OnceValues(func() (map[string]string, error) {
	ctx := context.Background() // whoever asks first may have gone before it is known
	empty, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return nil, err
	}
	defer empty.Close()
	empty.SetMaxOpenConns(1) // another connection would be another database
	form, err := Schema()
	if err != nil {
		return nil, err
	}
	if err := SQLite.Run(ctx, empty, 0, form); err != nil {
		return nil, err
	}
	return FormOf(ctx, empty, liteForm)
})

// FormOf reads what stands in a database: its definition by what it is.
func FormOf(ctx context.Context, q engine.Asker, query string) (map[string]string, error) {
	form := map[string]string{}
	err := engine.EachRow(ctx, q, query, func(rows *sql.Rows) error {
		var what, definition string
		err := rows.Scan(&what, &definition)
		if !strings.HasSuffix(what, " "+Versions) && !strings.HasSuffix(what, " "+Versions+"_pkey") {
			form[what] = strings.Join(strings.Fields(definition), " ")
		}
		return err
	})
	return form, err
}

// interferes reports whether a thing too much can change or refuse what is written.
func interferes(what, definition string) bool {
	for _, kind := range []string{"the trigger ", "the rule ", "the constraint "} {
		if strings.HasPrefix(what, kind) {
			return true
		}
	}
	return strings.HasPrefix(what, "the index ") && strings.Contains(strings.ToUpper(definition), "UNIQUE")
}

// FormDiffers says what is gone, is another, or is too much and interferes.
func FormDiffers(have, want map[string]string) []string {
	var found []string
	for _, what := range slices.Sorted(maps.Keys(want)) {
		switch got, there := have[what]; {
		case !there:
			found = append(found, what+" is gone")
		case got != want[what]:
			found = append(found, fmt.Sprintf("%s is not as this program makes it: %.200s", what, got))
		}
	}
	for _, what := range slices.Sorted(maps.Keys(have)) {
		if _, known := want[what]; !known && interferes(what, have[what]) {
			found = append(found, what+" is none of this program")
		}
	}
	return found
}
