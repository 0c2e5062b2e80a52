package store

import (
	"bufio"
	"compress/gzip"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/store/migrations"
)

// linesOfCopy reads a copy in the studio's own form, as docs/formats/backup.md describes it.
func linesOfCopy(t *testing.T, path string, form int64) map[string]held {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	zip, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	out, table := map[string]held{}, ""
	lines := bufio.NewScanner(zip)
	lines.Buffer(nil, 1<<25)
	for lines.Scan() {
		line := lines.Text()
		if strings.HasPrefix(line, "[") {
			dec := json.NewDecoder(strings.NewReader(line))
			dec.UseNumber()
			var row []any
			if err := dec.Decode(&row); err != nil {
				t.Fatal(err)
			}
			for i, v := range row {
				if n, ok := v.(json.Number); ok {
					if row[i], err = n.Int64(); err != nil {
						t.Fatal(err)
					}
				}
			}
			h := out[table]
			h.rows = append(h.rows, row)
			out[table] = h
			continue
		}
		var head struct {
			Table   string
			Columns []string
			Schema  int64
		}
		if err := json.Unmarshal([]byte(line), &head); err != nil {
			t.Fatal(err)
		}
		if head.Schema != 0 && head.Schema != form {
			t.Errorf("the copy is of form %d, want %d", head.Schema, form)
		}
		if head.Table != "" {
			table = head.Table
			out[table] = held{columns: head.Columns}
		}
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

// asItStands is all that can be told of a studio: the form that is noted, the form of its tables, and its rows.
func asItStands(t *testing.T, kind, place string) map[string]string {
	t.Helper()
	db := raw(t, place)
	defer db.Close()
	set, query := migrations.SQLite, `SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_schema`
	if kind == "postgres" {
		set = migrations.Postgres
		query = `SELECT CAST(table_name AS TEXT), string_agg(CAST(column_name AS TEXT) || ' ' || CAST(data_type AS TEXT), ', ' ORDER BY ordinal_position)
			FROM information_schema.columns WHERE table_schema = current_schema() GROUP BY 1
			UNION ALL SELECT CAST(indexname AS TEXT), indexdef FROM pg_indexes WHERE schemaname = current_schema()
			UNION ALL SELECT CAST(tgname AS TEXT), pg_get_triggerdef(t.oid) FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
				WHERE NOT tgisinternal AND c.relnamespace = CAST(current_schema() AS regnamespace)`
	}
	out, err := migrations.FormOf(t.Context(), db, query)
	if err != nil {
		t.Fatal(err)
	}
	form, err := set.Form(t.Context(), db)
	if err != nil {
		t.Fatal(err)
	}
	out["form"] = fmt.Sprint(form)
	for name, digest := range digestsOf(rowsOf(t, db)) {
		out["rows of "+name] = digest
	}
	if len(out) < 20 {
		t.Fatalf("only %d things are known of the studio: too little was compared", len(out))
	}
	return out
}

// onOlder runs a test on a studio of a form, on each engine.
func onOlder(t *testing.T, form int64, f func(t *testing.T, kind, place string)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) { f(t, "sqlite", olderFile(t, form)) })
	t.Run("postgres", func(t *testing.T) { f(t, "postgres", olderOnServer(t, form)) })
}

// filesIn returns the files of a folder with what they hold.
func filesIn(t *testing.T, folder string) map[string]string {
	t.Helper()
	files, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(folder, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name()] = string(data)
	}
	return out
}

// mustRefuse opens a studio that must not open, and returns what is said.
func mustRefuse(t *testing.T, place string, opt Options) error {
	t.Helper()
	s, err := Open(t.Context(), place, opt)
	if err == nil {
		s.Close()
		t.Fatal("it was opened")
	}
	var f *fault.Error
	if !errors.As(err, &f) || f.Code != fault.Refused || f.Where == "" || f.Mend == "" {
		t.Fatalf("got %v, want a refusal that says what, where and how to mend it", err)
	}
	return err
}

// TestUpgradeThatFails lets a step fail after others were made: the studio is as it was, and no copy is left of an upgrade that was none.
func TestUpgradeThatFails(t *testing.T) {
	t.Parallel()
	onOlder(t, 16, func(t *testing.T, kind, place string) {
		if _, err := raw(t, place).Exec(`ALTER TABLE shelf ADD COLUMN coming BIGINT NOT NULL DEFAULT 0`); kind == "postgres" && err != nil {
			t.Fatal(err)
		} else if err != nil {
			if _, err := raw(t, place).Exec(`ALTER TABLE shelf ADD COLUMN coming INTEGER NOT NULL DEFAULT 0`); err != nil {
				t.Fatal(err)
			}
		}
		before := asItStands(t, kind, place)
		folder := t.TempDir()
		err := mustRefuse(t, place, Options{Copies: folder})
		if !strings.Contains(err.Error(), "as it was (form 16)") {
			t.Errorf("got %v", err)
		}
		if diff := cmp.Diff(before, asItStands(t, kind, place)); diff != "" {
			t.Errorf("(-before +after):\n%s", diff)
		}
		if kind == "sqlite" {
			folder = filepath.Dir(place)
		}
		if left, err := filepath.Glob(filepath.Join(folder, "*before-upgrade*")); err != nil || len(left) > 0 {
			t.Errorf("left behind: %q (%v)", left, err)
		}
		// Once what stood in its way is gone, it is brought up to date.
		if _, err := raw(t, place).Exec(`ALTER TABLE shelf DROP COLUMN coming`); err != nil {
			t.Fatal(err)
		}
		if from, _, _ := openedWith(t, place, Options{Copies: folder}).(*store).Upgraded(); from != 16 {
			t.Errorf("brought up to date from form %d, want 16", from)
		}
	})
}

