package certificate

import (
	"time"

	"solander/calendar"
	"solander/edition"
)

// Kept is a certificate that was made, as it is kept.
type Kept struct {
	ID      int64          `json:"serial"`
	Edition int64          `json:"edition"`
	Number  edition.Number `json:"number"`
	Code    string         `json:"code"`  // the small one
	Facts   string         `json:"facts"` // that go with it, as they were then
	Key     string         `json:"key"`   // the public key that signed it
	Place   string         `json:"place,omitempty"`
	Before  int64          `json:"before,omitempty"` // the certificate in whose place it is; 0 = none
	Day     calendar.Day   `json:"day"`
	At      time.Time      `json:"at"`
	Who     string         `json:"who"`
}

// End is that a certificate was revoked, or that another one took its place.
type End struct {
	ID          int64        `json:"id"`
	Certificate int64        `json:"certificate"`
	FollowedBy  int64        `json:"followed_by,omitempty"` // 0 = it was revoked
	Reason      string       `json:"reason"`
	Day         calendar.Day `json:"day"`
	At          time.Time    `json:"at"`
	Who         string       `json:"who"`
}

// Event is what owners tell of a print.
type Event string

// The events. A print that was stolen or lost may be found again.
const (
	Transferred Event = "transfer"
	Resold      Event = "resale"
	Stolen      Event = "theft"
	Lost        Event = "loss"
	Found       Event = "found"
)

// Events returns all events.
func Events() []Event { return []Event{Transferred, Resold, Stolen, Lost, Found} }

// Transfer is what an owner told of a print. Who it was stands in Words, which can be forgotten; Kept is a commitment to them.
type Transfer struct {
	ID          int64          `json:"id"`
	Edition     int64          `json:"edition"`
	Number      edition.Number `json:"number"`
	Certificate int64          `json:"certificate"`
	Told        Event          `json:"told"`
	Kept        string         `json:"kept"`
	Day         calendar.Day   `json:"day"`
	At          time.Time      `json:"at"`
	Who         string         `json:"who"`
	Words       string         `json:"words"` // see Owner; "(erased)" once they were forgotten
}

// Store keeps certificates and what owners told. Rows are only ever added; words of owners may be forgotten.
type Store interface {
	// AddCertificate adds one and gives its serial. Faults: Missing.
	AddCertificate(Kept) (int64, error)
	Certificate(serial int64) (Kept, error)
	// Certificates returns those of an edition, of one number when one is named, oldest first.
	Certificates(edition int64, n edition.Number) ([]Kept, error)
	// AddCertificateEnd adds one. Faults: Missing; Taken when the certificate was ended before.
	AddCertificateEnd(End) (int64, error)
	// CertificateEnds returns all ends, by certificate.
	CertificateEnds() (map[int64]End, error)
	// LastSerial is the serial that was given last; 0 = none was.
	LastSerial() (int64, error)
	// AddTransfer adds what an owner told. Faults: Missing.
	AddTransfer(Transfer) (int64, error)
	// Transfers returns what owners told of a number, oldest first.
	Transfers(edition int64, n edition.Number) ([]Transfer, error)
	// ForgetTransfer forgets who told it, and returns what stays. Faults: Missing.
	ForgetTransfer(id int64) (Transfer, error)
}
