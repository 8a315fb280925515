package progress_test

import (
	"fmt"
	"net/http"
	"testing"

	"thole/ui/uitest"
)

// BenchmarkPages asks for a page again and again, once its results are kept in
// memory, over HTTP as a browser does.
func BenchmarkPages(b *testing.B) {
	c := uitest.DemoClub(b)
	for _, path := range []string{"/recordings/5", "/athletes/10/progress", "/reports/5", "/boats/8/progress", "/recordings/compare?a=10&b=1", "/recordings/squad"} {
		b.Run(path, func(b *testing.B) {
			for b.Loop() {
				if status, _ := c.Look(path); status != http.StatusOK {
					b.Fatal(fmt.Errorf("%s answers %d", path, status))
				}
			}
		})
	}
}