// TestNewerIsLeftAlone opens a studio that a newer program brought up to date: it is refused, and nothing is written.
func TestNewerIsLeftAlone(t *testing.T) {
	t.Parallel()
	newest, err := migrations.Schema()
	if err != nil {
		t.Fatal(err)
	}
	newer := func(t *testing.T, kind, place string) *sql.DB {
		t.Helper()
		db := raw(t, place)
		for _, statement := range []string{
			fmt.Sprintf(`INSERT INTO schema_versions (version_id, is_applied) VALUES (%d, %s)`, newest+3, map[string]string{"sqlite": "1", "postgres": "true"}[kind]),
			`CREATE TABLE of_later (id BIGINT PRIMARY KEY)`,
			`DROP TABLE told_apart`, // what this program would miss
		} {
			if _, err := db.Exec(statement); err != nil {
				t.Fatal(err)
			}
		}
		return db
	}
	said := func(t *testing.T, err error) {
		t.Helper()
		for _, want := range []string{"newer version", fmt.Sprintf("form %d, this one knows %d", newest+3, newest), "nothing was changed", "before-upgrade"} {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%q does not say %q", err, want)
			}
		}
	}
	onOlder(t, newest, func(t *testing.T, kind, place string) {
		newer(t, kind, place).Close()
		before := asItStands(t, kind, place)
		var files map[string]string
		if kind == "sqlite" {
			files = filesIn(t, filepath.Dir(place))
		}
		said(t, mustRefuse(t, place, Options{Copies: t.TempDir()}))
		said(t, mustRefuse(t, place, Options{Copies: t.TempDir(), There: true}))
		if kind == "sqlite" {
			if diff := cmp.Diff(files, filesIn(t, filepath.Dir(place))); diff != "" {
				t.Errorf("files (-before +after):\n%s", diff)
			}
		}
		if diff := cmp.Diff(before, asItStands(t, kind, place)); diff != "" {
			t.Errorf("(-before +after):\n%s", diff)
		}
	})
	// While the newer program still has it open, its latest writes are in the log.
	t.Run("sqlite, open", func(t *testing.T) {
		place := olderFile(t, newest)
		db := raw(t, place)
		if _, err := db.Exec(`PRAGMA journal_mode = WAL`); err != nil {
			t.Fatal(err)
		}
		newer(t, "sqlite", place)
		said(t, mustRefuse(t, place, Options{}))
		var later int
		if err := db.QueryRow(`SELECT count(*) FROM of_later`).Scan(&later); err != nil {
			t.Error(err)
		}
	})
}

// TestNoFolderForACopy refuses to bring a studio on a server up to date when there is no folder for the copy.
func TestNoFolderForACopy(t *testing.T) {
	t.Parallel()
	place := olderOnServer(t, 18)
	before := asItStands(t, "postgres", place)
	if err := mustRefuse(t, place, Options{}); !strings.Contains(err.Error(), "no folder") {
		t.Errorf("got %v", err)
	}
	if diff := cmp.Diff(before, asItStands(t, "postgres", place)); diff != "" {
		t.Errorf("(-before +after):\n%s", diff)
	}
}

// TestUpgradeAtOnce lets several programs open an older studio at once: one brings it up to date, and all open it.
func TestUpgradeAtOnce(t *testing.T) {
	t.Parallel()
	onOlder(t, 18, func(t *testing.T, kind, place string) {
		folder := t.TempDir()
		const programs = 4
		type opening struct {
			from int64
			err  error
		}
		out := make(chan opening, programs)
		for range programs {
			go func() {
				s, err := Open(context.Background(), place, Options{Copies: folder})
				if err != nil {
					out <- opening{err: err}
					return
				}
				from, _, _ := s.(*store).Upgraded()
				out <- opening{from, s.Close()}
			}()
		}
		did := 0
		for range programs {
			o := <-out
			if o.err != nil {
				t.Error(o.err)
			}
			if o.from != 0 {
				did++
			}
		}
		if did != 1 {
			t.Errorf("%d programs brought it up to date, want 1", did)
		}
	})
}
