package table

import "sync"

// Kept are lists as they stood at a version of the store, by what was asked: most pages find them as the one before did. It is safe for
// concurrent use.
type Kept[K comparable, V any] struct {
	mu      sync.Mutex
	version string // "" = nothing is kept
	lists   map[K][]V
	rows    int // of all lists
}

// mostKept bounds the rows of all lists that are kept.
const mostKept = 5000

// Or returns a list. A transaction that reads takes it as it was read last while nothing was written since; a list that is kept, and one
// that is returned of it, are set apart from each other by copies. Faults: those of read.
func (k *Kept[K, V]) Or(c *Conn, asked K, apart func([]V) []V, read func() ([]V, error)) ([]V, error) {
	if k == nil || c.MayWrite() == nil || c.Dialect.Version == "" {
		return read()
	}
	version, err := Values[string](c, c.Dialect.Version)
	if err != nil {
		return nil, err
	}
	if len(version) != 1 || version[0] == "" {
		return read()
	}
	if kept, ok := k.at(version[0], asked); ok {
		return apart(kept), nil
	}
	out, err := read()
	if err == nil && len(out) <= mostKept {
		k.keep(version[0], asked, apart(out))
	}
	return out, err
}

func (k *Kept[K, V]) at(version string, asked K) ([]V, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.version != version {
		return nil, false
	}
	list, ok := k.lists[asked]
	return list, ok
}

// keep keeps a list, which nobody changes from now on. When there would be too many rows, those before it are let go.
func (k *Kept[K, V]) keep(version string, asked K, list []V) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.version != version || k.rows+len(list) > mostKept {
		k.version, k.lists, k.rows = version, map[K][]V{}, 0
	}
	k.rows += len(list) - len(k.lists[asked])
	k.lists[asked] = list
}
