package migrations

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"

	"solander/store/engine"
)

// Guarded is a table on which money or ownership rests: of each of its rows a digest is kept.
type Guarded struct {
	Table string
	Key   []string // by which its rows are told apart, at most three columns
	Text  []bool   // which of them hold text; the others whole numbers

	// Apart are its columns that are in no digest: secrets, which a copy holds as they are and a studio in cipher. What is in cipher vouches for
	// itself.
	Apart []string

	Forever bool // its rows are never changed or taken out, by nobody: triggers refuse it
	Here    bool // its rows are of this place, or pass: no copy holds their digests
	Told    bool // the program tells what it adds as it adds it: no trigger notes a row that is added
}

// forever makes the line of a table of which no row is ever changed or taken out: what a seal knows of it must stand there ever after.
func forever(table string, key ...string) Guarded {
	g := guarded(table, key...)
	g.Forever = true
	return g
}

// told makes the line of a table as forever does, of which the program tells what it adds.
func told(table string, key ...string) Guarded {
	g := forever(table, key...)
	g.Told = true
	return g
}

// here makes the line of a table of which no copy holds digests.
func here(table string, key ...string) Guarded {
	g := guarded(table, key...)
	g.Here = true
	return g
}

// secretive makes the line of a table with a secret, told apart by its id.
func secretive(table, secret string) Guarded {
	g := guarded(table, "id")
	g.Apart = []string{secret}
	return g
}

// guarded makes the line of a table; behind the name of a key that is text stands an asterisk.
func guarded(table string, key ...string) Guarded {
	g := Guarded{Table: table}
	for _, k := range key {
		name, text := strings.CutSuffix(k, "*")
		g.Key, g.Text = append(g.Key, name), append(g.Text, text)
	}
	return g
}

// GuardedTables are all of them. A table joins by a line here and the migration that makes it: triggers and digests follow by themselves.
// The register has its log; what follows from other rows (impressions, tallies) is computed again by the check.
var GuardedTables = []Guarded{
	guarded("account_names", "account*"),
	guarded("agreements", "id"),
	guarded("bank_accounts", "id"),
	guarded("bank_files", "id"),
	guarded("bank_lines", "id"),
	guarded("bills", "id"),
	forever("blanked", "part*", "row_id"),
	guarded("buyers", "id"),
	guarded("cards", "id*"),
	forever("certificate_ends", "id"),
	forever("certificates", "id"),
	forever("checkpoints", "id"),
	guarded("claim_photos", "id"),
	guarded("claims", "id"),
	forever("closed_periods", "id"),
	forever("closings", "id"),
	guarded("consignments", "id"),
	guarded("device_keys", "id"),
	guarded("editions", "id"),
	told("entries", "id"),
	told("entry_lines", "entry", "place"),
	forever("erasures", "id"),
	guarded("exchange_rates", "id"),
	guarded("fair_carries", "id"),
	guarded("fair_costs", "id"),
	guarded("fair_days", "id"),
	secretive("feed_secrets", "secret"),
	guarded("feeds", "id"),
	guarded("foreign_payments", "id"),
	guarded("galleries", "id"),
	guarded("gallery_moneys", "id"),
	guarded("hand_overs", "id"),
	guarded("hook_mappings", "id"),
	guarded("identity", "id"),
	guarded("intakes", "id"),
	told("layer_uses", "move", "place"),
	guarded("layers", "id"),
	guarded("lines", "id"),
	forever("logs", "id"),
	guarded("mappings", "name*"),
	guarded("marks", "id"),
	guarded("moves", "id"),
	guarded("orders", "id"),
	guarded("origins", "order_id", "place"),
	guarded("outlets", "id"),
	guarded("parcels", "id"),
	guarded("passkeys", "id"),
	guarded("payments", "id"),
	guarded("payout_parts", "payout", "order_id"),
	guarded("payouts", "id"),
	secretive("persons", "totp"),
	here("phone_codes", "id"),
	here("phone_keys", "device"),
	guarded("pictures", "work"),
	guarded("receipts", "id"),
	guarded("recovery_codes", "person", "hash*"),
	guarded("resales", "id"),
	guarded("runs", "id"),
	forever("sayings", "id"),
	here("sessions", "id"),
	guarded("settings", "id"),
	guarded("shelf", "id"),
	guarded("stocks", "kind*", "item"),
	guarded("tax_rates", "id"),
	guarded("told_apart", "a", "b"),
	guarded("transfer_names", "transfer"),
	forever("transfers", "id"),
	here("vault", "id"),
	guarded("works", "id"),
}

