// Command billwright takes made-to-order furniture orders and explodes them
// into bills of material. Run it without arguments for its commands.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"sort"
	"strings"
	"syscall"
	_ "time/tzdata" // the plant's zone is known on a machine without zone files
)

// command is one word after the program's name.
type command struct {
	says string
	run  func(ctx context.Context, args []string, out io.Writer) error
}

var commands = map[string]command{
	"start":   {"start the service, on a private PostgreSQL unless DATABASE_URL is set", runStart},
	"catalog": {"check, load, export and tell apart catalogs: catalog check DIR and others", runCatalog},
	"cut":     {"plan bars for a list of pieces: cut PIECES.csv --stock \"20 ft @ 41.20\" --kerf 1/8in and others", runCut},
	"health":  {"ask a running service whether it is ready", runHealth},
	"import":  {"load a file of orders by a mapping: import --mapping MAP.yaml [--dry-run] ORDERS.csv", runImport},
	"clock":   {"move the clock of a trial database: clock --to 2026-12-01T08:00:00-06:00", runClock},
}

func main() {
	// A second interrupt ends the program at once.
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop)
	os.Exit(exitCode(run(ctx, os.Args[1:], os.Stdout, os.Stderr), os.Stderr))
}

func run(ctx context.Context, args []string, out, errs io.Writer) error {
	if len(args) == 0 {
		usage(errs)
		return errUsage
	}
	cmd, found := commands[args[0]]
	if !found {
		usage(errs)
		return fmt.Errorf("%w: there is no command %q", errUsage, args[0])
	}
	return cmd.run(ctx, args[1:], out)
}

// errUsage marks a call that was not understood: exit status 2.
var errUsage = errors.New("usage")

func exitCode(err error, errs io.Writer) int {
	switch {
	case err == nil:
		return 0
	case errors.Is(err, flag.ErrHelp):
		return 2
	case errors.Is(err, errUsage):
		if message := strings.TrimPrefix(err.Error(), errUsage.Error()+": "); message != errUsage.Error() {
			fmt.Fprintln(errs, "billwright: "+message)
		}
		return 2
	default:
		fmt.Fprintln(errs, "billwright: "+err.Error())
		return 1
	}
}

func usage(w io.Writer) {
	fmt.Fprintln(w, "billwright COMMAND [flags]")
	names := make([]string, 0, len(commands))
	for name := range commands {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		fmt.Fprintf(w, "  %-8s %s\n", name, commands[name].says)
	}
}
