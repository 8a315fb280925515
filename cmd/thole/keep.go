package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"time"

	"thole/api"
	"thole/api/store"
)

// defaultKeep is how many backups stay in a folder: two weeks of one a day; our judgement.
const defaultKeep = 14

func backupFlags() *flag.FlagSet {
	flags := flag.NewFlagSet("backup", flag.ContinueOnError)
	flags.String("db", defaultDatabase, "`file` that keeps the records; the server may be running")
	flags.String("dir", "", "`folder` for a backup named by the present moment, in place of a FILE")
	flags.Int("keep", defaultKeep, "`number` of backups to keep in -dir; older ones are removed after a new one has been checked")
	flags.Bool("replace", false, "replace a FILE that is there")
	return flags
}

// thereAt fails where there is no file of records.
func thereAt(path string) error {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no file %s: name it with -db", path)
	}
	return nil
}

// backup copies the records to a file, or into a folder in which the oldest
// copies go.
func backup(ctx context.Context, args []string, to streams) error {
	flags := backupFlags()
	file, err := parseWith(flags, args, to, "FILE")
	if err != nil {
		return err
	}
	folder, keep := flags.Lookup("dir").Value.String(), flags.Lookup("keep").Value.(flag.Getter).Get().(int)
	switch {
	case file == "" && folder == "", file != "" && folder != "":
		return &usageError{"name the FILE of the backup, or a folder with -dir", usage()}
	case keep < 1:
		return &usageError{"-keep is how many backups stay, 1 at least", usage()}
	}
	if _, err := os.Lstat(file); file != "" && err == nil && flags.Lookup("replace").Value.String() != "true" {
		return fmt.Errorf("%s is there already: choose another name, or say -replace", file)
	}
	return backUp(ctx, flags.Lookup("db").Value.String(), file, folder, keep, to)
}

func backUp(ctx context.Context, source, file, folder string, keep int, to streams) error {
	if err := thereAt(source); err != nil {
		return err
	}
	var err error
	if file == "" {
		var made store.Copy
		made, err = store.BackupInto(ctx, source, folder, time.Now(), keep)
		file = made.Path
	} else if err := store.Backup(ctx, source, file); err != nil {
		return err
	}
	if file != "" {
		fmt.Fprintf(to.out, "%s holds the records and has been checked.\n", file)
	}
	return err
}

func restoreFlags() *flag.FlagSet {
	flags := flag.NewFlagSet("restore", flag.ContinueOnError)
	flags.String("db", defaultDatabase, "`file` that is to keep the records; the server must not be running")
	flags.Bool("replace", false, "where that file is there, rename it and put the backup in its place")
	return flags
}

// restore puts a copy of a backup where a server finds it. What is there is
// renamed when that is asked for, and never removed.
func restore(ctx context.Context, args []string, to streams) error {
	flags := restoreFlags()
	file, err := parseWith(flags, args, to, "BACKUP")
	if err != nil {
		return err
	}
	if file == "" {
		return &usageError{"name the backup", usage()}
	}
	path := flags.Lookup("db").Value.String()
	aside, err := store.Restore(ctx, file, path, flags.Lookup("replace").Value.String() == "true")
	switch {
	case errors.Is(err, store.ErrThere):
		return fmt.Errorf("%s is there already; to put the backup in its place and keep that one under another name, say -replace", path)
	case errors.Is(err, store.ErrBusy):
		return fmt.Errorf("%s is in use: stop the server first", path)
	case err != nil:
		return err
	}
	if aside != "" {
		fmt.Fprintf(to.out, "What was there is now %s.\n", aside)
		if err := tellReturned(ctx, aside, path, to); err != nil {
			return err
		}
	}
	fmt.Fprintf(to.out, "%s holds what %s holds.\n", path, file)
	return nil
}

// tellReturned names the athletes of a backup who had been removed since: they are
// on record again.
func tellReturned(ctx context.Context, aside, path string, to streams) error {
	returned, err := store.Returned(ctx, aside, path)
	if err != nil {
		fmt.Fprintf(to.err, "Whether the backup brings back athletes who had been removed since cannot be told: %v\n", err)
		return nil // the file that was there may be damaged: that is why it was replaced
	}
	for _, a := range returned {
		fmt.Fprintf(to.out, "Athlete %d, %s, had been removed since the backup and is on record again: remove them once more.\n", a.ID, a.Name)
	}
	return nil
}

func checkFlags() *flag.FlagSet {
	flags := flag.NewFlagSet("check", flag.ContinueOnError)
	flags.String("db", defaultDatabase, "`file` that keeps the records, or a backup; the server may be running")
	return flags
}

// check reads a whole file of records, changing nothing: first as a database,
// then a copy of it record by record as the pages do.
func check(ctx context.Context, args []string, to streams) (err error) {
	flags := checkFlags()
	if err := parse(flags, args, to); err != nil {
		return err
	}
	path := flags.Lookup("db").Value.String()
	if err := thereAt(path); err != nil {
		return err
	}
	if err := store.Sound(ctx, path); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	fmt.Fprintf(to.out, "%s is a database of Thole, and whole.\n", path)
	copied, remove, err := store.Extract(ctx, path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, remove()) }()
	source, err := store.Open(ctx, copied)
	if err != nil {
		return fmt.Errorf("bringing a copy of it up to date: %w", err)
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	return checkRecords(ctx, source, to)
}

// checkRecords reads every record of a store.
func checkRecords(ctx context.Context, source *store.Store, to streams) error {
	service := api.NewService(source, api.InZone(time.UTC))
	defer service.Close()
	counts, bad, err := service.Keep.Check(ctx)
	for _, c := range counts {
		fmt.Fprintf(to.out, "%-12s %d read\n", c.Kind, c.Records)
	}
	for _, u := range bad {
		fmt.Fprintf(to.out, "%s %d cannot be read: %v\n", u.Kind, u.ID, u.Err)
	}
	if err == nil && len(bad) > 0 {
		err = fmt.Errorf("%d records cannot be read", len(bad))
	}
	return err
}
