package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"billwright/catalog"
	"billwright/catalog/source"
)

// catalogCommands are the words after "catalog".
var catalogCommands = []struct {
	name, args, says string
	run              func(ctx context.Context, args []string, out io.Writer) error
}{
	{"check", "DIR", "tell every fault, warning and changed golden order of a folder", runCatalogCheck},
	{"load", "DIR", "check a folder and store it as the next revision", runCatalogLoad},
	{"diff", "A B", "tell two revisions or folders apart, and which open orders that touches", runCatalogDiff},
	{"export", "N DIR", "write the files of a revision into a new folder", runCatalogExport},
	{"schema", "", "print the form of a catalog file as a JSON Schema, for editors", runCatalogSchema},
}

// runCatalog does one thing with catalogs.
func runCatalog(ctx context.Context, args []string, out io.Writer) error {
	if len(args) > 0 {
		for _, c := range catalogCommands {
			if c.name == args[0] {
				return c.run(ctx, args[1:], out)
			}
		}
	}
	var known []string
	for _, c := range catalogCommands {
		known = append(known, fmt.Sprintf("  catalog %-14s %s", strings.TrimSpace(c.name+" "+c.args), c.says))
	}
	return fmt.Errorf("%w: write one of\n%s", errUsage, strings.Join(known, "\n"))
}

// parseMixed reads flags wherever they stand among the arguments, and wants so
// many of the latter.
func parseMixed(flags *flag.FlagSet, args []string, names ...string) ([]string, error) {
	var given []string
	for {
		if err := flags.Parse(args); err != nil {
			return nil, flagError(err)
		}
		if flags.NArg() == 0 {
			break
		}
		given = append(given, flags.Arg(0))
		args = flags.Args()[1:]
	}
	if len(given) != len(names) {
		return nil, fmt.Errorf("%w: %s", errUsage, strings.Join(append([]string{flags.Name()}, names...), " "))
	}
	return given, nil
}

// flagError makes what the flag package refuses a call that was not understood.
func flagError(err error) error {
	if errors.Is(err, flag.ErrHelp) {
		return err
	}
	return fmt.Errorf("%w: %w", errUsage, err)
}

// readCatalog reads a folder; every fault is printed with its file and line, and
// with any of them there is no catalog.
func readCatalog(dir string, out io.Writer) (*catalog.Catalog, error) {
	info, err := os.Stat(dir)
	if err == nil && !info.IsDir() {
		err = errors.New("it is no folder")
	}
	if err != nil {
		return nil, fmt.Errorf("read the catalog %s: %w", dir, err)
	}
	files, faults := source.ReadDir(os.DirFS(dir))
	var cat *catalog.Catalog
	if len(faults) == 0 {
		cat, faults = catalog.Read(files)
	}
	for _, fault := range faults {
		fmt.Fprintln(out, fault.Error())
	}
	if len(faults) > 0 {
		return nil, fmt.Errorf("%s has faults: %d", dir, len(faults))
	}
	return cat, nil
}

// runCatalogSchema prints the JSON Schema of a catalog file.
func runCatalogSchema(_ context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("catalog schema", flag.ContinueOnError)
	flags.SetOutput(out)
	if _, err := parseMixed(flags, args); err != nil {
		return err
	}
	schema, err := source.Schema(&catalog.Plan{})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "%s\n", schema)
	return err
}
