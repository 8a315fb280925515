package measure_test

import (
	"strings"
	"testing"

	"thole/api/apitest/same"
	"thole/ui/figure/measure"
)

// TestDrawingsAreAsLookedOver: every one was looked at before its lines were kept.
func TestDrawingsAreAsLookedOver(t *testing.T) {
	for _, key := range measure.Keys() {
		drawn := strings.ReplaceAll(string(measure.Draw(key).HTML()), "><", ">\n<")
		same.Lines(t, "testdata/"+key+".txt", strings.Split(drawn, "\n"))
	}
}
