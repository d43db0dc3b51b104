package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/big"
	"strconv"
	"strings"

	"billwright/catalog"
	"billwright/catalog/catalogdb"
	"billwright/catalog/difference"
)

// side is one of the two catalogs to tell apart.
type side struct {
	text     string
	revision int // 0 for a folder
	catalog  *catalog.Catalog
}

// runCatalogDiff tells two catalogs apart in the trade's words, and which open
// orders that touches where they can be asked for.
func runCatalogDiff(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("catalog diff", flag.ContinueOnError)
	flags.SetOutput(out)
	var at place
	at.flags(flags)
	given, err := parseMixed(flags, args, "A", "B")
	if err != nil {
		return err
	}
	sides := []*side{newSide(given[0]), newSide(given[1])}
	var shelf shelf
	if sides[0].revision > 0 || sides[1].revision > 0 {
		if shelf, err = at.open(ctx); err != nil {
			return err
		}
		defer shelf.close()
	}
	for _, one := range sides {
		if err := one.read(ctx, shelf, out); err != nil {
			return err
		}
	}
	changes := difference.Between(sides[0].catalog, sides[1].catalog)
	if len(changes) == 0 {
		fmt.Fprintf(out, "%s and %s say the same.\n", sides[0], sides[1])
		return nil
	}
	fmt.Fprintf(out, "From %s to %s: %d changes\n", sides[0], sides[1], len(changes))
	for _, change := range changes {
		fmt.Fprintln(out, "  "+change.String())
	}
	printRuleChanges(sides[0].catalog, sides[1].catalog, out)
	if shelf == nil {
		return nil
	}
	touched, err := shelf.touched(ctx, sides[0], sides[1], changes)
	if errors.Is(err, errNotAsked) {
		fmt.Fprintln(out, "Open orders: "+err.Error()+".")
		return nil
	}
	if err != nil {
		return err
	}
	printTouched(out, touched)
	return nil
}

// printRuleChanges prints what the one catalog lets people build that the other
// does not.
func printRuleChanges(from, to *catalog.Catalog, out io.Writer) {
	changes := to.ChoicesSince(from, to.Workshop.Effective)
	if len(changes) == 0 {
		fmt.Fprintln(out, "What can be ordered of each product is the same.")
		return
	}
	fmt.Fprintf(out, "What can be ordered is other of %d products:\n", len(changes))
	for _, c := range changes {
		fmt.Fprintf(out, "  %s: %s, now %s\n", c.Product, configurations(c.Before), configurations(c.After))
		for _, lost := range c.Lost {
			fmt.Fprintf(out, "    no longer %s %s\n", lost.Attribute, lost.Values)
		}
		for _, gained := range c.Gained {
			fmt.Fprintf(out, "    newly %s %s\n", gained.Attribute, gained.Values)
		}
	}
}

func configurations(n *big.Int) string {
	if n == nil {
		return "none counted"
	}
	return n.String() + " configurations"
}

// newSide takes a whole number for a revision, anything else for a folder.
func newSide(text string) *side {
	revision, err := strconv.Atoi(text)
	if err != nil || revision < 1 {
		revision = 0
	}
	return &side{text: text, revision: revision}
}

func (s *side) String() string {
	if s.revision > 0 {
		return "revision " + s.text
	}
	return s.text
}

func (s *side) read(ctx context.Context, from shelf, out io.Writer) error {
	if s.revision == 0 {
		cat, err := readCatalog(s.text, out)
		s.catalog = cat
		return err
	}
	files, err := from.files(ctx, s.revision)
	if err != nil {
		return err
	}
	cat, faults := catalog.Read(files)
	if len(faults) > 0 {
		return fmt.Errorf("%s was written for another release of this program, which finds faults in it: %d, the first: %w", s, len(faults), faults[0])
	}
	cat.Revision, s.catalog = s.revision, cat
	return nil
}

func printTouched(out io.Writer, orders []catalogdb.TouchedOrder) {
	if len(orders) == 0 {
		fmt.Fprintln(out, "Open orders that use something changed or removed, or have a new closure in their way: none.")
		return
	}
	fmt.Fprintf(out, "Open orders that use something changed or removed, or have a new closure in their way: %d. They stay on the revision they were taken under.\n", len(orders))
	for _, o := range orders {
		number := o.Number
		if number == "" {
			number = "draft"
		}
		for _, line := range o.Lines {
			fmt.Fprintf(out, "  %s line %d (%s, %s, %s, revision %d): %s\n", number, line.Line, line.Product, o.Dealer, o.State, line.Revision, strings.Join(line.What, "; "))
		}
	}
}
