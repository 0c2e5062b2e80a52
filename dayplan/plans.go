package dayplan

import (
	"container/list"
	"context"
	"sync"

	"solander/packing"
)

// Plans keeps the plans that were asked for lately by the hash of their problem: a plan is a pure function of it, so
// that a cached one is never stale, and a write makes only those plans anew whose problem it touched. It is safe for
// concurrent use.
type Plans struct {
	unsound func(context.Context, error)
	Begun   func() (ended func()) // told of each plan that is made, not remembered; nil = nobody is

	mu    sync.Mutex
	most  int
	plans map[[32]byte]*list.Element // of *cachedPlan
	order *list.List                 // the one asked for last in front
}

// cachedPlan is an answer of the planner, a refusal included.
type cachedPlan struct {
	key  [32]byte
	plan packing.Plan
	err  error
}

// fewPlans bounds the cache as long as no day needs more. A plan takes about 8 KB.
const fewPlans = 1024

// NewPlans remembers nothing yet. unsound is told of a plan that did not pass the check: an order of a day is held with that,
// which is no fault of the page that shows it.
func NewPlans(unsound func(context.Context, error)) *Plans {
	return &Plans{unsound: unsound, most: fewPlans, plans: make(map[[32]byte]*list.Element), order: list.New()}
}

// Hold makes room for all plans of a day with n orders that may be packed, and as many again: with less, each of them would
// be forgotten before it is asked for again.
func (c *Plans) Hold(n int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.most = max(fewPlans, 2*n)
	c.trim()
}

func (c *Plans) get(key [32]byte) (*cachedPlan, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.plans[key]
	if !ok {
		return nil, false
	}
	c.order.MoveToFront(e)
	return e.Value.(*cachedPlan), true
}

func (c *Plans) put(p *cachedPlan) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, known := c.plans[p.key]; known {
		e.Value = p
		c.order.MoveToFront(e)
		return
	}
	c.plans[p.key] = c.order.PushFront(p)
	c.trim()
}

func (c *Plans) trim() {
	for c.order.Len() > c.most {
		last := c.order.Back()
		delete(c.plans, last.Value.(*cachedPlan).key)
		c.order.Remove(last)
	}
}

// Answer plans, or remembers the answer to the same question.
func (c *Plans) Answer(ctx context.Context, q Question) (packing.Plan, error) {
	if known, ok := c.get(q.key); ok {
		return known.plan, known.err
	}
	plan, err := c.Solve(ctx, q.Whole())
	if ctx.Err() == nil && !Stopped(ctx) {
		c.put(&cachedPlan{q.key, plan, err})
	}
	return plan, err
}
