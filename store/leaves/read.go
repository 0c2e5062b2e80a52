package leaves

import (
	"fmt"

	"golang.org/x/mod/sumdb/tlog"

	"solander/fault"
	"solander/sealog"
	"solander/store/table"
	"solander/studio"
)

// Logs are all logs; see sealog.Store.
func (t *LeafRows) Logs() ([]sealog.Log, error) {
	all, err := Logs.List(t.conn, "ORDER BY id")
	if err != nil || len(all) == 0 {
		return all, err
	}
	if err := t.now(); err != nil {
		return nil, err
	}
	for i := range all {
		if all[i].Size = t.log.Size; i+1 < len(all) {
			all[i].Size = all[i+1].First - all[i].First
		}
		if all[i].Size < 0 || all[i].First < 1 {
			return nil, misplaced(all[i])
		}
		tree, err := t.treeAt(all[i], all[i].Size)
		if err != nil {
			return nil, err
		}
		all[i].Root = tree.Root()
	}
	return all, nil
}

// misplaced is what is said of a log that does not begin where it can.
func misplaced(l sealog.Log) error {
	return fmt.Errorf("log %d begins at leaf %d, behind its end: %w", l.ID, l.First, studio.ErrDamaged)
}

// of finds a log with how many leaves it has.
func (t *LeafRows) of(log int64) (sealog.Log, error) {
	all, err := Logs.List(t.conn, "WHERE id IN ($1, $2) ORDER BY id", log, log+1)
	if err == nil && (len(all) == 0 || all[0].ID != log) {
		err = table.Must(false, nil, "log %d", log)
	}
	if err != nil {
		return sealog.Log{}, err
	}
	l := all[0]
	if len(all) == 2 {
		if l.Size = all[1].First - l.First; l.Size < 0 || l.First < 1 {
			return l, misplaced(l)
		}
		return l, nil
	}
	if err := t.now(); err != nil {
		return l, err
	}
	l.Size = t.log.Size
	return l, nil
}

func kept(l sealog.Log, r leaf) (sealog.KeptLeaf, error) {
	of, err := sealog.Parse(r.body)
	of.Salts = saltsOf(r.salts)
	return sealog.KeptLeaf{Leaf: of, ID: r.id, Log: l.ID, Index: r.id - l.First, Body: r.body}, err
}

func saltsOf(text string) []string { return appendSalts(nil, text) }

func appendSalts(out []string, text string) []string {
	const one = 2 * sealog.SaltSize
	for ; len(text) >= one; text = text[one:] {
		out = append(out, text[:one])
	}
	return out
}

// LeafAt reads a leaf; see sealog.Store.
func (t *LeafRows) LeafAt(log, index int64) (sealog.KeptLeaf, error) {
	l, err := t.of(log)
	if err != nil {
		return sealog.KeptLeaf{}, err
	}
	if index < 0 || index >= l.Size {
		return sealog.KeptLeaf{}, table.Must(false, nil, "leaf %d", index)
	}
	r, err := Leaves.Get(t.conn, l.First+index)
	if err != nil {
		return sealog.KeptLeaf{}, err
	}
	return kept(l, r)
}

// LeavesOf reads the leaves that tell of something; see sealog.Store.
func (t *LeafRows) LeavesOf(kind sealog.Kind, of int64) ([]sealog.KeptLeaf, error) {
	rows, err := Leaves.List(t.conn, "WHERE kind = $1 AND of_id = $2 ORDER BY id", kind, of)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	logs, err := Logs.List(t.conn, "ORDER BY id DESC")
	if err != nil {
		return nil, err
	}
	var out []sealog.KeptLeaf
	for _, r := range rows {
		for _, l := range logs {
			if r.id >= l.First {
				k, err := kept(l, r)
				if err != nil {
					return nil, err
				}
				out = append(out, k)
				break
			}
		}
	}
	return out, nil
}

