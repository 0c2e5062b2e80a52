package sqlite

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"sync"
	"time"

	"solander/fault"
	"solander/store/engine"
)

// Seal is the high water of a studio's file. It is kept outside of it, so that a file that has lost its
// latest writes, with its log or by an older one put in its place, is known by it. It is written after
// each commit and before the writer hears of it: it may lag behind the file, and never runs ahead of it.
// docs/reliability.md says what it sees and what it does not.
type Seal struct {
	Studio uint32 `json:"studio"`         // the file's id
	Writes int64  `json:"writes"`         // transactions that have changed the file
	Entry  int64  `json:"entry"`          // the latest entry of the register; 0 = none
	Order  int64  `json:"order"`          // the latest order; 0 = none
	Mark   string `json:"mark"`           // that order's
	At     string `json:"at"`             // engine.When it was written, UTC, by the clock of the store
	Leaf   int64  `json:"leaf,omitempty"` // the latest leaf of the register's log; 0 = none
	Digest string `json:"digest"`         // of that entry, that order and the root at that leaf: SHA-256, in hex
}

// The form of a seal's file: blocks of one size, each holding the head of the SHA-256 of what follows, the
// seal as JSON, blanks and a line feed. Write n goes into block n mod SealBlocks, so that one that is torn
// leaves the others, and programs that write one after the other need no lock for it.
const (
	SealTail   = "-seal"
	SealBlocks = 16
	SealBlock  = 384
)

// reached says how far the studio had come.
func (s Seal) reached() string {
	var parts []string
	if s.Mark != "" {
		parts = append(parts, "order "+s.Mark)
	}
	if s.Entry > 0 {
		parts = append(parts, fmt.Sprintf("entry %d of the register", s.Entry))
	}
	parts = append(parts, fmt.Sprintf("write %d of %s", s.Writes, s.At))
	return strings.Join(parts, ", ")
}

func (s Seal) block() ([]byte, error) {
	text, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	line := fmt.Sprintf("%s %s", sealSum(text), text)
	if len(line) >= SealBlock {
		return nil, fmt.Errorf("a seal of %d bytes", len(line))
	}
	return fmt.Appendf(nil, "%-*s\n", SealBlock-1, line), nil
}

func sealSum(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// ReadSeal returns the highest seal beside a file; ok is false when there is none that can be read.
func ReadSeal(path string) (high Seal, ok bool) {
	data, err := os.ReadFile(path + SealTail)
	if err != nil {
		return Seal{}, false
	}
	for len(data) > 0 {
		n := min(len(data), SealBlock)
		sum, text, _ := bytes.Cut(bytes.TrimSpace(data[:n]), []byte(" "))
		data = data[n:]
		var s Seal
		if sealSum(text) != string(sum) || json.Unmarshal(text, &s) != nil {
			continue // never written, torn or damaged
		}
		if !ok || s.Writes > high.Writes {
			high, ok = s, true
		}
	}
	return high, ok
}

// sealFile writes the seals of one open store.
type sealFile struct {
	path string

	mu      sync.Mutex
	waiting *Seal // could not be written; nothing else is before it is
	synced  bool  // all that was written is on the disk
}

// NewSeal makes a file with one seal in it. Another program may have been quicker: fs.ErrExist.
func NewSeal(path string, s Seal) error {
	block, err := s.block()
	if err != nil {
		return err
	}
	blank := bytes.Repeat([]byte(" "), SealBlock*SealBlocks)
	for i := SealBlock - 1; i < len(blank); i += SealBlock {
		blank[i] = '\n'
	}
	copy(blank[s.Writes%SealBlocks*SealBlock:], block)
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = file.Write(blank)
	return errors.Join(err, file.Close())
}

// put writes a seal. When it cannot, the seal waits, and the store takes no write before settle.
func (f *sealFile) put(s Seal) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.synced = false
	if f.write(s) != nil {
		f.waiting = &s
	}
}

func (f *sealFile) write(s Seal) error {
	block, err := s.block()
	if err != nil {
		return err
	}
	file, err := os.OpenFile(f.path, os.O_WRONLY, 0)
	if errors.Is(err, fs.ErrNotExist) {
		if err := NewSeal(f.path, s); !errors.Is(err, fs.ErrExist) {
			return err
		}
		file, err = os.OpenFile(f.path, os.O_WRONLY, 0)
	}
	if err != nil {
		return err
	}
	_, err = file.WriteAt(block, s.Writes%SealBlocks*SealBlock)
	return errors.Join(err, file.Close())
}

// settle writes the seal that waits. Faults: Refused when it still cannot be written.
func (f *sealFile) settle() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.waiting == nil {
		return nil
	}
	if err := f.write(*f.waiting); err != nil {
		return fault.New(fault.Refused, "the seal beside the studio's file cannot be written, so nothing else is").At("%s", f.path).
			ToMend("free some space there, or give this user the right to write it").Because(err)
	}
	f.waiting = nil
	return nil
}

