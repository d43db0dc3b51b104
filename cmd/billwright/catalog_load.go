package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"billwright/catalog/catalogdb"
)

// runCatalogLoad stores a folder as the next revision, unless it has faults or,
// without being told so, changes golden orders.
func runCatalogLoad(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("catalog load", flag.ContinueOnError)
	flags.SetOutput(out)
	var at place
	at.flags(flags)
	accept := flags.Bool("accept-changes", false, "load it though golden orders come out otherwise")
	given, err := parseMixed(flags, args, "DIR")
	if err != nil {
		return err
	}
	cat, err := readCatalog(given[0], out)
	if err != nil {
		return fmt.Errorf("%w; nothing was loaded", err)
	}
	printWarnings(cat, out)
	if changed := printGoldenChanges(cat, out); changed > 0 && !*accept {
		return fmt.Errorf("golden orders that come out otherwise: %d; nothing was loaded. If that is meant, add --accept-changes, or print new expect blocks with catalog check --print NAME", changed)
	}
	if at.Workshop == "" {
		at.Workshop = cat.Workshop.Code
	}
	shelf, err := at.open(ctx)
	if err != nil {
		return err
	}
	defer shelf.close()
	revision, err := shelf.store(ctx, cat, *accept)
	if err != nil {
		return fmt.Errorf("load %s: %w", given[0], err)
	}
	fmt.Fprintf(out, "%s is stored as revision %d of %s's catalog and holds from %s on.\n", given[0], revision, cat.Workshop.Name, cat.Workshop.Effective)
	return nil
}

// runCatalogExport writes the files of a revision, byte for byte, into a folder
// that is new or empty.
func runCatalogExport(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("catalog export", flag.ContinueOnError)
	flags.SetOutput(out)
	var at place
	at.flags(flags)
	given, err := parseMixed(flags, args, "N", "DIR")
	if err != nil {
		return err
	}
	revision, err := strconv.Atoi(given[0])
	if err != nil || revision < 1 {
		return fmt.Errorf("%w: catalog export %q: a revision is a whole number from 1", errUsage, given[0])
	}
	if err := emptyFolder(given[1]); err != nil {
		return err
	}
	shelf, err := at.open(ctx)
	if err != nil {
		return err
	}
	defer shelf.close()
	files, err := shelf.files(ctx, revision)
	if err != nil {
		return err
	}
	// The folder is held open, so that no path of a file leads out of it.
	root, err := os.OpenRoot(given[1])
	if err != nil {
		return fmt.Errorf("open the folder: %w", err)
	}
	defer root.Close()
	for _, file := range files {
		if !catalogdb.ValidPath(file.Path) {
			return fmt.Errorf("the revision has a file %q, which is not the path of a catalog file", file.Path)
		}
		if err := root.MkdirAll(filepath.Dir(filepath.FromSlash(file.Path)), 0o755); err != nil {
			return fmt.Errorf("write %s: %w", file.Path, err)
		}
		if err := root.WriteFile(filepath.FromSlash(file.Path), file.Bytes, 0o644); err != nil {
			return fmt.Errorf("write %s: %w", file.Path, err)
		}
	}
	fmt.Fprintf(out, "revision %d: %d files written to %s\n", revision, len(files), given[1])
	return nil
}

// emptyFolder makes a folder, or finds that there is one with nothing in it.
func emptyFolder(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("make the folder: %w", err)
	}
	entries, err := fs.ReadDir(os.DirFS(dir), ".")
	if err != nil {
		return fmt.Errorf("look into the folder: %w", err)
	}
	if len(entries) > 0 {
		return errors.New(dir + " is not empty: name a new folder, so that nothing of another catalog is left between")
	}
	return nil
}
