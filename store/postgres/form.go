package postgres

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"strings"
	"sync"

	"github.com/jackc/pgx/v5/pgconn"

	"solander/store/engine"
	"solander/store/migrations"
)

// Integrity asks PostgreSQL whether every constraint and index is valid, whether every trigger is on, whether tables,
// indexes, constraints, triggers and their functions are as the migrations make them, and, where its extension amcheck
// is installed and may be used, whether the indexes hold what the tables do. Without amcheck
// the pages of the files are not looked at: that is the server's own business (data checksums).
func (p *postgres) Integrity(ctx context.Context) ([]string, error) {
	ask := func(query string) func(context.Context) ([]string, error) {
		return func(ctx context.Context) (found []string, err error) {
			err = p.within(ctx, reads, func(sess engine.Session) error {
				return engine.EachRow(ctx, sess, query, func(rows *sql.Rows) error {
					var text string
					err := rows.Scan(&text)
					found = append(found, text)
					return err
				})
			})
			return found, err
		}
	}
	return engine.All(ctx, []engine.Look{
		{What: "the constraints", Ask: ask(`SELECT 'the constraint ' || conname || ' was never validated' FROM pg_constraint
			WHERE NOT convalidated AND connamespace = CAST(current_schema() AS regnamespace)`)},
		{What: "the indexes", Ask: ask(`SELECT 'the index ' || CAST(indexrelid AS regclass) || ' is not valid' FROM pg_index i JOIN pg_class c ON c.oid = i.indrelid
			WHERE NOT i.indisvalid AND c.relnamespace = CAST(current_schema() AS regnamespace)`)},
		{What: "the triggers", Ask: ask(`SELECT 'the trigger ' || tgname || ' is switched off' FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
			WHERE t.tgenabled <> 'O' AND c.relnamespace = CAST(current_schema() AS regnamespace)`)},
		{What: "the form of the tables", Ask: p.form},
		{What: "what the indexes hold", Ask: p.amcheck},
	})
}

var reads = &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}

// within runs f in a transaction that is not kept.
func (p *postgres) within(ctx context.Context, opts *sql.TxOptions, f func(engine.Session) error) error {
	sess, err := p.open(ctx, opts)
	if err != nil {
		return err
	}
	defer sess.Rollback()
	return f(sess)
}

// amcheck lets the extension look at every b-tree index, when it is there.
func (p *postgres) amcheck(ctx context.Context) (found []string, err error) {
	err = p.within(ctx, reads, func(sess engine.Session) error {
		var there bool
		err := engine.EachRow(ctx, sess, `SELECT count(*) = 1 FROM pg_extension WHERE extname = 'amcheck'`, func(rows *sql.Rows) error { return rows.Scan(&there) })
		if err != nil || !there {
			return err
		}
		err = engine.EachRow(ctx, sess, `SELECT bt_index_check(c.oid, true) FROM pg_class c JOIN pg_am a ON a.oid = c.relam
			WHERE a.amname = 'btree' AND c.relkind = 'i' AND c.relnamespace = CAST(current_schema() AS regnamespace)`, func(*sql.Rows) error { return nil })
		var pg *pgconn.PgError
		if errors.As(err, &pg) && strings.HasPrefix(pg.Code, "XX") { // data corrupted, index corrupted
			found = append(found, pg.Message)
			return nil
		}
		return err
	})
	return found, err
}

