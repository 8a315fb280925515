package guide_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"thole/api/keep"
	"thole/ui/uitest"
)

// TestTheServersPageTellsOfItsBackups holds what stands there without any, with
// new ones, with old ones, and when they fail.
func TestTheServersPageTellsOfItsBackups(t *testing.T) {
	site := uitest.NewClub(t)
	service := site.Service
	folder := t.TempDir()
	schedule := keep.Schedule{Folder: folder, Every: 24 * time.Hour, Keep: 14}
	for _, c := range []struct {
		name    string
		arrange func()
		says    string
	}{
		{"none", func() {}, "makes no backups"},
		{"not yet", func() { service.Keep.Backups = &keep.Backups{Schedule: schedule} }, "None yet"},
		{"old", func() { backupAt(t, folder, time.Now().AddDate(0, 0, -4)) }, "△ Newest"},
		{"new", func() { backupAt(t, folder, time.Now()) }, "<p>Newest"},
		{"gone", func() { service.Keep.Backups.Folder = folder + "x" }, "The last backup failed"},
	} {
		c.arrange()
		if p := site.Get("/server"); p.Status != 200 || !strings.Contains(p.Body, c.says) || !strings.Contains(p.Body, service.Keep.File()) {
			t.Errorf("%s: %d %s", c.name, p.Status, p.Body)
		}
	}
}

func backupAt(t *testing.T, folder string, at time.Time) {
	t.Helper()
	path := filepath.Join(folder, "thole-"+at.UTC().Format("20060102T150405Z")+".db")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
}
