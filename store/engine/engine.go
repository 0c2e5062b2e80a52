// Package engine is what a database must do for the store, and what is said when it does not: transactions,
// the causes of its refusals and the faults made of them, and what it is asked about its own soundness. SQLite and
// PostgreSQL stand in rooms of their own; this one knows neither tables nor files.
package engine

import (
	"context"
	random "crypto/rand"
	"database/sql"
	"io"
	"math/rand/v2"
	"time"

	"solander/sealog"
)

// Options are what opening needs beside the place. The zero Options are right for a program.
type Options struct {
	// Clock gives the instant of a transaction; nil = time.Now. Instants are kept in UTC, cut to the
	// microsecond.
	Clock func() time.Time
	// Patience is how long a write waits for its turn before it is Busy, and how long a commit may take
	// before its outcome is not known; 0 = ten seconds.
	Patience time.Duration
	// Away is how long a transaction waits for a server that cannot be reached before it is Busy; 0 = three
	// seconds.
	Away time.Duration
	// Readers is how many reads run side by side; 0 = four.
	Readers int
	// Hasty does not wait for the disk (SQLite alone): a machine that fails may lose or break the file.
	// It is for a store that is filled in one go, then synced and opened again, such as the demo's.
	Hasty bool
	// Story is for a store that is filled with what happened at many instants: a transaction follows the Clock, where otherwise
	// it bears the one instant at which it began. Entries of the register never go back in time all the same.
	Story bool
	// KeyFile is where the key lies of a studio that is kept in cipher; "" = beside the studio's file, and nowhere of one on a server.
	KeyFile string
	// Chance gives the salts of what the register's log commits to; nil = crypto/rand, and of a Story always the same.
	Chance io.Reader
	// RegisterKey is where the register's key lies; "" = beside the studio's file, and nowhere of one on a server. Passphrase opens it, where it is
	// locked by one.
	RegisterKey, Passphrase string
	// RowKey is where the key lies by which rows are vouched for; "" = beside the studio's file, and nowhere of one on a server.
	RowKey string
	// UserKey is the file of this user, outside the database and its folder, with what opens the register's key where she chose no passphrase; "" = none.
	UserKey string
	// Ring is the keyring of this user, with what opens the register's key where she chose that; nil = it is not asked.
	Ring sealog.Ring
	// There is for commands that begin no studio: it must be there already. Of PostgreSQL the database
	// must be, whatever There says.
	There bool
	// Rest is after how long without a write the log is brought into the file (SQLite alone); 0 = twenty
	// seconds.
	Rest time.Duration
	// Copies is the folder for the copy that is made before an upgrade of a studio on a server; that of a file lies beside it.
	Copies string
	// Watch is told what the store does; nil = nobody is.
	Watch Watch
}

// Watch is told what a store does. The texts of statements hold no argument.
type Watch interface {
	Transaction(write bool, took time.Duration, err error)
	Again() // a write is tried once more
	Statement(text string, took time.Duration)
	Pool(name string, of *sql.DB)
}

// Filled puts what is usual where nothing was chosen.
func (o Options) Filled() Options {
	if o.Clock == nil {
		o.Clock = time.Now
	}
	if o.Patience <= 0 {
		o.Patience = 10 * time.Second
	}
	if o.Away <= 0 {
		o.Away = 3 * time.Second
	}
	if o.Readers <= 0 {
		o.Readers = 4
	}
	switch {
	case o.Chance != nil:
	case o.Story: // an invented studio is the same whenever it is made
		o.Chance = rand.NewChaCha8([32]byte{})
	default:
		o.Chance = random.Reader
	}
	if o.Rest <= 0 {
		o.Rest = 20 * time.Second
	}
	return o
}

// LockWait is how long, in milliseconds, one statement waits for another program's lock before the
// transaction is tried anew.
func (o Options) LockWait() int64 {
	return max(1, min(5*time.Second, o.Patience/2).Milliseconds())
}

// Engine is what differs between the databases.
type Engine interface {
	// Begin opens a transaction; a writing one has the writer's place when it returns.
	Begin(ctx context.Context, write bool) (Session, error)
	Integrity(ctx context.Context) ([]string, error)
	// Heed calls heard whenever something was written, by whatever program, until ctx ends or the engine goes away; heard may be called
	// in vain. tells is false, at once, when the engine tells nobody of writes: then the count of writes is to be asked for now and again.
	Heed(ctx context.Context, heard func()) (tells bool, err error)
	// Settled tells the engine that a whole studio was put in at once.
	Settled(ctx context.Context)
	// Wipe writes the files anew, so that nothing is left in them of what was there before. Faults: Busy.
	Wipe(ctx context.Context) error
	Dialect() Dialect
	Place() string
	// Upgraded is what opening did to the tables; nothing, of a store that was in its form.
	Upgraded() Upgrade
	Close() error
}

// Session is one transaction of an engine.
type Session interface {
	Asker
	ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error)
	// Soon runs a statement for whose answer nobody waits: at once, or on one way with the statement that comes next, which then says what this one
	// was refused for.
	Soon(ctx context.Context, query string, args ...any) error
	// Ahead sends questions on one way that come one by one soon after, before anything is changed. Where the way is short it does nothing.
	Ahead(ctx context.Context, asks []Ask) error
	// Finish runs what Soon put off, and what belongs to the end of a transaction that wrote. Nothing follows but its commit.
	Finish(ctx context.Context) error
	Commit(ctx context.Context) error
	Rollback()
}

// Ask is a statement with its arguments.
type Ask struct {
	Query string
	Args  []any
}

// Asker answers queries.
type Asker interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// Dialect is the SQL in which the engines differ; all else is the same on both.
type Dialect struct {
	Far            bool                                         // a statement is a way there and back: what is asked one by one soon is asked together
	RowID          string                                       // the id in the tables of words
	BeforeSearch   string                                       // a statement that is to run first, if any
	Columns        string                                       // asks for the columns of the table $1, in their order
	Version        string                                       // asks for a text that is the same only while nothing was written
	Fields         func(column string, fields ...string) string // of the JSON that a column holds, as the text of a JSON list
	Query          func([]Term) string
	Orders, Buyers Search
}

// Search is how an engine keeps the words of one kind of row and finds rows by them. $1 is what
// Query makes of the terms.
type Search struct {
	Put   string // $1 id, $2 words parted by spaces
	Clear string // takes all words out at once; "" = they are sooner written over
	From  string // the words and the rows (alias r), joined
	Match string
	ID    string
}

// Term is one thing that a search asks for: a word of what is found begins with it, or is it.
type Term struct {
	Word  string
	Whole bool
}

// Pause waits before another try: 2 ms, doubling up to 200 ms, half of it by chance.
func Pause(ctx context.Context, attempt int) error {
	d := min(2*time.Millisecond<<min(attempt, 7), 200*time.Millisecond)
	timer := time.NewTimer(d/2 + rand.N(d/2+1))
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
