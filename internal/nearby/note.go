package nearby

import (
	"encoding/json"
	"errors"
	"net"
	"net/url"
	"os"
	"time"

	"solander/fault"
)

// A Note says where a door is open, to other commands on this machine.
type Note struct {
	Bases []string  `json:"addresses"`
	Until time.Time `json:"until"`
	Print string    `json:"fingerprint"`
	// Authority is the certificate that a phone may trust, as DER; nothing when one was given that it trusts already.
	Authority []byte `json:"authority,omitempty"`
}

// note writes where the door is open, whole or not at all.
func (d *Door) note(o *opening) error {
	if d.opt.Note == "" {
		return nil
	}
	s := o.state()
	b, err := json.Marshal(Note{s.Bases, s.Until, s.Print, s.Authority})
	if err != nil {
		return err
	}
	next := d.opt.Note + ".next"
	if err := errors.Join(os.WriteFile(next, b, 0o600), os.Rename(next, d.opt.Note)); err != nil {
		return fault.New(fault.Refused, "it cannot be noted where the studio is open: %s", err).At("%s", d.opt.Note).ToMend("see whose it is, and that the disk has room").Because(err)
	}
	return nil
}

func (d *Door) forgetNote() error {
	if d.opt.Note == "" {
		return nil
	}
	if err := os.Remove(d.opt.Note); !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

// patience is how long a door may take to say that it is there.
const patience = 2 * time.Second

// Noted returns what a note says, while the door that wrote it is open: somebody answers there, and its time is not over.
// Faults: Refused when it is not.
func Noted(file string, now time.Time) (Note, error) {
	shut := fault.New(fault.Refused, "the studio is not open to the local network").
		ToMend("open it on the page Studio, Let a phone in; or begin it with solander serve --phones")
	b, err := os.ReadFile(file)
	var n Note
	if err != nil || json.Unmarshal(b, &n) != nil || len(n.Bases) == 0 || !now.Before(n.Until) {
		return Note{}, shut.Because(err)
	}
	u, err := url.Parse(n.Bases[0])
	if err != nil {
		return Note{}, shut.Because(err)
	}
	c, err := net.DialTimeout("tcp", u.Host, patience)
	if err != nil {
		return Note{}, shut.Because(err)
	}
	return n, c.Close()
}
