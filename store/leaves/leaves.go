// Package leaves keeps the register as a log: a leaf for every entry and every declaration, the hashes of their tree, and what was signed
// of it. A leaf is added in the transaction of what it tells, under the lock that the writer holds, so that no two writers append at
// one place. What a leaf says, and how a tree is made of them, is sealog's.
package leaves

import (
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/tlog"

	"solander/edition"
	"solander/fault"
	"solander/sealog"
	"solander/store/engine"
	"solander/store/table"
	"solander/studio"
)

// leaf is a row of the table of leaves.
type leaf struct {
	id, of                          int64
	kind, body, salts, hashes, root string
}

// Logs, Leaves and Checkpoints are the tables.
var (
	Logs = table.Make("logs", "log", func(l *sealog.Log) table.Columns {
		return table.Columns{"id", &l.ID, "origin", &l.Origin, "first", &l.First, "at", &l.At}
	})
	Leaves = table.Make("leaves", "leaf", func(l *leaf) table.Columns {
		return table.Columns{"id", &l.id, "kind", &l.kind, "of_id", &l.of, "body", &l.body, "salts", &l.salts, "hashes", &l.hashes, "root", &l.root}
	})
	Checkpoints = table.Make("checkpoints", "checkpoint", func(c *sealog.Signed) table.Columns {
		return table.Columns{"id", &c.ID, "log", &c.Log, "size", &c.Size, "at", &c.At, "body", &c.Body}
	})
)

// LeafRows is the log within one transaction.
type LeafRows struct {
	conn   *table.Conn
	chance io.Reader
	log    sealog.Log
	tree   sealog.Tree
	read   bool // log and tree are those of now
	grown  bool // leaves were added
}

// New is the log of a transaction; salts are drawn of chance.
func New(c *table.Conn, chance io.Reader) *LeafRows { return &LeafRows{conn: c, chance: chance} }

// NewSalts draws salts; see sealog.Store.
func (t *LeafRows) NewSalts(n int) ([]string, error) {
	return sealog.Salts(func(b []byte) error { _, err := io.ReadFull(t.chance, b); return err }, n)
}

// now reads the log of now once; its id is 0 while there is none.
func (t *LeafRows) now() error {
	if t.read {
		return nil
	}
	const latest, ended = "ORDER BY id DESC LIMIT 1", `SELECT max(id) FROM leaves`
	if err := t.conn.Ahead(func() []engine.Ask { return []engine.Ask{Logs.Ask(latest), {Query: ended}} }); err != nil {
		return err
	}
	logs, err := Logs.List(t.conn, latest)
	if err != nil {
		return err
	}
	if t.read = true; len(logs) == 0 {
		return nil
	}
	t.log = logs[0]
	var last int64
	if _, err := t.conn.One(ended, nil, &last); err != nil {
		return err
	}
	if t.log.Size = last - t.log.First + 1; t.log.Size < 0 || t.log.First < 1 {
		return misplaced(t.log)
	}
	t.tree, err = t.treeAt(t.log, t.log.Size)
	return err
}

// treeAt is the tree of the first leaves of a log.
func (t *LeafRows) treeAt(l sealog.Log, size int64) (sealog.Tree, error) {
	edge, err := t.hashes(l.First, sealog.EdgeAt(size))
	return sealog.NewTree(size, edge), err
}

// hashes reads stored hashes of the log that begins with a leaf.
func (t *LeafRows) hashes(first int64, at []int64) ([]tlog.Hash, error) {
	out := make([]tlog.Hash, len(at))
	ids := make([]int64, len(at))
	for i, stored := range at {
		n, _ := sealog.Place(stored)
		ids[i] = first + n
	}
	rows := map[int64]string{}
	if len(ids) > 0 {
		found, err := Leaves.In(t.conn, "id", ids, "")
		if err != nil {
			return nil, err
		}
		for _, r := range found {
			rows[r.id] = r.hashes
		}
	}
	for i, stored := range at {
		n, k := sealog.Place(stored)
		all, err := unpack(rows[ids[i]])
		if err != nil || k >= len(all) {
			return nil, fmt.Errorf("leaf %d of the log has not the hashes that it made: %w", n, studio.ErrDamaged)
		}
		out[i] = all[k]
	}
	return out, nil
}

