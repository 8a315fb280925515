package seat

import (
	"math"
	"testing"

	"thole/api/wire"
)

func TestAStretcherIsReadInHoles(t *testing.T) {
	holes := &Stretcher{Mark: "hole", OffsetCm: wire.Ptr(35.0), HolePitchCm: wire.Ptr(2.5)}
	for _, text := range []string{"hole 4", "Hole 4", "#4", "no. 4"} {
		if v, complaint, said := holes.ReadMark(text, 42); !said || complaint != "" || math.Abs(v-45) > 1e-9 {
			t.Errorf("%q: %g %q %v", text, v, complaint, said)
		}
	}
	if _, _, said := holes.ReadMark("45", 42); said {
		t.Error("a bare number is no hole")
	}
	if _, complaint, said := (*Stretcher)(nil).ReadMark("hole 4", 42); !said || complaint == "" {
		t.Error("a boat without holes takes one")
	}
}
