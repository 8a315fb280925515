// Command thole serves rigging and crew selection for a rowing club: pages for
// people, and JSON for other programs.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"text/tabwriter"
)

// The exit codes, by convention: 2 is that of Go's package flag for wrong flags.
const (
	exitOK     = 0
	exitFailed = 1
	exitUsage  = 2
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// streams are where a command reads and writes: answers go to out, the log and
// complaints to err.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// command is one word after the program's name.
type command struct {
	name, summary string
	run           func(ctx context.Context, args []string, to streams) error
	flags         func() *flag.FlagSet // nil where there are none
}

// commands lists every command in the order of the usage text.
func commands() []command {
	return []command{
		{"serve", "serve the club's pages and the JSON interface", serve, flagsOf("serve")},
		{"demo", "serve a club to try things out on", demo, flagsOf("demo")},
		{"backup", "copy the records while the server runs, and check the copy", backup, backupFlags},
		{"restore", "put a backup in place of the records, with the server stopped", restore, restoreFlags},
		{"check", "look for damage and records that cannot be read, changing nothing", check, checkFlags},
		{"password", "set the password of an account", password, passwordFlags},
		{"healthcheck", "ask a running server whether it is well", healthcheck, healthFlags},
		{"version", "tell which build this is", version, nil},
		{"notices", "list the libraries in the program, with their licences", notices, nil},
	}
}

// run executes one command line without the program's name and returns the
// exit code: 0 done, 1 failed, 2 a command line that makes no sense. It stops
// serving when ctx ends.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	err := dispatch(ctx, args, streams{os.Stdin, stdout, stderr})
	var bad *usageError
	switch {
	case err == nil, errors.Is(err, flag.ErrHelp):
		return exitOK
	case errors.As(err, &bad):
		fmt.Fprintf(stderr, "thole: %v\n\n%s", err, bad.usage)
		return exitUsage
	}
	fmt.Fprintf(stderr, "thole: %v\n", err)
	return exitFailed
}

func dispatch(ctx context.Context, args []string, to streams) error {
	if len(args) == 0 {
		return &usageError{"say what to do", usage()}
	}
	switch args[0] {
	case "help", "-h", "-help", "--help":
		_, err := io.WriteString(to.out, usage()+allFlags())
		return err
	}
	for _, c := range commands() {
		if c.name == args[0] {
			return c.run(ctx, args[1:], to)
		}
	}
	return &usageError{fmt.Sprintf("there is no command %q", args[0]), usage()}
}

// usageError is a command line that makes no sense, with the text that says
// what would.
type usageError struct{ problem, usage string }

func (e *usageError) Error() string { return e.problem }

// usage lists the commands.
func usage() string {
	var text strings.Builder
	text.WriteString("Usage: thole COMMAND [FLAGS]\n\n")
	table := tabwriter.NewWriter(&text, 0, 0, 3, ' ', 0)
	for _, c := range commands() {
		fmt.Fprintf(table, "  %s\t%s\n", c.name, c.summary)
	}
	_ = table.Flush() // a strings.Builder takes everything
	text.WriteString("\nthole COMMAND -h lists the flags of one command, thole help those of all.\n")
	return text.String()
}

// allFlags lists the flags of every command.
func allFlags() string {
	var text strings.Builder
	text.WriteString("\nEvery flag can be set in the environment: -tls-cert as THOLE_TLS_CERT, and so on. What stands in the command line counts before it.\n")
	for _, c := range commands() {
		if c.flags == nil {
			continue
		}
		fmt.Fprintf(&text, "\nthole %s\n", c.name)
		flags := c.flags()
		flags.SetOutput(&text)
		flags.PrintDefaults()
	}
	return text.String()
}

// variable is the name of a flag in the environment.
func variable(flag string) string {
	return "THOLE_" + strings.ToUpper(strings.ReplaceAll(flag, "-", "_"))
}

// fromEnvironment sets the flags that the command line left out.
func fromEnvironment(flags *flag.FlagSet) error {
	given := map[string]bool{}
	flags.Visit(func(f *flag.Flag) { given[f.Name] = true })
	var errs []error
	flags.VisitAll(func(f *flag.Flag) {
		text, there := os.LookupEnv(variable(f.Name))
		if given[f.Name] || !there || text == "" {
			return
		}
		if err := flags.Set(f.Name, text); err != nil {
			errs = append(errs, fmt.Errorf("%s=%q: %w", variable(f.Name), text, err))
		}
	})
	return errors.Join(errs...)
}

// parse reads the flags of one command, which takes no other arguments. When
// help is asked for it writes that and returns flag.ErrHelp.
func parse(flags *flag.FlagSet, args []string, to streams) error {
	_, err := parseWith(flags, args, to, "")
	return err
}

// parseWith is parse for a command that takes one argument, before or after its
// flags; operand is what the help calls it, "" for none.
func parseWith(flags *flag.FlagSet, args []string, to streams, operand string) (string, error) {
	var help strings.Builder
	flags.SetOutput(io.Discard)
	err := flags.Parse(args)
	given := ""
	if err == nil && operand != "" && flags.NArg() > 0 {
		given = flags.Arg(0)
		err = flags.Parse(flags.Args()[1:])
	}
	if err == nil {
		err = fromEnvironment(flags)
	}
	flags.SetOutput(&help)
	fmt.Fprintf(&help, "Usage: thole %s\n\n", strings.TrimSpace(flags.Name()+" [FLAGS] "+operand))
	flags.PrintDefaults()
	switch {
	case errors.Is(err, flag.ErrHelp):
		_, _ = io.WriteString(to.out, help.String())
		return "", err
	case err != nil:
		return "", &usageError{err.Error(), help.String()}
	case flags.NArg() > 0:
		return "", &usageError{fmt.Sprintf("%s does not take %q", flags.Name(), flags.Arg(0)), help.String()}
	}
	return given, nil
}