// pack appends hashes as they are kept.
func pack(b []byte, hashes ...tlog.Hash) []byte {
	for _, h := range hashes {
		b = hex.AppendEncode(b, h[:])
	}
	return b
}

func unpack(text string) ([]tlog.Hash, error) {
	b, err := hex.DecodeString(text)
	if err != nil || len(b)%tlog.HashSize != 0 {
		return nil, fmt.Errorf("%.50q are no hashes", text)
	}
	var out []tlog.Hash
	for ; len(b) > 0; b = b[tlog.HashSize:] {
		out = append(out, tlog.Hash(b[:tlog.HashSize]))
	}
	return out, nil
}

func rootText(h tlog.Hash) string { return string(pack(nil, h)) }

// AppendLeaf adds a leaf; see sealog.Store.
func (t *LeafRows) AppendLeaf(l sealog.Leaf) (sealog.KeptLeaf, error) {
	if err := appendAll(t, []sealog.Leaf{l}, itself); err != nil {
		return sealog.KeptLeaf{}, err
	}
	index := t.log.Size - 1
	return sealog.KeptLeaf{Leaf: l, ID: t.log.First + index, Log: t.log.ID, Index: index, Body: l.Text()}, nil
}

// AppendEntries adds the leaves of entries of the register.
func (t *LeafRows) AppendEntries(entries []edition.Entry) error {
	n := 0
	for _, e := range entries {
		n += sealog.EntrySalts(e)
	}
	salts, err := t.NewSalts(n)
	if err != nil {
		return err
	}
	return appendAll(t, entries, func(l *sealog.Leaf, e *edition.Entry) {
		n := sealog.EntrySalts(*e)
		l.SetEntry(e, salts[:n:n])
		salts = salts[n:]
	})
}

// AppendDeclared adds the leaf of an edition that was declared.
func (t *LeafRows) AppendDeclared(e edition.Edition, year int) error {
	return appendAll(t, []sealog.Leaf{sealog.OfEdition(e, year)}, itself)
}

// itself is the leaf of a leaf.
func itself(l, of *sealog.Leaf) { *l = *of }

// appendAll adds the leaves of what they tell of, each of which set says, one after the other.
func appendAll[V any](t *LeafRows, all []V, set func(l *sealog.Leaf, of *V)) error {
	if err := t.conn.Settle(); err != nil { // what waits to be written has its leaves before these
		return err
	}
	if err := t.now(); err != nil {
		return err
	}
	if t.log.ID == 0 {
		if _, err := t.BeginLog(""); err != nil {
			return err
		}
	}
	return add(t, all, set)
}

// add adds leaves to the log that was begun, as many at a time as one statement writes: while it does, the next ones are hashed.
func add[V any](t *LeafRows, all []V, set func(l *sealog.Leaf, of *V)) error {
	t.grown = true
	parts := slices.Collect(table.Portions(all))
	hashed := make(chan []leaf, len(parts)) // nobody who hashes waits
	var l sealog.Leaf
	hash := func(part []V) {
		hashed <- t.hashed(len(part), func(i int) *sealog.Leaf { set(&l, &part[i]); return &l })
	}
	if len(parts) > 0 {
		hash(parts[0])
	}
	if len(parts) > 1 {
		go func() {
			for _, part := range parts[1:] {
				hash(part)
			}
		}()
	}
	var err error
	for range parts {
		rows := <-hashed // also when one was refused: whoever returns leaves nobody at the tree
		if err == nil {
			err = Leaves.InsertSoon(t.conn, rows, "")
		}
	}
	return err
}

