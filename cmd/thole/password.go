package main

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"thole/api"
	"thole/api/store"
	"thole/api/wire"
)

func passwordFlags() *flag.FlagSet {
	flags := flag.NewFlagSet("password", flag.ContinueOnError)
	flags.String("db", defaultDatabase, "`file` that keeps the records; the server may be running")
	flags.String("account", "", "`name` that the account signs in with")
	return flags
}

// password sets the password of an account to the first line of the standard
// input. The account is signed out everywhere.
func password(ctx context.Context, args []string, to streams) (err error) {
	flags := passwordFlags()
	if err := parse(flags, args, to); err != nil {
		return err
	}
	name, path := flags.Lookup("account").Value.String(), flags.Lookup("db").Value.String()
	if name == "" {
		return &usageError{"say whose password with -account", usage()}
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no file %s: name it with -db", path)
	}
	records, err := store.Open(ctx, path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, records.Close()) }()
	service := api.NewService(records)
	defer service.Close()
	fmt.Fprintln(to.err, "Type the new password, then Enter. It can be seen while you type.")
	line, _ := bufio.NewReader(to.in).ReadString('\n') // an end of the input is an empty line
	account, err := service.People.SetPassword(ctx, name, strings.TrimRight(line, "\r\n"))
	if errors.Is(err, wire.ErrNotFound) {
		return fmt.Errorf("nobody signs in as %q", name)
	}
	if err == nil {
		fmt.Fprintf(to.out, "%s has a new password and is signed out everywhere.\n", account.Name)
	}
	return err
}
