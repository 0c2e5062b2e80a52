// Package leaves keeps the register as a log: a leaf for every entry and every declaration, the hashes of their tree, and what was signed
// of it. A leaf is added in the transaction of what it tells, under the lock that the writer holds, so that no two writers append at
// one place. What a leaf says, and how a tree is made of them, is sealog's.
package leaves

import (
	"encoding/hex"
	"fmt"
	"io"
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

func pack(hashes []tlog.Hash) string {
	var b []byte
	for _, h := range hashes {
		b = append(b, h[:]...)
	}
	return hex.EncodeToString(b)
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

func rootText(h tlog.Hash) string { return hex.EncodeToString(h[:]) }

// AppendLeaf adds a leaf; see sealog.Store.
func (t *LeafRows) AppendLeaf(l sealog.Leaf) (sealog.KeptLeaf, error) {
	if err := t.appendAll([]sealog.Leaf{l}); err != nil {
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
	all := make([]sealog.Leaf, len(entries))
	for i, e := range entries {
		n := sealog.EntrySalts(e)
		all[i], salts = sealog.OfEntry(e, salts[:n:n]), salts[n:]
	}
	return t.appendAll(all)
}

// AppendDeclared adds the leaf of an edition that was declared.
func (t *LeafRows) AppendDeclared(e edition.Edition, year int) error {
	return t.appendAll([]sealog.Leaf{sealog.OfEdition(e, year)})
}

func (t *LeafRows) appendAll(all []sealog.Leaf) error {
	if err := t.now(); err != nil {
		return err
	}
	if t.log.ID == 0 {
		if _, err := t.BeginLog(""); err != nil {
			return err
		}
	}
	return t.add(all)
}

// add adds leaves to the log that was begun.
func (t *LeafRows) add(all []sealog.Leaf) error {
	rows := make([]leaf, len(all))
	for i, l := range all {
		text := l.Text()
		hashes := t.tree.Append(sealog.LeafHash(text))
		rows[i] = leaf{id: t.log.First + t.log.Size, of: l.Of, kind: string(l.Kind), body: text, salts: strings.Join(l.Salts, ""), hashes: pack(hashes), root: rootText(t.tree.Root())}
		t.log.Size++
	}
	t.grown = true
	return Leaves.InsertSoon(t.conn, rows, "")
}

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
	err = t.add([]sealog.Leaf{first})
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
