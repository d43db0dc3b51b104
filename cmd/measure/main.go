// Command measure prints figures of the program, never asserted by a test:
//
//	go run ./cmd/measure desk [--detail FILE]
//	go run ./cmd/measure orders [--detail FILE]
//	go run ./cmd/measure papers [--detail FILE]
//	go run ./cmd/measure catalog [--detail FILE]
//	go run ./cmd/measure rules [--detail FILE] [DIR]
//	go run ./cmd/measure explode [--detail FILE]
//	go run ./cmd/measure cutting [--detail FILE] DIR
//	go run ./cmd/measure search [--detail FILE]
//	go run ./cmd/measure weekly [--detail FILE]
//	go run ./cmd/measure import [--detail FILE]
//
// Standard output holds nothing but tab-separated rows: name, value, unit, bar,
// and ok or short. A figure that could not be measured is "-" and short. The
// exit status is 0 when the measurement ran.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"os/signal"
	"runtime"
	"slices"
	"strings"
	"syscall"
)

var measures = map[string]func(ctx context.Context, r *report, args []string) error{
	"desk":    measureDesk,
	"orders":  measureOrders,
	"papers":  measurePapers,
	"catalog": measureCatalog,
	"rules":   measureRules,
	"explode": measureExplode,
	"cutting": measureCutting,
	"search":  measureSearch,
	"weekly":  measureWeekly,
	"import":  measureImport,
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "measure:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string) error {
	if len(args) == 0 || measures[args[0]] == nil {
		return fmt.Errorf("measure what? one of: %s", strings.Join(slices.Sorted(maps.Keys(measures)), ", "))
	}
	flags := flag.NewFlagSet(args[0], flag.ContinueOnError)
	path := flags.String("detail", "", "`file` for details")
	var rest []string
	for left := args[1:]; len(left) > 0; left = flags.Args() {
		// Flags may stand behind the folder too.
		if left[0] != "" && left[0][0] != '-' {
			rest = append(rest, left[0])
			left = left[1:]
		}
		if err := flags.Parse(left); err != nil {
			return err
		}
	}
	r := &report{out: os.Stdout, detail: io.Discard}
	if *path != "" {
		file, err := os.Create(*path)
		if err != nil {
			return fmt.Errorf("make the detail file: %w", err)
		}
		defer file.Close()
		r.detail = file
	}
	r.note("machine: %d processors, %s/%s, %s", runtime.NumCPU(), runtime.GOOS, runtime.GOARCH, runtime.Version())
	return measures[args[0]](ctx, r, rest)
}
