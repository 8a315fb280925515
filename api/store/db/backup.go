package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// Backup writes a copy of the database as it stands, while it is in use, and
// puts it at path when it has been read back and found sound. A file that was
// there is replaced then, and is left alone when the backup fails. The copy is
// a database that Open takes.
func (s *DB) Backup(ctx context.Context, path string) error { return Backup(ctx, s.path, path) }

// Backup is [DB.Backup] of the database in a file, of this or an older version,
// which is not opened otherwise.
func Backup(ctx context.Context, source, path string) error {
	if sameFile(path, source) {
		return Refuse("%s is the database itself", path)
	}
	folder := filepath.Dir(path)
	file, err := os.CreateTemp(folder, ".thole-backup-*")
	if err != nil {
		return Explain(err)
	}
	part := file.Name()
	defer os.Remove(part) // it is gone when all went well
	defer file.Close()
	if err := copyTo(ctx, source, part); err != nil {
		return fmt.Errorf("backup to %s: %w", path, Explain(err))
	}
	if err := verify(ctx, part); err != nil {
		return fmt.Errorf("backup to %s: %w", path, Explain(err))
	}
	if err := file.Sync(); err != nil {
		return err
	}
	if err := os.Rename(part, path); err != nil {
		return err
	}
	return syncFolder(folder)
}

func sameFile(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	return errX == nil && errY == nil && os.SameFile(x, y)
}

// copyTo fills an empty file on a connection of its own, so that neither
// writes nor reads wait.
func copyTo(ctx context.Context, source, path string) error {
	db := connect(source, copyOptions, 1)
	defer db.Close()
	_, err := db.ExecContext(ctx, "VACUUM INTO ?", path)
	return err
}

// verify reads a whole database and checks that it holds together.
func verify(ctx context.Context, path string) error {
	db := connect(path, readerOptions, 1)
	defer db.Close()
	if err := verdict(ctx, db, "integrity_check"); err != nil {
		return err
	}
	var orphans int
	if err := db.QueryRowContext(ctx, "SELECT count(*) FROM pragma_foreign_key_check").Scan(&orphans); err != nil {
		return err
	}
	if orphans > 0 {
		return fmt.Errorf("%w: %d references lead nowhere", ErrDamaged, orphans)
	}
	return nil
}

// verdict is what SQLite's own check of a database finds: quick_check reads every
// page, integrity_check compares the indexes with the rows as well.
func verdict(ctx context.Context, db *sql.DB, check string) error {
	var found string
	if err := db.QueryRowContext(ctx, "PRAGMA "+check+"(1)").Scan(&found); err != nil {
		return err
	}
	if found != "ok" {
		return fmt.Errorf("%w: %s", ErrDamaged, found)
	}
	return nil
}

// syncFolder makes the new name last.
func syncFolder(path string) error {
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(folder.Sync(), folder.Close())
}
