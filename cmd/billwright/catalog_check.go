package main

import (
	"context"
	"flag"
	"fmt"
	"io"

	"billwright/bom/golden"
	"billwright/catalog"
)

// runCatalogCheck checks a catalog folder. With faults, or with golden orders
// that come out otherwise, the exit status is 1; with warnings alone it is 0.
func runCatalogCheck(_ context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("catalog check", flag.ContinueOnError)
	flags.SetOutput(out)
	expect := flags.String("print", "", "instead print the expect block of this golden order as it comes out, to be pasted; `name`")
	given, err := parseMixed(flags, args, "DIR")
	if err != nil {
		return err
	}
	cat, err := readCatalog(given[0], out)
	if err != nil {
		return err
	}
	if *expect != "" {
		block, err := golden.Expected(cat, *expect)
		if err == nil {
			fmt.Fprint(out, block)
		}
		return err
	}
	printWarnings(cat, out)
	printRuleFindings(cat, out)
	changed := printGoldenChanges(cat, out)
	fmt.Fprintf(out, "%s: no faults. %d products, %d species, %d wood and %d metal finishes, %d fabrics; %d golden orders, %d changed.\n", cat.Workshop.Name,
		cat.Products.Len(), cat.Species.Len(), cat.WoodFinishes.Len(), cat.MetalFinishes.Len(), cat.Fabrics.Len(), cat.GoldenOrders.Len(), changed)
	if changed > 0 {
		return fmt.Errorf("golden orders that come out otherwise: %d; if that is meant, print a new expect block with --print NAME", changed)
	}
	return nil
}

func printWarnings(cat *catalog.Catalog, out io.Writer) {
	warnings := append(cat.Warnings(), golden.Defaults(cat)...)
	if len(warnings) == 0 {
		return
	}
	fmt.Fprintf(out, "Warnings: %d. They do not keep the catalog from being loaded.\n", len(warnings))
	for _, warning := range warnings {
		fmt.Fprintln(out, "  "+warning.Error())
	}
}

// printRuleFindings prints what is wrong with the rules of products as a whole.
func printRuleFindings(cat *catalog.Catalog, out io.Writer) {
	findings := cat.LintRules(cat.Workshop.Effective)
	if len(findings) == 0 {
		return
	}
	fmt.Fprintf(out, "What the rules come to: %d. They do not keep the catalog from being loaded.\n", len(findings))
	for _, f := range findings {
		fmt.Fprintf(out, "  %s:%d: %s: %s\n", f.Pos.File, f.Pos.Line, f.Product, f.Says)
	}
}

// printGoldenChanges prints each figure that comes out otherwise, and gives how
// many golden orders have one.
func printGoldenChanges(cat *catalog.Catalog, out io.Writer) (orders int) {
	changes := golden.Run(cat)
	if len(changes) == 0 {
		return 0
	}
	fmt.Fprintf(out, "Figures of golden orders that come out otherwise: %d.\n", len(changes))
	for i, change := range changes {
		if i == 0 || changes[i-1].Order != change.Order {
			orders++
		}
		fmt.Fprintln(out, "  "+change.String())
	}
	return orders
}
