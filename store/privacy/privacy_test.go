package privacy_test

import (
	"bytes"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/internal/bed"
	use "solander/privacy"
	"solander/store/privacy"
	"solander/studio"
	"solander/upkeep"
)

// schema lists the columns of all tables of a database. What the migrations' own tool keeps, and how SQLite keeps an index of words
// inside, is left out: the words are looked at by themselves.
func schema(t *testing.T, b *bed.Bed) map[string]bool {
	t.Helper()
	query := `SELECT m.name, p.name FROM sqlite_schema m JOIN pragma_table_info(m.name) p WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite!_%' ESCAPE '!'`
	if isServer(b.Path) {
		query = `SELECT table_name, column_name FROM information_schema.columns WHERE table_schema = current_schema()`
	}
	rows, err := raw(t, b).Query(query)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	out := map[string]bool{}
	for rows.Next() {
		var table, column string
		if err := rows.Scan(&table, &column); err != nil {
			t.Fatal(err)
		}
		inside := strings.HasPrefix(table, "order_words_") || strings.HasPrefix(table, "buyer_words_")
		if !inside && !strings.HasPrefix(table, "goose") {
			out[table+"."+column] = true
		}
	}
	if len(out) < 200 {
		t.Fatalf("only %d columns found: nothing was tested", len(out))
	}
	return out
}

// Whoever adds a column says here whether it is about a buyer.
func TestEveryColumnHasOneClass(t *testing.T) {
	onEach(t, func(t *testing.T, b *bed.Bed) {
		have := schema(t, b)
		said := map[string]int{}
		for _, c := range privacy.Columns() {
			said[c.Table+"."+c.Name]++
		}
		for c := range have {
			if said[c] != 1 {
				t.Errorf("the column %s has %d classes in store/privacy/parts.go, want one", c, said[c])
			}
		}
		only := map[string]bool{"high_water.id": true, "high_water.writes": true, "order_words.id": true, "buyer_words.id": true} // of one engine alone
		for c := range said {
			if !have[c] && !only[c] {
				t.Errorf("store/privacy/parts.go says something about %s, which is not there", c)
			}
		}
	})
}

// derived are made of other columns: they are no words of their own.
func derived(c privacy.Column) bool {
	return c.Table == "person_words" || strings.HasSuffix(c.Table, "_words")
}

// waits is about files that were not brought in yet: see TestFileThatWaits.
func waits(c privacy.Column) bool { return c.Table == "arrivals" || c.Table == "arrival_parts" }

func TestEverythingPersonalIsGivenOut(t *testing.T) {
	onEach(t, func(t *testing.T, b *bed.Bed) {
		her := story(b)
		d, err := use.KeptOf(b.Ctx, b.Studio, her)
		b.Must(err)
		given := map[string]string{}
		secrets := 0
		for _, table := range d.Tables {
			for i, c := range table.Columns {
				for _, row := range table.Rows {
					given[table.Name+"."+c.Name] += fmt.Sprint(row[i]) + "\n"
				}
			}
		}
		for _, c := range privacy.Columns() {
			name := c.Table + "." + c.Name
			switch {
			case c.Class == upkeep.KeptSecret:
				secrets++
				if _, ok := given[name]; ok {
					t.Errorf("the secret %s is given out", name)
				}
			case c.Class == upkeep.KeptPersonal && c.Blanked && !waits(c) && !strings.HasPrefix(c.Table, "order_") && !strings.HasPrefix(c.Table, "buyer_"):
				if !strings.Contains(strings.ToLower(given[name]), told) {
					t.Errorf("nothing of %s is given out; the story does not fill it, or it is forgotten: %.200q", name, given[name])
				}
			case c.Class == upkeep.KeptPersonal && !waits(c) && !derived(c):
				if strings.TrimSpace(given[name]) == "" {
					t.Errorf("nothing of %s is given out", name)
				}
			}
		}
		if secrets == 0 {
			t.Error("no secret was looked for")
		}
		for _, where := range []string{"works.note", "moves.reason", "hand_overs.note", "register.note"} { // where others' rows name her
			if !strings.Contains(strings.ToLower(given[where]), told) {
				t.Errorf("that she is named in %s is not given out: %q", where, given[where])
			}
		}
	})
}

