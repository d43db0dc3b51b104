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
	"slices"
	"strings"
	"time"
)

// The bars of printing: a packet of forty lines, and a thousand labels.
const (
	packetLines   = 40
	packetBar     = 300 // ms
	packetPrints  = 15
	labelUnits    = 500 // of a table that ships in two cartons each
	labelCartons  = 1000
	labelsBar     = 5 // s
	papersTimeout = time.Minute
)

// measurePapers measures how long the service takes to print: from the request
// to the last byte, over HTTP on loopback, with the demonstration catalog. The
// processor's time of the service is told beside it, since other work on the
// machine makes a request longer and that no more.
func measurePapers(ctx context.Context, r *report, _ []string) error {
	dir, binary, clear, err := workplace(ctx)
	if err != nil {
		return err
	}
	defer clear()
	data := filepath.Join(dir, "papers")
	svc, _, err := startService(ctx, binary, data)
	if err != nil {
		return err
	}
	defer svc.stop() //nolint:errcheck // the folder is thrown away
	p := &printing{svc: svc, client: &http.Client{Timeout: papersTimeout}}
	if p.dealer, err = readKey(data, "demonstration-key"); err != nil {
		return err
	}
	if p.owner, err = readKey(data, "demonstration-owner-key"); err != nil {
		return err
	}
	if err := p.packet(ctx, r); err != nil {
		return err
	}
	return p.labels(ctx, r)
}

func readKey(data, name string) (string, error) {
	key, err := os.ReadFile(filepath.Join(data, name))
	if err != nil {
		return "", fmt.Errorf("read a key: %w", err)
	}
	return strings.TrimSpace(string(key)), nil
}

// printing asks one service for papers.
type printing struct {
	svc           *service
	client        *http.Client
	dealer, owner string
}

// packet prints the whole packet of an order of forty lines, over and over.
func (p *printing) packet(ctx context.Context, r *report) error {
	products := []string{"brackwater-table", "lodden-round", "sallow-bench", "pell-stool"}
	var lines []map[string]any
	for i := range packetLines {
		lines = append(lines, map[string]any{"product": products[i%len(products)], "quantity": 2, "configuration": map[string]string{}})
	}
	number, err := p.order(ctx, "PACKET", lines)
	if err != nil {
		return err
	}
	at := "/v1/orders/" + number + "/papers/all?format="
	for _, form := range []string{"pdf", "html"} {
		first, text, err := p.get(ctx, at+form)
		if err != nil {
			return err
		}
		var took []time.Duration
		before, _ := processorTime(p.svc.cmd.Process.Pid, false)
		for range packetPrints {
			one, again, err := p.get(ctx, at+form)
			if err != nil {
				return err
			}
			if !bytes.Equal(again, text) {
				return fmt.Errorf("the packet printed again as %s is another file", form)
			}
			took = append(took, one)
		}
		after, _ := processorTime(p.svc.cmd.Process.Pid, false)
		slices.Sort(took)
		r.note("packet of %d lines as %s: %d bytes; the first took %s, then from %s to %s", packetLines, form, len(text), first, took[0], took[len(took)-1])
		r.atMost("papers.packet."+form, float64(took[len(took)/2].Microseconds())/1000, "ms", packetBar)
		r.plain("papers.packet."+form+".first", float64(first.Microseconds())/1000, "ms")
		r.plain("papers.packet."+form+".processor", float64((after-before).Milliseconds())/packetPrints, "ms")
	}
	return nil
}

// labels prints a thousand carton labels.
func (p *printing) labels(ctx context.Context, r *report) error {
	number, err := p.order(ctx, "LABELS", []map[string]any{{"product": "brackwater-table", "quantity": labelUnits, "configuration": map[string]string{}}})
	if err != nil {
		return err
	}
	at := "/v1/orders/" + number + "/labels?format="
	for _, form := range []string{"pdf", "html"} {
		before, _ := processorTime(p.svc.cmd.Process.Pid, false)
		took, text, err := p.get(ctx, at+form)
		if err != nil {
			return err
		}
		after, _ := processorTime(p.svc.cmd.Process.Pid, false)
		if n := bytes.Count(text, []byte(`<article class="lb"`)); form == "html" && n != labelCartons {
			return fmt.Errorf("%d labels were printed, want %d", n, labelCartons)
		}
		if n := bytes.Count(text, []byte("/Type /Page\n")); form == "pdf" && n != labelCartons {
			return fmt.Errorf("%d labels were printed, want %d", n, labelCartons)
		}
		r.note("%d labels as %s: %d bytes", labelCartons, form, len(text))
		r.atMost("papers.labels."+form, took.Seconds(), "s", labelsBar)
		r.plain("papers.labels."+form+".processor", (after - before).Seconds(), "s")
	}
	return nil
}

// order places an order and gives its number.
func (p *printing) order(ctx context.Context, po string, lines []map[string]any) (string, error) {
	body, err := json.Marshal(map[string]any{"po": po, "sidemark": "Ferncote dining room", "ship_to": "Studio Tamsel, receiving dock, 14 Osier Yard, Ferncote", "lines": lines})
	if err != nil {
		return "", err
	}
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, p.svc.base+"/v1/orders", bytes.NewReader(body))
	if err != nil {
		return "", err
	}
	request.Header.Set("Authorization", "Bearer "+p.dealer)
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("Idempotency-Key", po)
	text, err := p.answer(request, http.StatusCreated)
	if err != nil {
		return "", err
	}
	var placed struct{ Number string }
	err = json.Unmarshal(text, &placed)
	return placed.Number, err
}

// get asks for a paper and gives how long it took to come whole.
func (p *printing) get(ctx context.Context, path string) (time.Duration, []byte, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, p.svc.base+path, nil)
	if err != nil {
		return 0, nil, err
	}
	request.Header.Set("Authorization", "Bearer "+p.owner)
	began := time.Now()
	text, err := p.answer(request, http.StatusOK)
	return time.Since(began), text, err
}

func (p *printing) answer(request *http.Request, want int) ([]byte, error) {
	reply, err := p.client.Do(request)
	if err != nil {
		return nil, err
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	if err == nil && reply.StatusCode != want {
		err = fmt.Errorf("%s was answered %d: %s", request.URL.Path, reply.StatusCode, text[:min(len(text), 500)])
	}
	return text, err
}
