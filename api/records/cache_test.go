package records_test

import (
	"testing"

	"thole/api/records"
)

// TestACacheHoldsSoManyAndForgetsTheOldest: a key put again takes no further place.
func TestACacheHoldsSoManyAndForgetsTheOldest(t *testing.T) {
	c := records.NewCache[int](2)
	c.Put("a", 1)
	c.Put("b", 2)
	c.Put("b", 3)
	if a, ok := c.Get("a"); !ok || a != 1 {
		t.Errorf("a: %v %v", a, ok)
	}
	if b, _ := c.Get("b"); b != 3 {
		t.Errorf("b: %v", b)
	}
	c.Put("c", 4)
	if _, ok := c.Get("a"); ok {
		t.Error("three are held")
	}
	for key, want := range map[string]int{"b": 3, "c": 4} {
		if got, ok := c.Get(key); !ok || got != want {
			t.Errorf("%s: %v %v", key, got, ok)
		}
	}
}
