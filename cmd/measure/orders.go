package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/catalog/demonstration"
	"billwright/deploy/postgres"
)

const (
	loadOrders      = 10_000
	loadConnections = 8
	loadLines       = 3
	warmUp          = 500
)

// measureOrders measures start, throughput, memory and the share of the bare
// database's throughput that orders over HTTP reach.
func measureOrders(ctx context.Context, r *report, _ []string) error {
	dir, binary, clear, err := workplace(ctx)
	if err != nil {
		return err
	}
	defer clear()
	if err := measureStart(ctx, r, binary, filepath.Join(dir, "start")); err != nil {
		return err
	}
	return measureLoad(ctx, r, binary, filepath.Join(dir, "load"))
}

func measureStart(ctx context.Context, r *report, binary, data string) error {
	cold, elapsed, err := startService(ctx, binary, data)
	if err != nil {
		return err
	}
	r.atMost("orders.start.cold", elapsed.Seconds(), "s", 5)
	if err := cold.stop(); err != nil {
		r.note("stop after the cold start: %v", err)
	}
	warm, elapsed, err := startService(ctx, binary, data)
	if err != nil {
		return err
	}
	r.atMost("orders.start.warm", elapsed.Seconds(), "s", 1)
	if err := warm.stop(); err != nil {
		r.note("stop after the warm start: %v", err)
	}
	return nil
}

func measureLoad(ctx context.Context, r *report, binary, data string) error {
	server, err := postgres.Start(ctx, postgres.Options{Dir: filepath.Join(data, "postgres")})
	if err != nil {
		return err
	}
	defer server.Stop(context.WithoutCancel(ctx)) //nolint:errcheck // the folder is thrown away
	admin, err := pgx.Connect(ctx, server.URL("postgres", "postgres"))
	if err != nil {
		return err
	}
	defer admin.Close(ctx)
	if _, err := admin.Exec(ctx, `create database billwright`); err != nil {
		return err
	}
	adminURL := server.URL("postgres", "billwright")
	svc, _, err := startService(ctx, binary, data, "DATABASE_URL="+server.URL("billwright_app", "billwright"), "MIGRATE_DATABASE_URL="+adminURL)
	if err != nil {
		return err
	}
	processes := []process{{"service", svc.cmd.Process.Pid, false}, {"database", server.PID(), true}, {"load", os.Getpid(), false}}
	rate, err := loadOverHTTP(ctx, r, svc, filepath.Join(data, "demonstration-key"), processes)
	if err == nil {
		r.plain("orders.http", rate, "orders/s")
		err = reportMemory(r, svc)
	}
	if stopErr := svc.stop(); stopErr != nil {
		r.note("stop after the load: %v", stopErr)
	}
	if err != nil {
		return err
	}
	return compareBaseline(ctx, r, adminURL, processes[1:], rate)
}

func reportMemory(r *report, svc *service) error {
	resident, err := svc.memory("VmRSS")
	if err != nil {
		return err
	}
	r.atMost("orders.resident", resident/(1<<20), "MiB", 150)
	if peak, err := svc.memory("VmHWM"); err == nil {
		r.note("peak resident memory of the service: %.1f MiB", peak/(1<<20))
	}
	return nil
}

// loadOverHTTP posts the orders on a fixed number of connections and gives
// orders by second. Every reply must be 201.
func loadOverHTTP(ctx context.Context, r *report, svc *service, keyFile string, processes []process) (float64, error) {
	key, err := os.ReadFile(keyFile)
	if err != nil {
		return 0, fmt.Errorf("read the demonstration key: %w", err)
	}
	body, err := loadBody()
	if err != nil {
		return 0, err
	}
	client := &http.Client{Timeout: 30 * time.Second, Transport: &http.Transport{MaxIdleConnsPerHost: loadConnections, MaxConnsPerHost: loadConnections}}
	post := func(n int) error {
		return postOrder(ctx, client, svc.base, strings.TrimSpace(string(key)), bytes.ReplaceAll(body, []byte("PO-MEASURE"), fmt.Appendf(nil, "PO-MEASURE-%06d", n)), n)
	}
	if _, err := inParallel(warmUp, 0, post); err != nil {
		return 0, err
	}
	before := usedBy(processes)
	elapsed, err := inParallel(loadOrders, warmUp, post)
	if err != nil {
		return 0, err
	}
	for i, used := range usedBy(processes) {
		r.note("processor time by order, %s: %.3f ms", processes[i].name, (used-before[i]).Seconds()*1000/loadOrders)
	}
	r.note("%d orders of %d lines over HTTP on %d connections in %s", loadOrders, loadLines, loadConnections, elapsed)
	return loadOrders / elapsed.Seconds(), nil
}

// process is one whose processor time is told apart.
type process struct {
	name     string
	pid      int
	children bool
}

func usedBy(processes []process) []time.Duration {
	used := make([]time.Duration, len(processes))
	for i, p := range processes {
		used[i], _ = processorTime(p.pid, p.children)
	}
	return used
}

func postOrder(ctx context.Context, client *http.Client, base, key string, body []byte, n int) error {
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, base+"/v1/orders", bytes.NewReader(body))
	if err != nil {
		return err
	}
	request.Header.Set("Authorization", "Bearer "+key)
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("Idempotency-Key", fmt.Sprintf("measure-%06d", n))
	reply, err := client.Do(request)
	if err != nil {
		return err
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	if err != nil {
		return err
	}
	if reply.StatusCode != http.StatusCreated {
		return fmt.Errorf("order %d was answered %d: %s", n, reply.StatusCode, text)
	}
	return nil
}

// loadBody is the demonstration order cut to its first lines.
func loadBody() ([]byte, error) {
	var body map[string]any
	if err := json.Unmarshal(demonstration.Order(), &body); err != nil {
		return nil, fmt.Errorf("read the example order: %w", err)
	}
	lines, ok := body["lines"].([]any)
	if !ok || len(lines) < loadLines {
		return nil, fmt.Errorf("the example order has fewer than %d lines", loadLines)
	}
	body["lines"] = lines[:loadLines]
	body["po"] = "PO-MEASURE"
	return json.Marshal(body)
}

// inParallel runs act for n numbers from first on, shared by as many workers as
// there are connections, and stops at the first error.
func inParallel(n, first int, act func(int) error) (time.Duration, error) {
	var next atomic.Int64
	var failure atomic.Pointer[error]
	var workers sync.WaitGroup
	began := time.Now()
	for range loadConnections {
		workers.Go(func() {
			for failure.Load() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if err := act(first + i); err != nil {
					failure.CompareAndSwap(nil, &err)
				}
			}
		})
	}
	workers.Wait()
	if err := failure.Load(); err != nil {
		return 0, *err
	}
	return time.Since(began), nil
}
