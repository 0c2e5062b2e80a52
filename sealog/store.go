package sealog

import (
	"time"

	"golang.org/x/mod/sumdb/tlog"
)

// Log is one log of the register: all leaves from the first one on, up to that of the next log.
type Log struct {
	ID     int64
	Origin string // names it, and its key
	First  int64  // the id of its first leaf
	At     time.Time
	Size   int64     // how many leaves it has; of a log that was read as it stands
	Root   tlog.Hash // of so many
}

// Head is how far the log has come, as it is signed.
func (l Log) Head() Checkpoint {
	return Checkpoint{Origin: l.Origin, Size: l.Size, Root: l.Root}
}

// KeptLeaf is a leaf in its place.
type KeptLeaf struct {
	Leaf
	ID    int64
	Log   int64
	Index int64  // in its log, from 0
	Body  string // its bytes
}

// KeyPlace says where the register's key lies, and what opens it.
type KeyPlace struct {
	File       string // "" = it has no place
	Passphrase string // that this program was given; "" = none
	Ring       Ring   // the keyring of this user; nil = it is not asked
	User       string // the file, of the user of this computer, with what opens it when nobody chose a passphrase; "" = there is no place for one
}

// Ring is the keyring of a user, with what opens the key there.
type Ring interface {
	// There reports whether there can be one at all. It asks none.
	There() bool
	Secret() (string, error) // "" = it keeps none
	Make() (string, error)   // the same; one is made when it keeps none
}

// Signed is a signed checkpoint that is kept.
type Signed struct {
	ID   int64
	Log  int64
	Size int64
	At   time.Time
	Body string // with its signatures
}

// Store keeps the register as a log: leaves are only ever added, each in the transaction of what it tells.
type Store interface {
	// AppendLeaf adds a leaf to the log of now, which it begins when there is none. Salts are given by the caller; see NewSalts.
	AppendLeaf(Leaf) (KeptLeaf, error)
	// NewSalts draws salts for the commitments of a leaf.
	NewSalts(n int) ([]string, error)
	// BeginLog ends the log of now and begins another one, whose first leaf carries the root of the one before.
	BeginLog(why string) (Log, error)
	// Log is the log of now; Missing while nothing was ever entered.
	Log() (Log, error)
	Logs() ([]Log, error) // oldest first
	// LeafAt reads the leaf of an index. Faults: Missing.
	LeafAt(log, index int64) (KeptLeaf, error)
	// LeavesOf reads the leaves of a kind that tell of something, oldest first.
	LeavesOf(kind Kind, of int64) ([]KeptLeaf, error)
	// Leaves reads up to limit leaves of a log from an index on.
	Leaves(log, from int64, limit int) ([]KeptLeaf, error)
	// Inclusion proves that a leaf is among the first size leaves of its log; Consistency that the first of them are among the later ones.
	// Faults: Invalid when there are not as many.
	Inclusion(log, index, size int64) (tlog.RecordProof, error)
	Consistency(log, earlier, later int64) (tlog.TreeProof, error)
	// RootAt is the root of the first size leaves. Faults: Invalid.
	RootAt(log, size int64) (tlog.Hash, error)
	// StoredHashes reads hashes of a log by tlog.StoredHashIndex.
	StoredHashes(log int64) tlog.HashReader
	// SaveCheckpoint keeps what was signed; Checkpoints are those of a log, oldest first.
	SaveCheckpoint(Signed) (int64, error)
	Checkpoints(log int64) ([]Signed, error)
	// SealDay makes the leaf of the rows beside the register as they stand, by their digests; the caller appends it. Sealed is the day of the latest,
	// "" = none, and how many rows were added, changed or taken out since.
	SealDay(day string) (Leaf, error)
	Sealed() (day string, since int64, err error)
	// VerifyRows compares those rows with their digests, and the digests with the latest seal: one sentence a finding.
	VerifyRows() ([]string, error)
	// VerifyLog looks through the whole log, and compares it with the register and the editions: one sentence a finding.
	VerifyLog() ([]string, error)
}
