package house

import (
	"fmt"

	"solander/edition"
	"solander/order"
	"solander/studio"
)

// heldLine is a live numbered line.
type heldLine struct {
	mark    string
	edition int64
	number  edition.Number
	state   order.State
}

// numberKey names a number across all editions.
type numberKey struct {
	edition int64
	edition.Number
}

const mendRegister = "stop selling this edition and restore the latest backup in which check finds nothing"

// register replays every number that something happened to, and compares where it ends with where it is
// said to stand; then with the order line that holds it.
func (c *checking) register() error {
	eds, err := c.Editions()
	if err != nil {
		return err
	}
	counts, err := c.Counts()
	if err != nil {
		return err
	}
	holds := map[int64]numberKey{}
	for _, e := range eds {
		rows, err := c.Numbers(e.ID)
		if err != nil {
			if err := c.unread("register: "+e.Title, err); err != nil {
				return err
			}
			continue
		}
		count := map[edition.State]int{}
		for _, r := range rows {
			count[r.Standing.State]++
			if err := c.unread("register: "+r.Number.Of(e)+" of "+e.Title, c.number(e, r, holds)); err != nil {
				return err
			}
		}
		c.counted(e, len(rows), count, counts[e.ID])
	}
	if c.lost > 0 {
		return nil // a number that seems to be held by none may be among what cannot be read
	}
	for id, l := range c.held {
		if _, ok := holds[id]; !ok && l.state == order.Open {
			c.finding("order "+l.mark, "give the line another number", "it says it has number %s, the register does not", l.number)
		}
	}
	return nil
}

func (c *checking) counted(e edition.Edition, rows int, count, said map[edition.State]int) {
	where := "register: " + e.Name(c.Set.Units)
	if rows != e.Total() {
		c.finding(where, mendRegister, "%d numbers are kept, %d were declared", rows, e.Total())
	}
	for _, s := range edition.States() {
		if count[s] != said[s] {
			c.finding(where, mendRegister, "%d numbers are %s, its count says %d", count[s], s, said[s])
		}
	}
}

func (c *checking) number(e edition.Edition, r studio.NumberRow, holds map[int64]numberKey) error {
	where := "register: " + r.Number.Of(e) + " of " + e.Title
	if err := r.Number.In(e); err != nil {
		c.finding(where, mendRegister, "%v", err)
	}
	stands := edition.FreshStanding()
	if r.Standing.Turn > 0 {
		history, err := c.History(e.ID, r.Number)
		if err != nil {
			return err
		}
		if err := edition.Verify(history); err != nil {
			c.finding(where, mendRegister, "%v", err)
		}
		if len(history) > 0 {
			stands = history[len(history)-1].After
		}
	}
	if r.Standing != stands {
		c.finding(where, mendRegister, "it is said to be %s at turn %d, its entries end in %s at turn %d", r.Standing.State, r.Standing.Turn, stands.State, stands.Turn)
	}
	c.holder(where, e, r, holds)
	return nil
}

// holder compares a number with the line that holds it.
func (c *checking) holder(where string, e edition.Edition, r studio.NumberRow, holds map[int64]numberKey) {
	line := r.Standing.Line
	if line == 0 {
		return
	}
	if other, twice := holds[line]; twice {
		c.finding(where, mendRegister, "line %d holds it and number %s as well", line, other.Number)
	}
	holds[line] = numberKey{e.ID, r.Number}
	l, ok := c.held[line]
	if !ok || l.edition != e.ID || l.number != r.Number {
		c.finding(where, mendRegister, "it is held by line %d, which does not say so", line)
	}
}

// entriesAtOnce is how many register entries are read at a time.
const entriesAtOnce = 5000

// log walks the whole register: positions without gaps, and of each number as many entries as it took
// turns, counted from 1.
func (c *checking) log() error {
	turns := map[numberKey]int{}
	last := int64(0)
	what := func(seq int64) string {
		last = seq
		return fmt.Sprintf("register: entry %d", seq)
	}
	return walk(c, entriesAtOnce, what, c.Entries, func(e edition.Entry) (int64, error) {
		if e.Seq != last+1 {
			c.finding("register", mendRegister, "entry %d is followed by entry %d", last, e.Seq)
		}
		last = e.Seq
		key := numberKey{e.Edition, e.Number}
		if turns[key]++; turns[key] != e.Turn {
			c.finding("register", mendRegister, "entry %d of number %s is its turn %d, and says %d", e.Seq, e.Number, turns[key], e.Turn)
		}
		return e.Seq, nil
	})
}
