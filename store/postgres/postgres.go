// Package postgres keeps a studio in a PostgreSQL database: a pool of connections, one advisory lock for the writer, and
// what the server is asked about its own soundness. It implements engine.Engine and knows no table of the studio.
package postgres

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"

	"solander/fault"
	"solander/store/engine"
	"solander/store/migrations"
)

const writerLock = 0x536f6c64 // key of the writer's advisory lock, with the schema's name beside it

// postgres is PostgreSQL: a pool, and one advisory lock for the writer.
type postgres struct {
	db     *sql.DB
	memory *sql.DB // reads answers that came together
	config *pgx.ConnConfig
	pooled bool // something stands between this program and the server's sessions
	where  string
	opt    engine.Options
	closed atomic.Bool

	copyOut  engine.CopyOut
	base     string // begins the name of a copy
	upgraded engine.Upgrade
}

// Open opens a database by its connection string, and brings its tables to their form; before that copyOut writes a copy of what
// they hold. Faults: Missing, Refused, Busy.
func Open(ctx context.Context, place string, opt engine.Options, copyOut engine.CopyOut) (engine.Engine, error) {
	config, err := pgx.ParseConfig(place)
	if err != nil {
		return nil, fault.Invalidf("store", "this is no PostgreSQL connection string").
			ToMend("write it like postgres://user@host/database").Because(err)
	}
	if _, set := config.RuntimeParams["application_name"]; !set {
		config.RuntimeParams["application_name"] = "solander"
	}
	if config.ConnectTimeout == 0 {
		config.ConnectTimeout = opt.Away
	}
	if _, chosen := config.RuntimeParams["target_session_attrs"]; !chosen && several(config) && config.ValidateConnect == nil {
		config.ValidateConnect = pgconn.ValidateConnectTargetSessionAttrsReadWrite // of several servers the one that takes writes
	}
	p := &postgres{config: config, where: placeOf(config), opt: opt, copyOut: copyOut, base: "studio-" + plain.ReplaceAllString(config.Database, "-")}
	if err := p.connect(ctx); err != nil {
		return nil, unreachable(p.where, err)
	}
	if err := p.prepare(ctx); err != nil {
		return nil, errors.Join(err, p.Close())
	}
	if opt.Watch != nil {
		opt.Watch.Pool("server", p.db)
	}
	return p, nil
}

// several reports whether a connection string names more than one server.
func several(c *pgx.ConnConfig) bool {
	for _, f := range c.Fallbacks {
		if f.Host != c.Host || f.Port != c.Port {
			return true
		}
	}
	return false
}

// connect makes the pool of connections. What a session could be told once, and what a session keeps prepared, is only used where a connection
// leads to one session: a pooler may give another one to each transaction. A server that is just starting or cannot be reached is tried
// again, for a while.
func (p *postgres) connect(ctx context.Context) error {
	var err error
	if p.pooled, err = p.isPooled(ctx); err != nil {
		return err
	}
	if p.pooled {
		p.config.DefaultQueryExecMode = pgx.QueryExecModeCacheDescribe
	} else {
		p.config.RuntimeParams["idle_in_transaction_session_timeout"] = "0"
		for name, value := range asOnChips {
			if _, set := p.config.RuntimeParams[name]; !set {
				p.config.RuntimeParams[name] = value
			}
		}
	}
	p.db, p.memory = stdlib.OpenDB(*p.config), sql.OpenDB(memory{})
	p.db.SetMaxOpenConns(p.opt.Readers + 2)
	p.db.SetMaxIdleConns(p.opt.Readers + 2)
	return nil
}

// asOnChips is how the server weighs the ways to a row: a studio lies in memory, or on a disk that reads any page as quickly as the next. By its own measure,
// that of disks that turn, it reads whole tables for a day's entries; and what it would translate into machine code for takes longer to translate than
// to ask. Source: PostgreSQL manual, 20.7.2 (random_page_cost of storage where random reads cost little more) and 32.2 (when to use JIT).
var asOnChips = map[string]string{"random_page_cost": "1.1", "jit": "off"}