// cells is every cell of every table, by table, key and column.
func cells(t *testing.T, b *bed.Bed) map[string]string {
	t.Helper()
	db := raw(t, b)
	columns := map[string][]string{}
	for c := range schema(t, b) {
		table, name, _ := strings.Cut(c, ".")
		columns[table] = append(columns[table], name)
	}
	out := map[string]string{}
	for table, names := range columns {
		slices.Sort(names)
		if table == "order_words" || table == "buyer_words" {
			continue
		}
		rows, err := db.Query(`SELECT ` + strings.Join(names, ", ") + ` FROM ` + table)
		if err != nil {
			t.Fatal(table, err)
		}
		for rows.Next() {
			values, dest := make([]any, len(names)), make([]any, len(names))
			for i := range dest {
				dest[i] = &values[i]
			}
			if err := rows.Scan(dest...); err != nil {
				t.Fatal(err)
			}
			var key []string
			for i, n := range names {
				if slices.Contains(keys[table], n) {
					key = append(key, fmt.Sprint(values[i]))
				}
			}
			for i, n := range names {
				out[table+"("+strings.Join(key, ",")+")."+n] = fmt.Sprint(values[i])
			}
		}
		if err := rows.Close(); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// keys are those of tables that have no id.
var keys = map[string][]string{}

func init() {
	for _, c := range privacy.Columns() {
		if c.Name == "id" {
			keys[c.Table] = []string{"id"}
		}
	}
	for table, key := range map[string]string{
		"counters": "name", "pictures": "work", "picture_bodies": "size work", "told_apart": "a b", "impressions": "edition kind number", "register": "seq", "tallies": "edition",
		"stocks": "item kind", "feed_answers": "feed key", "feed_messages": "feed print", "arrival_parts": "arrival part", "mappings": "name", "origins": "order_id place",
		"blanked": "part row_id", "rota_jobs": "name",
	} {
		keys[table] = strings.Fields(key)
	}
}

// changed are the cells that differ.
func changed(before, after map[string]string) map[string][2]string {
	out := map[string][2]string{}
	for k, v := range after {
		if was, ok := before[k]; !ok || was != v {
			out[k] = [2]string{was, v}
		}
	}
	for k, v := range before {
		if _, ok := after[k]; !ok {
			out[k] = [2]string{v, "(gone)"}
		}
	}
	return out
}

// noted are the cells that an erasure changes beside what its trial says: that it was done, and what is made of the rows.
func noted(cell string) bool {
	for _, at := range []string{"erasures(", "blanked(", "counters(", "high_water(", "person_words(", "marks(", "leaves(", "touched("} {
		if strings.HasPrefix(cell, at) {
			return true
		}
	}
	return strings.HasPrefix(cell, "buyers(") && strings.HasSuffix(cell, ").apart")
}

// The trial says exactly what the deed does, cell by cell.
func TestTrialAndErasingAgree(t *testing.T) {
	onEach(t, func(t *testing.T, b *bed.Bed) {
		her := story(b)
		before := cells(t, b)
		tr, err := use.Try(b.Ctx, b.Studio, her)
		b.Must(err)
		if again := changed(before, cells(t, b)); len(again) > 0 {
			t.Fatalf("the trial changed %v", again)
		}
		want := map[string][2]string{}
		var all []upkeep.CellChange
		b.Must(b.Store.Read(b.Ctx, func(tx studio.Tx) error {
			all, err = tx.Erasing(her)
			return err
		}))
		for _, c := range all {
			want[c.Table+"("+keyOf(c)+")."+c.Column] = [2]string{c.Was, c.Is}
		}
		_, err = use.Erase(b.Ctx, b.Studio, use.EraseIn{Buyer: her, Seen: tr.Seen})
		b.Must(err)
		got := changed(before, cells(t, b))
		for cell := range got {
			if _, foreseen := want[cell]; !foreseen && noted(cell) {
				delete(got, cell)
			}
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Error(d)
		}
		b.Sound()
	})
}

// keyOf is the key of a changed cell as cells writes it: by the names of its columns.
func keyOf(c upkeep.CellChange) string {
	var out []string
	for _, k := range c.Key {
		out = append(out, fmt.Sprint(k))
	}
	return strings.Join(out, ",")
}

func TestNothingOfHerIsLeft(t *testing.T) {
	onEach(t, func(t *testing.T, b *bed.Bed) {
		her := story(b)
		tr, err := use.Try(b.Ctx, b.Studio, her)
		b.Must(err)
		done, err := use.Erase(b.Ctx, b.Studio, use.EraseIn{Buyer: her, Seen: tr.Seen})
		b.Must(err)
		for cell, text := range cells(t, b) {
			if strings.Contains(strings.ToLower(text), told) {
				t.Errorf("%s still holds %.80q", cell, text)
			}
		}
		if done.Why != upkeep.ErasedAsked || done.Who != "tester" || done.Cells == 0 {
			t.Errorf("noted: %+v", done)
		}
		for word, n := range wordsOf(t, b) {
			if strings.Contains(word, told) && !strings.HasPrefix(word, "r77") {
				t.Errorf("the index of words still holds %s, %d times", word, n)
			}
		}
		b.Sound()
		if st := b.State(b.Heron.ID, 1); st.State != "sent" {
			t.Errorf("her number is %s", st.State)
		}
		_, err = use.Try(b.Ctx, b.Studio, her)
		b.Refused(err, fault.Refused, "", "erased already")
		if isServer(b.Path) {
			return
		}
		b.Must(b.Store.Close())
		noBytes(t, filepath.Dir(b.Path))
	})
}

// wordsOf are the words of the indexes.
func wordsOf(t *testing.T, b *bed.Bed) map[string]int {
	t.Helper()
	db := raw(t, b)
	out := map[string]int{}
	for _, table := range []string{"order_words", "buyer_words"} {
		query := `SELECT word, ndoc FROM ts_stat('SELECT words FROM ` + table + `')`
		var conn interface {
			Query(string, ...any) (*sql.Rows, error)
		} = db
		if !isServer(b.Path) {
			db.SetMaxOpenConns(1)
			// Source: sqlite.org/fts5.html, 8 "The fts5vocab Virtual Table Module".
			if _, err := db.Exec(`CREATE VIRTUAL TABLE temp.v_` + table + ` USING fts5vocab('main', '` + table + `', 'row')`); err != nil {
				t.Fatal(err)
			}
			query = `SELECT term, doc FROM temp.v_` + table
		}
		rows, err := conn.Query(query)
		if err != nil {
			t.Fatal(err)
		}
		for rows.Next() {
			var word string
			var n int
			if err := rows.Scan(&word, &n); err != nil {
				t.Fatal(err)
			}
			out[word] += n
		}
		rows.Close()
	}
	if len(out) == 0 {
		t.Fatal("there are no words: nothing was tested")
	}
	return out
}

// noBytes looks into every file of a folder.
func noBytes(t *testing.T, folder string) {
	t.Helper()
	files, err := os.ReadDir(folder)
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		body, err := os.ReadFile(filepath.Join(folder, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		lower := bytes.ToLower(body)
		for at := bytes.Index(lower, []byte(told)); at >= 0; {
			if around := lower[max(0, at-20):min(len(lower), at+20)]; letters(lower[at:min(len(lower), at+5)]) {
				t.Errorf("%s holds %q", f.Name(), around)
				return
			}
			next := bytes.Index(lower[at+1:], []byte(told))
			if next < 0 {
				break
			}
			at += 1 + next
		}
	}
}

// letters reports whether bytes are the beginning of a word of the story rather than chance.
func letters(b []byte) bool {
	for _, c := range b {
		if c < 'a' || c > 'z' {
			return false
		}
	}
	return len(b) == 5
}
