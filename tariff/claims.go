package tariff

import (
	"strconv"

	"solander/calendar"
	"solander/fault"
)

// Claims are when the operator takes a claim for a parcel, by what is wrong with it. An absent window is not stated by the card.
type Claims struct {
	Damaged *Window `json:"damaged,omitempty"`
	Lost    *Window `json:"lost,omitempty"`
	Missing *Window `json:"missing,omitempty"` // a part of what was in it
}

// Window is from which day to which a claim is taken, both in, in calendar days after the day of posting; the day of posting is day 0.
type Window struct {
	From   int    `json:"from" most:"3650" need:"yes"`
	Until  int    `json:"until" most:"3650" need:"yes"`
	Note   string `json:"note,omitempty"` // where other days hold
	Source string `json:"source,omitempty"`
	Status string `json:"status,omitempty" form:"status"`
}

// Days are the first and the last day on which a claim is taken for a parcel that was posted on a day. A nil window says neither.
func (w *Window) Days(posted calendar.Day) (first, last calendar.Day, stated bool) {
	if w == nil {
		return first, last, false
	}
	return posted.Add(w.From), posted.Add(w.Until), true
}

// Words says a window as a page does.
func (w *Window) Words() string {
	if w == nil {
		return ""
	}
	if w.From == 0 {
		return "until day " + strconv.Itoa(w.Until)
	}
	return "from day " + strconv.Itoa(w.From) + " to day " + strconv.Itoa(w.Until)
}

func (k *checker) claims(p fault.Path, c *Claims) {
	if c == nil {
		return
	}
	for _, x := range []struct {
		name string
		w    *Window
	}{{"damaged", c.Damaged}, {"lost", c.Lost}, {"missing", c.Missing}} {
		if x.w == nil {
			continue
		}
		q := p.To(x.name)
		k.at(q, x.w.From >= 0 && x.w.Until >= x.w.From && x.w.Until <= 3650, "until", "is not a day from the first one on", "0 ≤ from ≤ until ≤ 3650, in days after posting")
		k.status(q, x.w.Status)
	}
}
