// Package importrule holds the direction of the house as a test: which folder
// may import which, and what the pure ones must never reach.
package importrule

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"
)

const module = "billwright"

// order says who may import whom: a package may import those named on its own
// line and whatever they may import. A package of the module that stands on no
// line fails the test, so the house cannot grow unseen.
const order = `
catalog/unit:
catalog/formula:          catalog/unit
catalog/calendar:         catalog/unit
catalog/source:
catalog/choices:
catalog/choices/published: catalog/choices
catalog/choices/invented: catalog/choices
catalog:                  catalog/formula catalog/calendar catalog/source catalog/choices
catalog/difference:       catalog
catalog/demonstration:    catalog
catalog/reference:        catalog
catalog/sampling:         catalog
bom:                      catalog
bom/cutting:
bom/saw:                  bom bom/cutting
bom/picture:              bom/saw
bom/demand:               bom
bom/load:                 bom
bom/order:                bom
bom/paper:                bom/order bom/picture
bom/golden:               bom/order
bom/order/orderfile:      bom/order
bom/limits:               bom
bom/handwork:
migrations:
migrations/tenancy:
catalog/catalogdb:        catalog/difference migrations/tenancy
api/authdb:               catalog migrations/tenancy
bom/order/orderdb:        bom/order bom/order/orderfile bom/demand bom/load migrations/tenancy
bom/demand/demanddb:      bom/demand migrations/tenancy
api:                      catalog/catalogdb bom/saw bom/paper bom/golden api/authdb bom/order/orderdb bom/demand/demanddb bom/limits
desk:                     api
deploy/postgres:
deploy/postgres/testdb:   deploy/postgres migrations
deploy/importrule:
deploy/jobrecord:
deploy/fused:
cmd/billwright:           api desk catalog/demonstration deploy/postgres migrations
cmd/measure:              api bom/limits bom/cutting catalog/choices/invented catalog/choices/published catalog/demonstration catalog/sampling deploy/postgres migrations
`

// impure are packages that a pure one must not reach, however far.
var impure = []string{
	"github.com/jackc/pgx", "github.com/labstack/echo", "github.com/danielgtaylor/huma", "github.com/pressly/goose",
	"net/http", "database/sql", "log", "log/slog", "os/exec",
}

var pure = []string{"catalog/unit", "catalog/formula", "catalog/calendar", "catalog/source", "catalog/choices", "catalog/choices/published", "catalog/choices/invented", "catalog", "catalog/difference", "catalog/sampling", "bom", "bom/cutting", "bom/saw", "bom/picture", "bom/demand", "bom/load", "bom/order", "bom/paper", "bom/golden", "bom/limits"}

type listed struct {
	ImportPath string
	Imports    []string
	Deps       []string
}

func TestDataTravelsOneWay(t *testing.T) {
	allowed := closure(t)
	for _, p := range list(t) {
		name := strings.TrimPrefix(p.ImportPath, module+"/")
		may, known := allowed[name]
		if !known {
			t.Errorf("%s stands on no line of the import rule", name)
			continue
		}
		for _, imported := range p.Imports {
			if other, ours := strings.CutPrefix(imported, module+"/"); ours && !may[other] {
				t.Errorf("%s imports %s, which the import rule does not allow", name, other)
			}
		}
	}
}

func TestPurePackagesReachNoTransport(t *testing.T) {
	checked := 0
	for _, p := range list(t) {
		name := strings.TrimPrefix(p.ImportPath, module+"/")
		if !slices.Contains(pure, name) {
			continue
		}
		checked++
		for _, path := range p.Imports {
			if impureOne(path) {
				t.Errorf("%s imports %s: a pure package knows no SQL, HTTP, process or log", name, path)
			}
		}
		for _, path := range p.Deps {
			if impureOne(path) {
				t.Errorf("%s reaches %s: a pure package knows no SQL, HTTP, process or log", name, path)
			}
		}
	}
	if checked != len(pure) {
		t.Errorf("checked %d of %d pure packages: one was renamed", checked, len(pure))
	}
}

func impureOne(path string) bool {
	for _, bad := range impure {
		if path == bad || strings.Contains(bad, ".") && strings.HasPrefix(path, bad+"/") {
			return true
		}
	}
	return false
}

// closure reads the order and gives, for each package, all it may import.
func closure(t *testing.T) map[string]map[string]bool {
	t.Helper()
	all := map[string]map[string]bool{}
	for _, line := range strings.Split(strings.TrimSpace(order), "\n") {
		name, rest, found := strings.Cut(line, ":")
		if !found {
			t.Fatalf("the line %q has no colon", line)
		}
		may := map[string]bool{}
		for _, other := range strings.Fields(rest) {
			below, known := all[other]
			if !known {
				t.Fatalf("%s names %s, which stands on no earlier line", name, other)
			}
			may[other] = true
			for further := range below {
				may[further] = true
			}
		}
		all[name] = may
	}
	return all
}

func list(t *testing.T) []listed {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "go", "list", "-json=ImportPath,Imports,Deps", module+"/...")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var packages []listed
	decoder := json.NewDecoder(bytes.NewReader(out))
	for {
		var p listed
		if err := decoder.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("read go list: %v", err)
		}
		packages = append(packages, p)
	}
	if len(packages) < 10 {
		t.Fatalf("go list named only %d packages", len(packages))
	}
	return packages
}
