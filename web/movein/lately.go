package movein

import (
	"sync"

	"solander/intake"
)

// lately holds the table of the file that was read last. It is safe for concurrent use; nobody changes a table.
type lately struct {
	mu         sync.Mutex
	hash, name string
	table      intake.Table
}

func (l *lately) get(hash, name string) (intake.Table, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.table, hash != "" && l.hash == hash && l.name == name
}

func (l *lately) put(hash, name string, t intake.Table) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.hash, l.name, l.table = hash, name, t
}
