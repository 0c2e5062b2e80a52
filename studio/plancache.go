package studio

import (
	"sync"

	"solander/packing"
)

// planCache keeps the latest plans by the hash of their problem: a plan is a pure function of it, so
// that a cached one is never stale. It is safe for concurrent use.
type planCache struct {
	mu    sync.Mutex
	plans map[[32]byte]cachedPlan
	order [][32]byte // oldest first
}

// cachedPlan is an answer of the planner, a refusal included.
type cachedPlan struct {
	plan packing.Plan
	err  error
}

// mostPlans bounds the cache; the oldest plan makes room.
const mostPlans = 4096

func newPlanCache() *planCache {
	return &planCache{plans: make(map[[32]byte]cachedPlan)}
}

func (c *planCache) get(key [32]byte) (cachedPlan, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	p, ok := c.plans[key]
	return p, ok
}

func (c *planCache) put(key [32]byte, p cachedPlan) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, known := c.plans[key]; !known {
		c.order = append(c.order, key)
	}
	c.plans[key] = p
	if len(c.order) > mostPlans {
		delete(c.plans, c.order[0])
		c.order = c.order[1:]
	}
}