// pgForm is what stands in the schema that is searched first, one row a thing: what it is and its definition, without
// the name of the schema. Sources: PostgreSQL manual, system catalogs and "system information functions".
const pgForm = `
	SELECT 'the trigger ' || t.tgname, pg_get_triggerdef(t.oid, true) FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
		WHERE NOT t.tgisinternal AND c.relnamespace = CAST(current_schema() AS regnamespace)
	UNION ALL SELECT 'the index ' || c.relname, pg_get_indexdef(i.indexrelid, 0, true) FROM pg_index i JOIN pg_class c ON c.oid = i.indexrelid
		WHERE c.relnamespace = CAST(current_schema() AS regnamespace)
	UNION ALL SELECT 'the constraint ' || n.conname || ' of ' || c.relname, pg_get_constraintdef(n.oid, true) FROM pg_constraint n JOIN pg_class c ON c.oid = n.conrelid
		WHERE n.connamespace = CAST(current_schema() AS regnamespace) AND n.contype <> 't'
	UNION ALL SELECT 'the function ' || p.proname, l.lanname || ' ' || p.prosecdef || ' ' || coalesce(CAST(p.proconfig AS TEXT), '') || ' ' || p.prosrc
		FROM pg_proc p JOIN pg_language l ON l.oid = p.prolang WHERE p.pronamespace = CAST(current_schema() AS regnamespace)
	UNION ALL SELECT 'the column ' || a.attname || ' of ' || c.relname, format_type(a.atttypid, a.atttypmod) || ' ' || a.attnotnull || ' ' ||
			coalesce(pg_get_expr(d.adbin, d.adrelid, true), '')
		FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid LEFT JOIN pg_attrdef d ON d.adrelid = a.attrelid AND d.adnum = a.attnum
		WHERE c.relkind = 'r' AND a.attnum > 0 AND NOT a.attisdropped AND c.relnamespace = CAST(current_schema() AS regnamespace)
	UNION ALL SELECT 'the rule ' || r.rulename || ' of ' || c.relname, pg_get_ruledef(r.oid, true) FROM pg_rewrite r JOIN pg_class c ON c.oid = r.ev_class
		WHERE c.relnamespace = CAST(current_schema() AS regnamespace)`

// form compares what stands in the schema with what the migrations make. Where the studio's user may not make a schema, nothing is
// compared, and the answer is that: a studio whose guards were not looked at is not called sound.
func (p *postgres) form(ctx context.Context) (found []string, err error) {
	var have map[string]string
	var version string
	var may bool
	err = p.within(ctx, reads, func(sess engine.Session) error {
		err := engine.EachRow(ctx, sess, `SELECT current_setting('server_version'), has_database_privilege(current_database(), 'CREATE')`,
			func(rows *sql.Rows) error { return rows.Scan(&version, &may) })
		if err != nil {
			return err
		}
		have, err = migrations.FormOf(ctx, sess, pgForm)
		return err
	})
	if err != nil {
		return nil, err
	}
	if !may {
		return []string{"its guards were not compared, for this user of the database may not make a schema (GRANT CREATE ON DATABASE, or check as the owner)"}, nil
	}
	want, err := p.made(ctx, version)
	if err != nil {
		return nil, err
	}
	return migrations.FormDiffers(have, want), nil
}

// forms are what the migrations make, by version of the server: of each they are run once more in this process.
var forms sync.Map

// made is what the migrations make, in a schema beside, within a transaction that is not kept.
func (p *postgres) made(ctx context.Context, version string) (want map[string]string, err error) {
	if form, known := forms.Load(version); known {
		return form.(map[string]string), nil
	}
	err = p.within(ctx, &sql.TxOptions{}, func(sess engine.Session) error {
		beside := "solander_form_" + strings.ToLower(rand.Text()) // of this look alone
		for _, text := range []string{`CREATE SCHEMA ` + beside, `SET LOCAL search_path = ` + beside} {
			if _, err := sess.ExecContext(ctx, text); err != nil {
				return err
			}
		}
		newest, err := migrations.Schema()
		if err != nil {
			return err
		}
		if err := migrations.Postgres.Run(ctx, sess, 0, newest); err != nil {
			return err
		}
		want, err = migrations.FormOf(ctx, sess, pgForm)
		return err
	})
	if err != nil {
		return nil, err
	}
	forms.Store(version, want)
	return want, nil
}