// HereTables are the names of those of which no copy holds digests, as a list of texts in SQL.
func HereTables() string { return namesOf(func(g Guarded) bool { return g.Here }) }

// ToldTables are the names of those of which the program tells what it adds, as a list of texts in SQL.
func ToldTables() string { return namesOf(func(g Guarded) bool { return g.Told }) }

func namesOf(chosen func(Guarded) bool) string {
	var names []string
	for _, g := range GuardedTables {
		if chosen(g) {
			names = append(names, "'"+g.Table+"'")
		}
	}
	return strings.Join(names, ", ")
}

// keyOf are the three key columns of a row as the table of touched rows has them, as texts; what is not there is empty.
func (g Guarded) keyOf(row string) string {
	out := []string{"''", "''", "''"}
	for i, k := range g.Key {
		out[i] = "CAST(" + row + "." + k + " AS TEXT)"
	}
	return "'" + g.Table + "', " + strings.Join(out, ", ")
}

// Digested are the columns of a table of which its digests are made, of all that it has, as a list.
func (g Guarded) Digested(columns []string) string {
	return strings.Join(slices.DeleteFunc(slices.Clone(columns), func(c string) bool { return slices.Contains(g.Apart, c) }), ", ")
}

// touching are the statements that make the triggers of a table anew: a row that is added, changed or deleted is noted, but for one that the program tells.
func (m Set) touching(g Guarded) []string {
	note := func(row string) string {
		return "INSERT INTO touched (part, k1, k2, k3) VALUES (" + g.keyOf(row) + ") ON CONFLICT DO NOTHING;"
	}
	name := func(event string) string { return g.Table + "_touched_" + event }
	if m.folder == Postgres.folder {
		fn, events := g.Table+"_touched", "INSERT OR UPDATE OR DELETE"
		if g.Told {
			events = "UPDATE OR DELETE"
		}
		return []string{
			"DROP TRIGGER IF EXISTS " + fn + " ON " + g.Table,
			"CREATE OR REPLACE FUNCTION " + fn + "() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN IF TG_OP <> 'DELETE' THEN " + note("NEW") +
				" END IF; IF TG_OP <> 'INSERT' THEN " + note("OLD") + " END IF; RETURN NULL; END; $$",
			"CREATE TRIGGER " + fn + " AFTER " + events + " ON " + g.Table + " FOR EACH ROW EXECUTE FUNCTION " + fn + "()",
		}
	}
	var out []string
	for _, e := range []struct{ event, rows string }{{"insert", "NEW"}, {"update", "OLD NEW"}, {"delete", "OLD"}} {
		var body []string
		for _, row := range strings.Fields(e.rows) {
			body = append(body, note(row))
		}
		out = append(out, "DROP TRIGGER IF EXISTS "+name(e.event))
		if g.Told && e.event == "insert" {
			continue
		}
		out = append(out, "CREATE TRIGGER "+name(e.event)+" AFTER "+strings.ToUpper(e.event)+" ON "+g.Table+" BEGIN "+strings.Join(body, " ")+" END")
	}
	return out
}

// columnsOf asks for the columns of a table as they stand, in their order.
func (m Set) columnsOf(ctx context.Context, q engine.Asker, table string) (columns []string, err error) {
	err = engine.EachRow(ctx, q, strings.ReplaceAll(m.Columns, "$1", "'"+table+"'"), func(rows *sql.Rows) error {
		var name string
		err := rows.Scan(&name)
		columns = append(columns, name)
		return err
	})
	return columns, err
}

// guard makes the triggers of the tables that there are, and notes by which columns the digests of an empty one are made. Those of a table that
// holds rows are left to the program, which looks at the rows first.
func (m Set) guard(ctx context.Context, tx Doer) error {
	if there, err := m.columnsOf(ctx, tx, "touched"); err != nil || len(there) == 0 {
		return err
	}
	for _, g := range GuardedTables {
		columns, err := m.columnsOf(ctx, tx, g.Table)
		if err != nil {
			return err
		}
		if len(columns) == 0 {
			continue
		}
		note := fmt.Sprintf(`INSERT INTO row_forms (part, columns) SELECT '%[1]s', '%[2]s' WHERE NOT EXISTS (SELECT 1 FROM %[1]s)
			ON CONFLICT (part) DO UPDATE SET columns = excluded.columns`, g.Table, g.Digested(columns))
		for _, statement := range append(m.touching(g), note) {
			if _, err := tx.ExecContext(ctx, statement); err != nil {
				return fmt.Errorf("the guard of %s: %w", g.Table, err)
			}
		}
	}
	return nil
}
