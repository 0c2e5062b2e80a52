package planner

import (
	"sync"

	"solander/packing/planner/parcel"
)

// Progress is how far a computation has come: steps done of all that are known of. All may grow on the way,
// when orders turn out to need the same scarce packaging.
type Progress struct{ Done, All int }

// meter counts steps and tells of them; a nil meter does nothing.
type meter struct {
	lock sync.Mutex
	at   Progress
	tell func(Progress)
}

func newMeter(tell func(Progress)) *meter {
	if tell == nil {
		return nil
	}
	return &meter{tell: tell}
}

// expect adds steps that are to come.
func (m *meter) expect(n int) {
	if m == nil {
		return
	}
	m.lock.Lock()
	defer m.lock.Unlock()
	m.at.All += n
}

// pass adds steps that are done and tells of them.
func (m *meter) pass(n int) {
	if m == nil || n <= 0 {
		return
	}
	m.lock.Lock()
	defer m.lock.Unlock()
	m.at.Done = min(m.at.Done+n, m.at.All)
	m.tell(m.at)
}

// stint is the steps of one order: what is left of them is passed at its end.
type stint struct {
	*meter
	left int
}

func (k *solver) stint(o *parcel.Order) *stint { return &stint{k.meter, k.steps(o)} }

func (s *stint) pass(n int) {
	n = min(n, s.left)
	s.left -= n
	s.meter.pass(n)
}

func (s *stint) end() { s.pass(s.left) }

// steps is how much work an order is, about.
func (k *solver) steps(o *parcel.Order) int {
	most := k.P.Options.States()
	if n := o.States(most); n <= most {
		return n
	}
	return most/4 + 1
}
