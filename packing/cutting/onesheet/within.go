package onesheet

// Within is the most valuable pieces, no more of a kind than its Max, if they are worth more than over: else nil. No
// others are worth more than bound. It ends after so much work, of which it tells how much it took.
func (t *Table) Within(over int64, most int) (best *Joint, bound int64, work int) {
	s := newBounded(t, over)
	s.effort = most
	s.run()
	return s.best(), s.bound, s.work()
}

// Every is all that is worth more than over, no more of a kind than its Max: each set of pieces once. All is false
// when the work, or the time, ended first.
func (t *Table) Every(over int64, most int) (sets []*Joint, all bool, work int) {
	s := newBounded(t, over)
	s.effort, s.every = most, true
	s.run()
	for _, at := range s.found {
		sets = append(sets, s.joint(at))
	}
	return sets, s.bound == over, s.work()
}

// work counts what was looked at, in steps that take about as long as a sum of the table.
func (s *search) work() int {
	return 2*s.pairs + len(s.outside)*(len(s.t.xs)+len(s.t.ys))/2 + len(s.area)*len(s.t.kinds)
}
