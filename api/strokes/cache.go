package strokes

import "sync"

// cache keeps the newest results of work that is asked for again and again. It
// is safe for concurrent use; what it holds must not be changed.
type cache[V any] struct {
	mu    sync.Mutex
	limit int
	order []string // oldest first
	held  map[string]V
}

func newCache[V any](limit int) *cache[V] { return &cache[V]{limit: limit, held: map[string]V{}} }

func (c *cache[V]) get(key string) (V, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	v, ok := c.held[key]
	return v, ok
}

// put keeps a result in place of the oldest one.
func (c *cache[V]) put(key string, v V) {
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
