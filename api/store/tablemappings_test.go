package store

import (
	"testing"
	"time"
)

// TestAWayToReadATableIsReplacedByItsName: the newest first, kinds apart.
func TestAWayToReadATableIsReplacedByItsName(t *testing.T) {
	s := open(t)
	for i, m := range []TableMapping{
		{"squad", "A", `{"n":1}`, noon}, {"squad", "B", `{"n":2}`, noon.Add(time.Hour)}, {"boats", "A", `{"n":3}`, noon}, {"squad", "A", `{"n":4}`, noon.Add(2 * time.Hour)},
	} {
		if err := s.SaveTableMapping(ctx, m); err != nil {
			t.Fatal(i, err)
		}
	}
	s = reopen(t, s)
	wantEqual(t, must(s.TableMappings(ctx, "squad")), []TableMapping{{"squad", "A", `{"n":4}`, noon.Add(2 * time.Hour)}, {"squad", "B", `{"n":2}`, noon.Add(time.Hour)}})
	wantError(t, s.SaveTableMapping(ctx, TableMapping{Kind: "squad", Name: "C", Mapping: "no"}), ErrInvalid)
	wantEqual(t, must(s.TableMappings(ctx, "oars")), []TableMapping{})
}
