package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"billwright/catalog"
	"billwright/catalog/source"
)

// runCatalog checks a catalog folder. Every fault is printed with its file and
// line; with any of them the exit status is 1.
func runCatalog(_ context.Context, args []string, out io.Writer) error {
	if len(args) != 2 || args[0] != "check" {
		return fmt.Errorf("%w: catalog check DIR", errUsage)
	}
	cat, err := readCatalog(args[1], out)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "%s: no faults. %d products, %d species, %d wood and %d metal finishes, %d fabrics.\n", cat.Workshop.Name,
		cat.Products.Len(), cat.Species.Len(), cat.WoodFinishes.Len(), cat.MetalFinishes.Len(), cat.Fabrics.Len())
	return nil
}

func readCatalog(dir string, out io.Writer) (*catalog.Catalog, error) {
	files, faults := source.ReadDir(os.DirFS(dir))
	var cat *catalog.Catalog
	if len(faults) == 0 {
		cat, faults = catalog.Read(files)
	}
	for _, fault := range faults {
		fmt.Fprintln(out, fault.Error())
	}
	if len(faults) > 0 {
		return nil, fmt.Errorf("%s has %d faults: nothing was loaded", dir, len(faults))
	}
	return cat, nil
}