// sync brings what was written to the disk.
func (f *sealFile) sync() {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !f.synced && f.waiting == nil {
		f.synced = syncFile(f.path) == nil
	}
}

// The entry and the order of a seal as text, and the root of the register's log, which holds all entries before. They stand for good: an
// entry is never changed, nor is the mark of an order.
const (
	entryText = `seq || '|' || edition || '|' || kind || '|' || number || '|' || turn || '|' || step || '|' || state || '|' || line || '|' ||
		signed || '|' || struck || '|' || order_mark || '|' || day || '|' || at || '|' || who || '|' || note || '|' || undoes`
	orderText = `id || '|' || mark`
)

// rise counts a write within its transaction, and returns the seal to be put once it is committed.
var rise = `UPDATE high_water SET writes = writes + 1 RETURNING writes,
	coalesce((SELECT max(seq) FROM register), 0), coalesce((SELECT max(id) FROM orders), 0),
	coalesce((SELECT mark FROM orders ORDER BY id DESC LIMIT 1), ''),
	coalesce((SELECT max(id) FROM leaves), 0), coalesce((SELECT root FROM leaves ORDER BY id DESC LIMIT 1), ''),
	coalesce((SELECT ` + entryText + ` FROM register ORDER BY seq DESC LIMIT 1), ''),
	coalesce((SELECT ` + orderText + ` FROM orders ORDER BY id DESC LIMIT 1), '')`

// standing asks for the same of a file as it stands; of its entries and orders for those of a seal.
var standing = `SELECT writes, coalesce((SELECT max(seq) FROM register), 0), coalesce((SELECT max(id) FROM orders), 0),
	coalesce((SELECT mark FROM orders ORDER BY id DESC LIMIT 1), ''),
	coalesce((SELECT max(id) FROM leaves), 0), coalesce((SELECT root FROM leaves WHERE id = $3), ''),
	coalesce((SELECT ` + entryText + ` FROM register WHERE seq = $1), ''),
	coalesce((SELECT ` + orderText + ` FROM orders WHERE id = $2), '') FROM high_water`

func (s *Seal) scan(row interface{ Scan(...any) error }) error {
	var root, entry, order string
	err := row.Scan(&s.Writes, &s.Entry, &s.Order, &s.Mark, &s.Leaf, &root, &entry, &order)
	s.Mark = fault.Clip(s.Mark) // a block has room for that
	text := entry + "\n" + order
	if root != "" { // a seal of before there was a log is without it
		text += "\n" + root
	}
	sum := sha256.Sum256([]byte(text))
	s.Digest = hex.EncodeToString(sum[:])
	return err
}

// highWater reads how far the file has come. The digest is of the entry, the order and the leaf that of names.
func (m *mainFile) highWater(ctx context.Context, q engine.Asker, of Seal) (Seal, error) {
	s := Seal{Studio: m.id}
	rows, err := q.QueryContext(ctx, standing, of.Entry, of.Order, of.Leaf)
	if err != nil {
		return s, err
	}
	defer rows.Close()
	if !rows.Next() {
		return s, errors.Join(rows.Err(), fault.New(fault.Refused, "the count of the writes is gone from the file").At("%s", m.given).ToMend("restore the latest backup to a new place"))
	}
	return s, errors.Join(s.scan(rows), rows.Close())
}

// against refuses a file that is not as far as its seal. Faults: Refused.
func (m *mainFile) against(have, high Seal) error {
	var what string
	switch {
	case have.Studio != high.Studio:
		what = "this is not the file that was written here last: the seal beside it is of another one, which had come to " + high.reached()
	case have.Writes < high.Writes:
		what = fmt.Sprintf("the latest %d writes are missing: the studio had come to %s; this file ends at %s", high.Writes-have.Writes, high.reached(), have.ended())
	case have.Digest != high.Digest:
		what = "the file holds another entry or order than was written here last: the studio had come to " + high.reached()
	default:
		return nil
	}
	return fault.New(fault.Refused, "%s", what).At("%s", m.given).ToMend(
		"nothing was changed. Look for the log (%[1]s-wal) that was removed or not copied along, and put it back beside the file; or restore the latest backup to a new place. "+
			"Only if you want the file as it is, and know that numbers given since may be given again: move %[1]s%[2]s away, and open it again", m.name(), SealTail)
}

// ended says how far a file goes.
func (s Seal) ended() string {
	if s.Mark == "" {
		return fmt.Sprintf("write %d", s.Writes)
	}
	return fmt.Sprintf("order %s, write %d", s.Mark, s.Writes)
}

func stamp(at time.Time) string { return at.UTC().Format(time.RFC3339) }
