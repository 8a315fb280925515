package athletes_test

import (
	"path/filepath"
	"testing"

	"thole/api/store"
	"thole/api/storetest"
)

func TestARestoreTellsWhoComesBack(t *testing.T) {
	s := storetest.New(t)
	for _, name := range []string{"Edda", "Frieda", "Gerda"} {
		storetest.AddNamed(t, s, name)
	}
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, 1))
	backup := filepath.Join(t.TempDir(), "backup.db")
	storetest.Check(t, s.Backup(storetest.Ctx, backup))
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, 2))
	storetest.AddNamed(t, s, "Hanna")
	back := storetest.Must(store.Returned(storetest.Ctx, s.Path(), backup))
	if len(back) != 1 || back[0].ID != 2 || back[0].Name != "Frieda" {
		t.Errorf("%+v", back)
	}
	if none := storetest.Must(store.Returned(storetest.Ctx, backup, s.Path())); len(none) != 0 {
		t.Errorf("the other way round: %+v", none)
	}
}

// TestFilesThatCannotBeReadReturnNobody, whichever of the two it is.
func TestFilesThatCannotBeReadReturnNobody(t *testing.T) {
	s := storetest.New(t)
	storetest.AddNamed(t, s, "Edda")
	missing := filepath.Join(t.TempDir(), "missing.db")
	for _, files := range [][2]string{{missing, s.Path()}, {s.Path(), missing}} {
		if back, err := store.Returned(storetest.Ctx, files[0], files[1]); err == nil || len(back) != 0 {
			t.Errorf("%q: %v, %v", files, back, err)
		}
	}
}
