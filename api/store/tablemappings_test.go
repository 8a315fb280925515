package store_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

// TestAWayToReadATableIsReplacedByItsName: the newest first, kinds apart.
func TestAWayToReadATableIsReplacedByItsName(t *testing.T) {
	s := storetest.New(t)
	for i, m := range []store.TableMapping{
		{Kind: "squad", Name: "A", Mapping: `{"n":1}`, SavedAt: storetest.Noon}, {Kind: "squad", Name: "B", Mapping: `{"n":2}`, SavedAt: storetest.Noon.Add(time.Hour)}, {Kind: "boats", Name: "A", Mapping: `{"n":3}`, SavedAt: storetest.Noon}, {Kind: "squad", Name: "A", Mapping: `{"n":4}`, SavedAt: storetest.Noon.Add(2 * time.Hour)},
	} {
		if err := s.SaveTableMapping(storetest.Ctx, m); err != nil {
			t.Fatal(i, err)
		}
	}
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.TableMappings(storetest.Ctx, "squad")), []store.TableMapping{{Kind: "squad", Name: "A", Mapping: `{"n":4}`, SavedAt: storetest.Noon.Add(2 * time.Hour)}, {Kind: "squad", Name: "B", Mapping: `{"n":2}`, SavedAt: storetest.Noon.Add(time.Hour)}})
	storetest.WantError(t, s.SaveTableMapping(storetest.Ctx, store.TableMapping{Kind: "squad", Name: "C", Mapping: "no"}), store.ErrInvalid)
	storetest.WantEqual(t, storetest.Must(s.TableMappings(storetest.Ctx, "oars")), []store.TableMapping{})
}
