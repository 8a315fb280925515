package records

import "sync"

// Cache keeps the newest results of work that is asked for again and again. It
// is safe for concurrent use; what it holds must not be changed.
type Cache[V any] struct {
	mu    sync.Mutex
	limit int
	order []string // oldest first
	held  map[string]V
}

// NewCache returns a cache of so many results.
func NewCache[V any](limit int) *Cache[V] { return &Cache[V]{limit: limit, held: map[string]V{}} }

// Get returns the result under a key, and whether there is one.
func (c *Cache[V]) Get(key string) (V, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	v, ok := c.held[key]
	return v, ok
}

// Put keeps a result in place of the oldest one.
func (c *Cache[V]) Put(key string, v V) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, ok := c.held[key]; !ok {
		c.order = append(c.order, key)
	}
	c.held[key] = v
	for len(c.order) > c.limit {
		delete(c.held, c.order[0])
		c.order = c.order[1:]
	}
}
