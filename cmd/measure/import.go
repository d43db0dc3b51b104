package main

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

const (
	importRows    = 10_000
	importSeconds = 30
	importMiB     = 200
)

const importMapping = `
file: csv
encoding: utf-8
delimiter: ";"
decimal: ","
unit: in
order: {dealer: {value: studio-tamsel}, po: PO, sidemark: Mark}
line: {product: Product, quantity: Qty}
configuration: {length: Length, height: Height, cloth: Cloth}
`

// measureImport loads a file of 10,000 rows, each an order of its own, kills the
// service in the middle, goes on, and loads the file once more.
func measureImport(ctx context.Context, r *report, _ []string) error {
	dir, binary, clear, err := workplace(ctx)
	if err != nil {
		return err
	}
	defer clear()
	data := filepath.Join(dir, "import")
	svc, _, err := startService(ctx, binary, data)
	if err != nil {
		return err
	}
	defer func() { _ = svc.stop() }()
	key, err := os.ReadFile(filepath.Join(data, "demonstration-owner-key"))
	if err != nil {
		return fmt.Errorf("read the owner's key: %w", err)
	}
	file := importFile("IM-")
	caller := importer{key: strings.TrimSpace(string(key))}
	whole, i, err := caller.load(ctx, svc, file, "first", 0)
	if err != nil {
		return err
	}
	r.note("%d rows in %d bytes: %+v", importRows, len(file), i)
	r.atMost("import.rows10000", whole.Seconds(), "s", importSeconds)
	if peak, err := svc.memory("VmHWM"); err == nil {
		r.atMost("import.memory.peak", peak/(1<<20), "MiB", importMiB)
	}
	if i.Loaded != importRows {
		return fmt.Errorf("%d of %d orders were loaded", i.Loaded, importRows)
	}
	again, i, err := caller.load(ctx, svc, file, "again", 0)
	if err != nil {
		return err
	}
	r.note("the same file again took %s: %d known, %d loaded", again.Round(time.Millisecond), i.Known, i.Loaded)
	r.atMost("import.again.loaded", float64(i.Loaded), "orders", 0)
	return caller.interrupted(ctx, r, svc, binary, data)
}

// interrupted kills the service while it loads another file, starts it again and
// lets it go on.
func (c *importer) interrupted(ctx context.Context, r *report, svc *service, binary, data string) error {
	_, i, err := c.load(ctx, svc, importFile("KILL-"), "kill", importRows/3)
	if err != nil {
		return err
	}
	_ = svc.cmd.Process.Signal(syscall.SIGKILL)
	_ = svc.cmd.Wait()
	next, _, err := startService(ctx, binary, data)
	if err != nil {
		return err
	}
	defer next.stop() //nolint:errcheck // nothing is kept
	at := i.Position
	began := time.Now()
	if i, err = c.follow(ctx, next, i, 0); err != nil {
		return err
	}
	r.note("killed at order %d, went on and was through %s after the restart: %d loaded, %d known", at, time.Since(began).Round(time.Millisecond), i.Loaded, i.Known)
	r.atLeast("import.killed.loaded", float64(i.Loaded), "orders", importRows)
	return nil
}

func importFile(po string) []byte {
	var file bytes.Buffer
	file.WriteString("PO;Mark;Product;Qty;Length;Height;Cloth\n")
	for n := range importRows {
		fmt.Fprintf(&file, "%s%05d;Room %d;sallow-bench;%d;%d;18,5;%s\n", po, n, n, 1+n%3, 40+n%9, []string{"oat-weave", "sedge-stripe"}[n%2])
	}
	return file.Bytes()
}

type importer struct{ key string }

type importState struct {
	ID                              string
	State                           string
	Position, Loaded, Known, Faulty int
	Faults                          []json.RawMessage
}

// load begins an import and follows it to its end, or to a position that is not
// 0.
func (c *importer) load(ctx context.Context, svc *service, file []byte, once string, to int) (time.Duration, importState, error) {
	body, err := json.Marshal(map[string]string{"name": "orders.csv", "mapping": importMapping, "file": base64.StdEncoding.EncodeToString(file)})
	if err != nil {
		return 0, importState{}, err
	}
	began := time.Now()
	i, err := c.ask(ctx, http.MethodPost, svc.base+"/v1/imports", once, body)
	if err == nil {
		i, err = c.follow(ctx, svc, i, to)
	}
	return time.Since(began), i, err
}

func (c *importer) follow(ctx context.Context, svc *service, i importState, to int) (importState, error) {
	for i.State != "done" && (to == 0 || i.Position < to) {
		time.Sleep(50 * time.Millisecond)
		next, err := c.ask(ctx, http.MethodGet, svc.base+"/v1/imports/"+i.ID, "", nil)
		if err != nil {
			return i, err
		}
		i = next
	}
	if len(i.Faults) > 0 {
		return i, fmt.Errorf("the import has faults, the first: %s", i.Faults[0])
	}
	return i, nil
}

func (c *importer) ask(ctx context.Context, method, address, once string, body []byte) (i importState, err error) {
	request, err := http.NewRequestWithContext(ctx, method, address, bytes.NewReader(body))
	if err != nil {
		return i, err
	}
	request.Header.Set("Authorization", "Bearer "+c.key)
	request.Header.Set("Content-Type", "application/json")
	if once != "" {
		request.Header.Set("Idempotency-Key", once)
	}
	reply, err := http.DefaultClient.Do(request)
	if err != nil {
		return i, err
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	if err != nil {
		return i, err
	}
	if reply.StatusCode >= 300 {
		return i, fmt.Errorf("%s was answered %d: %.400s", method, reply.StatusCode, text)
	}
	return i, json.Unmarshal(text, &i)
}