// isPooled reports whether something stands between this program and the server's sessions: who answers is then another one than who let the
// program in. Source: PostgreSQL manual, message formats, BackendKeyData; pg_backend_pid.
func (p *postgres) isPooled(ctx context.Context) (bool, error) {
	first := p.config.Copy()
	first.DefaultQueryExecMode = pgx.QueryExecModeExec // keeps nothing in the session
	deadline := time.Now().Add(p.opt.Away)
	for attempt := 0; ; attempt++ {
		pooled, err := answeredByAnother(ctx, first)
		if err == nil || engine.CauseOf(err) != engine.Connection || time.Now().After(deadline) || engine.Pause(ctx, attempt) != nil {
			return pooled, err
		}
	}
}

func answeredByAnother(ctx context.Context, config *pgx.ConnConfig) (bool, error) {
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		return false, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var pid int64
	err = conn.QueryRow(ctx, `SELECT pg_backend_pid()`).Scan(&pid)
	return pid != int64(conn.PgConn().PID()), err
}

func placeOf(c *pgx.ConnConfig) string {
	return fmt.Sprintf("PostgreSQL database %s at %s, port %d", c.Database, c.Host, c.Port)
}

// prepare migrates, one program at a time. When there is nothing to migrate it waits for nobody: any number of programs may open a store
// while one of them writes.
// Faults: Busy when another program keeps the store for longer than a statement waits.
func (p *postgres) prepare(ctx context.Context) error {
	due := true
	err := p.within(ctx, reads, func(sess engine.Session) error {
		made, err := p.known(ctx, sess)
		if err != nil || !made {
			return err
		}
		have, want, err := migrations.Postgres.Due(ctx, sess, p.where)
		due = have != want
		return err
	})
	if err != nil || !due {
		return err
	}
	return p.upgrade(ctx)
}

// protocolViolation is what a pooler says of nearly all that it refuses. Source: PostgreSQL manual, appendix A; of poolers from their answers.
const protocolViolation = "08P01"

func unreachable(where string, err error) *fault.Error {
	f := fault.New(fault.Busy, "the database server does not answer").At("%s", where).ToMend("look whether it runs and may be reached")
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		switch {
		case pg.Code == "3D000":
			f = fault.New(fault.Missing, "there is no such database").At("%s", where).ToMend("make it first (createdb)")
		case pg.Code == protocolViolation && strings.Contains(pg.Message, "unsupported startup parameter"): // a pooler has no other code for it
			f = fault.New(fault.Refused, "the connection pooler refuses what the place asks for: %.100s", pg.Message).At("%s", where).ToMend("set it for the user of the database instead (ALTER ROLE … SET …)")
		case strings.HasPrefix(pg.Code, "28"):
			f = fault.New(fault.Refused, "the database server refuses this user").At("%s", where).ToMend("look at user and password")
		}
	}
	return f.Because(err)
}

// known reports whether the tables of a studio are there, and refuses a schema that holds only others.
func (p *postgres) known(ctx context.Context, q engine.Asker) (bool, error) {
	var tables, ours int64
	err := engine.EachRow(ctx, q, `SELECT count(*), count(*) FILTER (WHERE tablename = '`+migrations.Versions+`') FROM pg_tables
		WHERE schemaname = current_schema()`, func(rows *sql.Rows) error { return rows.Scan(&tables, &ours) })
	if err == nil && tables > 0 && ours == 0 {
		err = fault.New(fault.Refused, "this database holds tables of something else").At("%s", p.where).ToMend("use an empty database; this one was left as it is")
	}
	return ours > 0, err
}

func (p *postgres) Begin(ctx context.Context, write bool) (engine.Session, error) {
	opts, first, args := reads, untroubled, []any(nil)
	if write { // Read committed: every statement after the first one sees all that earlier writers committed.
		opts, first, args = &sql.TxOptions{Isolation: sql.LevelReadCommitted}, takeTurn, []any{strconv.FormatInt(p.opt.LockWait(), 10), writerLock}
	}
	s, err := p.open(ctx, opts)
	if err != nil {
		return nil, err
	}
	s.writes = write
	if write || p.pooled {
		if _, err := s.Tx.ExecContext(ctx, first, args...); err != nil {
			s.Rollback()
			return nil, err
		}
	}
	return s, nil
}

// untroubled keeps the server from ending a transaction while the program thinks, and says asOnChips, where its session could not be told so once and for all.
const untroubled = `SELECT set_config('idle_in_transaction_session_timeout', '0', true), set_config('random_page_cost', '1.1', true), set_config('jit', 'off', true)`