// Leaves reads leaves of a log; see sealog.Store.
func (t *LeafRows) Leaves(log, from int64, limit int) ([]sealog.KeptLeaf, error) {
	l, err := t.of(log)
	if err != nil {
		return nil, err
	}
	rows, err := Leaves.List(t.conn, "WHERE id >= $1 AND id < $2 ORDER BY id LIMIT $3", l.First+max(0, from), l.First+l.Size, max(0, limit))
	if err != nil {
		return nil, err
	}
	out := make([]sealog.KeptLeaf, len(rows))
	for i, r := range rows {
		if out[i], err = kept(l, r); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// StoredHashes reads the hashes of a log; see sealog.Store.
func (t *LeafRows) StoredHashes(log int64) tlog.HashReader {
	return tlog.HashReaderFunc(func(at []int64) ([]tlog.Hash, error) {
		l, err := t.of(log)
		if err != nil {
			return nil, err
		}
		return t.hashes(l.First, at)
	})
}

// within refuses what is beyond the log.
func (t *LeafRows) within(log, size int64) error {
	l, err := t.of(log)
	if err == nil && (size < 0 || size > l.Size) {
		err = fault.New(fault.Invalid, "the log has %d leaves, not %d", l.Size, size).ToMend("ask for a size that it has")
	}
	return err
}

// Inclusion proves that a leaf is in the log; see sealog.Store.
func (t *LeafRows) Inclusion(log, index, size int64) (tlog.RecordProof, error) {
	if err := t.within(log, size); err != nil {
		return nil, err
	}
	if index < 0 || index >= size {
		return nil, fault.New(fault.Invalid, "leaf %d is not among the first %d", index, size)
	}
	return tlog.ProveRecord(size, index, t.StoredHashes(log))
}

// Consistency proves that the log only grew; see sealog.Store.
func (t *LeafRows) Consistency(log, earlier, later int64) (tlog.TreeProof, error) {
	if err := t.within(log, later); err != nil {
		return nil, err
	}
	if earlier < 1 || earlier > later {
		return nil, fault.New(fault.Invalid, "%d leaves are not before %d", earlier, later)
	}
	return tlog.ProveTree(later, earlier, t.StoredHashes(log))
}

// RootAt is the root of the first leaves; see sealog.Store.
func (t *LeafRows) RootAt(log, size int64) (tlog.Hash, error) {
	if err := t.within(log, size); err != nil {
		return tlog.Hash{}, err
	}
	l, err := t.of(log)
	if err != nil {
		return tlog.Hash{}, err
	}
	tree, err := t.treeAt(l, size)
	return tree.Root(), err
}

// SaveCheckpoint keeps what was signed; see sealog.Store.
func (t *LeafRows) SaveCheckpoint(s sealog.Signed) (int64, error) { return Checkpoints.Add(t.conn, s) }

// Checkpoints are those of a log; see sealog.Store.
func (t *LeafRows) Checkpoints(log int64) ([]sealog.Signed, error) {
	return Checkpoints.List(t.conn, "WHERE log = $1 ORDER BY id", log)
}

// Behind says in what the logs are behind a checkpoint that was seen of them, "" = they hold it, and whether its log is one of them.
func (t *LeafRows) Behind(c sealog.Checkpoint) (known bool, what string, err error) {
	all, err := Logs.List(t.conn, "WHERE origin = $1", c.Origin)
	if err != nil {
		return false, "", err
	}
	if len(all) == 0 {
		first, err := Logs.List(t.conn, "WHERE origin = $1", sealog.Family(c.Origin))
		if err != nil || len(first) > 0 {
			return true, "the register has gone on in another log since, after its key was lost: this is an older copy", err
		}
		return false, "the register here is another one than was signed here last (" + c.Origin + ")", nil
	}
	l, err := t.of(all[0].ID)
	if err != nil {
		return true, "", err
	}
	if l.Size < c.Size {
		return true, fmt.Sprintf("the register had come to %d leaves when it was signed last, and has %d: this is an older copy", c.Size, l.Size), nil
	}
	if root, err := t.RootAt(l.ID, c.Size); err != nil || root != c.Root {
		return true, fmt.Sprintf("the first %d leaves of the register are not those that were signed", c.Size), err
	}
	return true, "", nil
}
