package phone

import (
	"net/http"
	"strings"

	"solander/fault"
	"solander/internal/nearby"
	"solander/phones"
	"solander/web/page"
)

// CodePage is a code just made, as a picture and to be typed, with what the phone's browser will say.
type CodePage struct {
	page.Frame
	Code    string
	Ends    string
	Picture picture
	Address string   // without https://, as it is typed
	Others  []string // further addresses of the computer
	State   nearby.State
	Print   []string // the fingerprint, in parts
}

func (f *Phones) showCode(w http.ResponseWriter, r *http.Request, o phones.Offer) error {
	fr, err := f.Frame(r, "studio", "A code for a phone")
	if err != nil {
		return err
	}
	s := f.Door.State()
	if !s.On || len(s.Bases) == 0 {
		return fault.New(fault.Refused, "the door was shut meanwhile").ToMend("open it again: Studio, Let a phone in")
	}
	p := &CodePage{Frame: fr, Code: o.Code, Ends: f.clock(r, o.Ends), State: s, Print: inParts(s.Print), Address: plainly(s.Bases[0]) + "/phone"}
	for _, b := range s.Bases[1:] {
		p.Others = append(p.Others, plainly(b)+"/phone")
	}
	if p.Picture, err = drawn(Link(s.Bases[0], o.Code)); err != nil {
		return err
	}
	return f.Show(w, r, http.StatusOK, "phonecode", p)
}

// inParts divides a fingerprint into parts of eight bytes, which people compare.
func inParts(print string) (out []string) {
	const part = len("00:") * 8
	for ; len(print) > part; print = print[part:] {
		out = append(out, print[:part-1])
	}
	return append(out, print)
}

func plainly(base string) string { return strings.TrimPrefix(base, "https://") }

// Link is the address that the picture holds. The code stands behind #: a browser sends that to nobody, and it comes into no log.
func Link(base, code string) string { return base + "/phone#" + code }
