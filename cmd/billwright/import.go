package main

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"github.com/google/uuid"
)

// imported is as much of an import as is printed of it.
type imported struct {
	ID                                          uuid.UUID
	State                                       string
	Rows, Orders, Position, Loaded, Known, Good int
	Faulty                                      int
	FaultCount                                  int `json:"fault_count"`
	Faults                                      []struct {
		Row                          int
		Column, Order, Code, Message string
		Allowed                      []string
	}
}

// runImport sends a file of orders to a service, waits until it is through and
// prints what was wrong with it.
func runImport(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("import", flag.ContinueOnError)
	flags.SetOutput(out)
	mapping := flags.String("mapping", "", "`file` that says how the orders are written, YAML")
	dry := flags.Bool("dry-run", false, "tell what would become of the file, and load nothing")
	base := flags.String("url", "http://127.0.0.1:8417", "`address` of the service")
	key := flags.String("key", "", "`file` with a rep's or owner's key; without it the demonstration's")
	given, err := parseMixed(flags, args, "FILE")
	if err != nil {
		return err
	}
	if *mapping == "" {
		return fmt.Errorf("%w: import: --mapping is missing: name the file that says how the orders are written", errUsage)
	}
	how, err := os.ReadFile(*mapping)
	if err != nil {
		return fmt.Errorf("read the mapping: %w", err)
	}
	file, err := os.ReadFile(given[0])
	if err != nil {
		return fmt.Errorf("read the orders: %w", err)
	}
	if *key == "" {
		folder, err := dataFolder("")
		if err != nil {
			return err
		}
		*key = filepath.Join(folder, ownerKeyFile)
	}
	text, err := readKey(*key)
	if err != nil {
		return err
	}
	client := portal{base: *base, key: text, client: &http.Client{Timeout: 60 * time.Second}}
	done, err := sendImport(ctx, client, filepath.Base(given[0]), string(how), file, *dry, out)
	if err != nil {
		return fmt.Errorf("import %s: %w", given[0], err)
	}
	return printImport(done, *dry, out)
}

// sendImport begins an import and follows it to its end. Where the service ends
// meanwhile, the call may be made again: what is loaded is not loaded twice.
func sendImport(ctx context.Context, client portal, name, mapping string, file []byte, dry bool, out io.Writer) (*imported, error) {
	body, err := json.Marshal(map[string]string{"name": name, "mapping": mapping, "file": base64.StdEncoding.EncodeToString(file)})
	if err != nil {
		return nil, err
	}
	path := "/v1/imports"
	if dry {
		path += "?dry_run=yes"
	}
	once, err := uuid.NewV7()
	if err != nil {
		return nil, err
	}
	headers := http.Header{"Content-Type": {"application/json"}, "Idempotency-Key": {"import-" + once.String()}}
	var i imported
	if err := client.do(ctx, http.MethodPost, path, headers, body, &i); err != nil {
		return nil, err
	}
	for last := -1; i.State != "done"; {
		if i.Position != last {
			fmt.Fprintf(out, "%d of %d orders\n", i.Position, i.Orders)
			last = i.Position
		}
		select {
		case <-time.After(time.Second):
		case <-ctx.Done():
			return nil, ctx.Err()
		}
		id := i.ID
		i = imported{}
		if err := client.do(ctx, http.MethodGet, "/v1/imports/"+id.String(), nil, nil, &i); err != nil {
			return nil, err
		}
	}
	return &i, nil
}

// errFaultyOrders tells that some orders of a file were left out.
var errFaultyOrders = errors.New("orders were left out")

func printImport(i *imported, dry bool, out io.Writer) error {
	for _, f := range i.Faults {
		where := fmt.Sprintf("row %d", f.Row)
		if f.Column != "" {
			where += ", " + f.Column
		}
		if f.Order != "" {
			where += " (order " + f.Order + ")"
		}
		fmt.Fprintf(out, "%s: %s\n", where, f.Message)
	}
	if more := i.FaultCount - len(i.Faults); more > 0 {
		fmt.Fprintf(out, "and %d faults more\n", more)
	}
	if dry {
		fmt.Fprintf(out, "%d rows, %d orders: %d would be loaded, %d are there already, %d are faulty; nothing was loaded\n", i.Rows, i.Orders, i.Good-i.Known, i.Known, i.Faulty)
	} else {
		fmt.Fprintf(out, "%d rows, %d orders: %d loaded, %d were there already, %d are faulty and were left out\n", i.Rows, i.Orders, i.Loaded, i.Known, i.Faulty)
	}
	if i.Faulty > 0 || i.FaultCount > 0 {
		return errFaultyOrders
	}
	return nil
}
