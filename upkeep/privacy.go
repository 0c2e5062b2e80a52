package upkeep

import (
	"time"

	"solander/calendar"
)

// KeptClass says what a column of the store holds, as far as a person is concerned.
type KeptClass string

// The classes. Each column of each table has one (package store/privacy).
const (
	KeptPlain    KeptClass = "plain"    // it says nothing about a buyer
	KeptPersonal KeptClass = "personal" // it is about one buyer: given out, and blanked when she is erased, unless books or law need it
	KeptWords    KeptClass = "words"    // the studio's own words, in which a buyer may be named: looked through when she is erased
	KeptSecret   KeptClass = "secret"   // it opens a door: never given out
)

// KeptColumn is a column of what is kept of a buyer.
type KeptColumn struct {
	Name  string    `json:"name"`
	Class KeptClass `json:"class"`
	Stays string    `json:"stays,omitempty"` // why it stays when she is erased; "" = it is blanked, or it is not personal
}

// KeptTable is the rows of a table that are kept of a buyer, whole but for secrets. A value is an int64, a string, or nil.
type KeptTable struct {
	Name    string       `json:"name"`
	What    string       `json:"what"` // in plain words
	Columns []KeptColumn `json:"columns"`
	Rows    [][]any      `json:"rows"`
}

// CellChange is one cell that an erasure changes.
type CellChange struct {
	Table  string
	Key    []any // the values of the table's key, each an int64 or a string
	Column string
	Was    string
	Is     string
	Hers   bool // it stands in a row of hers; else she is only named there
}

// ErasureWhy says on what ground a buyer was erased.
type ErasureWhy string

// The grounds.
const (
	ErasedAsked ErasureWhy = "asked" // she, or the law, asked for it
	ErasedDue   ErasureWhy = "due"   // the studio's own rule on how long it keeps
	ErasedAgain ErasureWhy = "again" // after an older copy was restored
)

// Erasure is that a buyer was erased. It names nobody.
type Erasure struct {
	ID    int64        `json:"id"`
	Buyer int64        `json:"buyer"`
	Why   ErasureWhy   `json:"why"`
	Day   calendar.Day `json:"day"`
	At    time.Time    `json:"at"`
	Who   string       `json:"who"` // who did it
	Cells int          `json:"cells"`
}

// Ended is a buyer with nothing open, and when something was last done for her.
type Ended struct {
	Buyer  int64
	Last   calendar.Day // the latest day of a payment, a hand-over, or an end of an order
	Money  bool         // something was paid or handed over
	Orders []int64
}

// Cipher is what a store keeps in cipher.
type Cipher struct {
	Secrets bool   `json:"secrets"`  // secrets of web-hooks
	People  bool   `json:"people"`   // names, addresses, mails, phones, and what was typed or brought in about buyers
	Itself  bool   `json:"itself"`   // the studio keeps its secrets so without having been asked: its copies hold them as they are
	KeyFile string `json:"key_file"` // where the key lies; "" = there is no place for one
	Key     bool   `json:"key"`      // there is one
}

// PrivacyStore keeps what is known about which column is about whom, and erases by it.
type PrivacyStore interface {
	// Kept returns every row that is kept of a person, table by table, by their keys. Faults: Missing.
	Kept(person int64) ([]KeptTable, error)
	// Erasing returns what Erase would change, and changes nothing. Faults: Missing; Refused when she is erased already, or was taken as
	// another.
	Erasing(person int64) ([]CellChange, error)
	// Erase changes these cells, and notes it; e gets its id. Faults: as Erasing.
	Erase(e Erasure, changes []CellChange) (Erasure, error)
	Erasures(limit int) ([]Erasure, error) // newest first
	Erased(buyer int64) (Erasure, error)   // Missing when she is not
	// Ended returns buyers who stand for themselves, have orders and none open, were not erased, and for whom nothing was done on a day or
	// later, by id.
	Ended(before calendar.Day, limit int) ([]Ended, error)
	// OrderBegan is the instant of the first journal entry of an order; zero when it has none.
	OrderBegan(order int64) (time.Time, error)
}