// takeTurn waits for the writer's lock, and no longer than is said in milliseconds; how long other locks are waited for as well, and that the
// server does not end a transaction while the program thinks, is settled with it.
const takeTurn = `SELECT set_config('lock_timeout', $1, true), set_config('idle_in_transaction_session_timeout', '0', true),
	pg_advisory_xact_lock($2, hashtext(current_schema()))`

// open begins a transaction on a connection of its own.
func (p *postgres) open(ctx context.Context, opts *sql.TxOptions) (*pgSession, error) {
	if p.closed.Load() {
		return nil, engine.Closed
	}
	conn, err := p.conn(ctx)
	if err != nil {
		return nil, err
	}
	// The transaction does not end with ctx by itself: its statements do, and then it is rolled back.
	own, stop := context.WithCancel(context.WithoutCancel(ctx))
	s := &pgSession{conn: conn, stop: stop, patience: p.opt.Patience, memory: p.memory}
	if s.Tx, err = conn.BeginTx(own, opts); err != nil {
		stop()
		_ = conn.Close() // one that broke is left out of the pool
		return nil, err
	}
	return s, nil
}

// conn takes a connection from the pool. Faults: Busy when none comes free.
func (p *postgres) conn(ctx context.Context) (*sql.Conn, error) {
	soon, stop := context.WithTimeout(ctx, p.opt.Patience)
	defer stop()
	conn, err := p.db.Conn(soon)
	if err != nil && soon.Err() != nil && ctx.Err() == nil {
		return nil, fault.New(fault.Busy, "all connections to the database server are in use").ToMend("try again in a moment").Because(err)
	}
	return conn, err
}

func (p *postgres) Dialect() engine.Dialect {
	put := func(table string) string {
		return `INSERT INTO ` + table + ` (id, words) VALUES ($1, array_to_tsvector(string_to_array($2, ' ')))
			ON CONFLICT (id) DO UPDATE SET words = excluded.words`
	}
	return engine.Dialect{
		Far:     true,
		Columns: migrations.Postgres.Columns,
		RowID:   "id", Query: pgQuery, Fields: pgFields,
		// Two snapshots of one text see the same, as long as it is one server that runs on: one that was set back, or another that took its
		// place, gives transactions the same ids anew. Source: postgresql.org/docs/current/functions-info.html, transaction ids and snapshots.
		Version: `SELECT CAST(pg_current_snapshot() AS TEXT) || ' ' || CAST(extract(epoch FROM pg_postmaster_start_time()) AS TEXT)`,
		// A plan made without the words reads all orders, newest first, even for a word that is nowhere.
		BeforeSearch: `SET LOCAL plan_cache_mode = force_custom_plan`,
		Orders: engine.Search{
			Put: put("order_words"), From: `order_words w JOIN orders r ON r.id = w.id`,
			Match: `w.words @@ CAST(CAST($1 AS TEXT) AS TSQUERY)`, ID: `w.id`,
		},
		Buyers: engine.Search{
			Put: put("buyer_words"), From: `buyer_words w JOIN buyers r ON r.id = w.id`,
			Match: `w.words @@ CAST(CAST($1 AS TEXT) AS TSQUERY)`, ID: `w.id`,
		},
	}
}

// pgFields takes JSON apart once, which OFFSET says.
func pgFields(column string, fields ...string) string {
	return "(SELECT CAST(json_build_array(j -> '" + strings.Join(fields, "', j -> '") + "') AS TEXT) FROM (SELECT CAST(" + column + " AS JSONB) AS j OFFSET 0) x)"
}

// pgQuery makes a text-search Query: every term, each a word or the beginning of one. Terms hold
// letters and digits only.
func pgQuery(terms []engine.Term) string {
	var out []string
	for _, t := range terms {
		q := "'" + t.Word + "'"
		if !t.Whole {
			q += ":*"
		}
		out = append(out, q)
	}
	return strings.Join(out, " & ")
}

// Settled counts what is in the tables, so that the next query is planned well; the server does it by
// itself a minute later, so it may fail.
func (p *postgres) Settled(ctx context.Context) { _, _ = p.db.ExecContext(ctx, `ANALYZE`) }

func (p *postgres) Place() string { return p.where }

func (p *postgres) Close() error {
	if p.closed.Swap(true) {
		return nil
	}
	return errors.Join(p.db.Close(), p.memory.Close())
}
