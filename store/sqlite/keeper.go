package sqlite

import (
	"context"
	"database/sql"
	"net/url"
	"sync/atomic"
	"time"
)

// keeper looks after the files of a store that is written: it brings the seal to the disk a second after a
// write, and the log into the main file once nothing was written for a while, so that the main file alone
// is whole then. It sleeps while nothing is written.
type keeper struct {
	l     *lite
	woken chan struct{}
	last  atomic.Int64 // when it was woken last, in nanoseconds since 1970
	stop  chan struct{}
	ended chan struct{}
}

// sealEvery is how often the seal is brought to the disk while there are writes. A machine that fails loses
// of it what came since; the studio's own file loses nothing.
const sealEvery = time.Second

func startKeeper(l *lite) *keeper {
	k := &keeper{l: l, woken: make(chan struct{}, 1), stop: make(chan struct{}), ended: make(chan struct{})}
	if LogOf(l.main.path) != "" { // left by a program that was killed
		k.wake()
	}
	go k.run()
	return k
}

// wake says that something was written.
func (k *keeper) wake() {
	k.last.Store(time.Now().UnixNano())
	select {
	case k.woken <- struct{}{}:
	default:
	}
}

func (k *keeper) end() {
	close(k.stop)
	<-k.ended
}

func (k *keeper) run() {
	defer close(k.ended)
	for {
		select {
		case <-k.woken:
		case <-k.stop:
			return
		}
		for resting := false; !resting; {
			select {
			case <-time.After(min(sealEvery, k.l.opt.Rest)):
			case <-k.stop:
				return
			}
			k.l.seal.sync()
			since := time.Since(time.Unix(0, k.last.Load()))
			resting = since >= k.l.opt.Rest && k.l.settleLog()
		}
	}
}

// settleLog brings the log into the main file and empties it. It waits for no reader and reports whether
// all is in the file; else it is to be tried again.
// Source: sqlite.org/pragma.html#pragma_wal_checkpoint.
func (l *lite) settleLog() bool {
	if l.main.same() != nil {
		return true // it is not ours to touch any more
	}
	db, err := sql.Open("sqlite", dsn(l.main.path, url.Values{"_pragma": {"busy_timeout(100)"}}))
	if err != nil {
		return false
	}
	defer db.Close()
	var held, pages, moved int64
	err = db.QueryRowContext(context.Background(), `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&held, &pages, &moved)
	return err == nil && held == 0
}
