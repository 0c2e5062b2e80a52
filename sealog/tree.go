package sealog

import (
	"math/bits"

	"golang.org/x/mod/sumdb/tlog"

	"solander/fault"
)

// Tree is the right edge of a log: as much of it as is needed to append, and to know the root.
type Tree struct {
	Size int64
	edge [64]tlog.Hash // the roots of the whole trees that it is made of, the largest first: as many as Size has bits
}

// EdgeAt are the stored hashes (see tlog.StoredHashIndex) from which the edge of a tree of a size is made, in the order in which
// NewTree takes them.
func EdgeAt(size int64) []int64 {
	var at []int64
	done := int64(0)
	for level := bits.Len64(uint64(size)) - 1; level >= 0; level-- {
		if size>>level&1 == 1 {
			at = append(at, tlog.StoredHashIndex(level, done>>level))
			done += 1 << level
		}
	}
	return at
}

// NewTree is a tree of its size and edge.
func NewTree(size int64, edge []tlog.Hash) Tree {
	t := Tree{Size: size}
	copy(t.edge[:], edge)
	return t
}

// Append adds a leaf by its hash, and to kept the hashes that are kept with it: its own, and those of the trees that it completes.
func (t *Tree) Append(kept []tlog.Hash, leaf tlog.Hash) []tlog.Hash {
	kept = append(kept, leaf)
	last := bits.OnesCount64(uint64(t.Size))
	h := leaf
	for n := t.Size; n&1 == 1; n >>= 1 {
		last--
		h = tlog.NodeHash(t.edge[last], h)
		kept = append(kept, h)
	}
	t.edge[last] = h
	t.Size++
	return kept
}

// Root is the root of the tree; that of an empty one is the hash of nothing.
func (t *Tree) Root() tlog.Hash {
	if t.Size == 0 {
		root, _ := tlog.TreeHash(0, nil) // of nothing, nothing is read
		return root
	}
	last := bits.OnesCount64(uint64(t.Size)) - 1
	h := t.edge[last]
	for i := last - 1; i >= 0; i-- {
		h = tlog.NodeHash(t.edge[i], h)
	}
	return h
}

// LeafHash is the hash of a leaf's bytes.
func LeafHash[T string | []byte](text T) tlog.Hash { return tlog.RecordHash([]byte(text)) }

// Place says with which leaf a stored hash is kept, and at which place among its hashes.
func Place(stored int64) (leaf int64, at int) {
	level, n := tlog.SplitStoredHashIndex(stored)
	return (n+1)<<level - 1, level
}

// Follows proves that a later checkpoint holds all of an earlier one. Faults: Invalid when it does not.
func Follows(p tlog.TreeProof, earlier, later Checkpoint) error {
	switch {
	case earlier.Origin != later.Origin:
		return fault.New(fault.Invalid, "the checkpoints are of two logs").At("%s, %s", earlier.Origin, later.Origin)
	case earlier.Size > later.Size:
		return fault.New(fault.Invalid, "the checkpoint is older than the one that was seen before").At("%d, %d leaves", later.Size, earlier.Size)
	case earlier.Size == 0, earlier.Size == later.Size && earlier.Root == later.Root:
		return nil
	case earlier.Size == later.Size || tlog.CheckTree(p, later.Size, later.Root, earlier.Size, earlier.Root) != nil:
		return fault.New(fault.Invalid, "the log does not hold what it held before").At("%d of %d leaves", earlier.Size, later.Size).ToMend("something was changed in it, or taken out")
	}
	return nil
}