// hashed puts leaves into the tree, and makes their rows.
func (t *LeafRows) hashed(n int, leafAt func(int) *sealog.Leaf) []leaf {
	rows := make([]leaf, n)
	var kept [64]tlog.Hash
	var all strings.Builder // the texts of all rows stand in one
	all.Grow(n * usualRow)
	text := make([]byte, 0, usualRow)
	for i := range rows {
		l := leafAt(i)
		text = l.AppendText(text[:0])
		hashes := t.tree.Append(kept[:0], sealog.LeafHash(text))
		body := len(text)
		for _, s := range l.Salts {
			text = append(text, s...)
		}
		salts := len(text)
		text = pack(text, hashes...)
		root := len(text)
		text = pack(text, t.tree.Root())
		all.Write(text)
		in := all.String()[all.Len()-len(text):]
		rows[i] = leaf{id: t.log.First + t.log.Size, of: l.Of, kind: string(l.Kind), body: in[:body], salts: in[body:salts], hashes: in[salts:root], root: in[root:]}
		t.log.Size++
	}
	return rows
}

// usualRow is about how many bytes the texts of a leaf's row are.
const usualRow = 640

// Head is the log of now with how far it has come, and whether this transaction added leaves; asked, it is read when nobody did so far. Its id is 0
// while there is none.
func (t *LeafRows) Head(asked bool) (l sealog.Log, grown bool, err error) {
	if asked {
		err = t.now()
	}
	l = t.log
	l.Root = t.tree.Root()
	return l, t.grown, err
}

// BeginLog begins a log; see sealog.Store.
func (t *LeafRows) BeginLog(why string) (sealog.Log, error) {
	if err := t.now(); err != nil {
		return t.log, err
	}
	origin, err := t.origin()
	if err != nil {
		return t.log, err
	}
	before := t.log
	before.Root = t.tree.Root()
	t.log = sealog.Log{Origin: origin, First: before.First + before.Size, At: t.conn.Now()}
	if before.ID == 0 {
		t.log.First = 1
	}
	t.tree = sealog.Tree{}
	first := sealog.Leaf{Kind: sealog.Opened, Facts: []sealog.Fact{{Name: "origin", Value: t.log.Origin}, {Name: "why", Value: why}, sealog.Int("at", t.log.At.UnixMicro())}}
	if before.ID != 0 {
		first.Facts = append(first.Facts, sealog.Fact{Name: "before", Value: before.Origin}, sealog.Int("size", before.Size), sealog.Fact{Name: "root", Value: rootText(before.Root)})
	}
	id, err := Logs.Add(t.conn, t.log)
	if err != nil {
		return t.log, err
	}
	t.log.ID = id
	err = add(t, []sealog.Leaf{first}, itself)
	t.log.Root = t.tree.Root()
	return t.log, err
}

// origin names the next log: the first of a register by chance, each that follows after the first.
func (t *LeafRows) origin() (string, error) {
	if t.log.ID != 0 {
		return sealog.Family(t.log.Origin) + "/" + strconv.FormatInt(t.log.ID+1, 10), nil
	}
	name := make([]byte, 8)
	_, err := io.ReadFull(t.chance, name)
	return sealog.OriginHead + hex.EncodeToString(name), err
}

// Log is the log of now; see sealog.Store.
func (t *LeafRows) Log() (sealog.Log, error) {
	if err := t.conn.Settle(); err != nil {
		return sealog.Log{}, err
	}
	if err := t.now(); err != nil {
		return t.log, err
	}
	if t.log.ID == 0 {
		return t.log, fault.New(fault.Missing, "nothing was entered into the register yet").ToMend("declare an edition first")
	}
	l := t.log
	l.Root = t.tree.Root()
	return l, nil
}

// Forget drops the salt of a note that was erased: nobody can try what it said any more.
func Forget(c *table.Conn, entry int64) error {
	_, err := c.Exec(`UPDATE leaves SET salts = substr(salts, 1, 32) WHERE kind = 'entry' AND of_id = $1 AND length(salts) > 32`, entry)
	return err
}
