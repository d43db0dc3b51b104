package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/jackc/pgx/v5"

	"billwright/catalog/demonstration"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

const (
	switchOrders    = 2_000
	switchLines     = 3
	leastSwitches   = 20
	sampledRefusals = 5
)

// switching is one run of orders taken while revisions are stored.
type switching struct {
	base, dealer, owner string
	client              *http.Client

	mu sync.Mutex
	// variants say which variant of the bench a revision has, by its number.
	variants map[int]int
	failed   []string
	taken    []string // numbers of orders
}

// measureSwitch posts orders on as many connections as the load has while
// another stores one revision after the other, each of which changes the
// bench's name, price and depth together. An order that has them from different
// revisions is mixed.
func measureSwitch(ctx context.Context, r *report, svc *service, data, adminURL string) error {
	s := &switching{base: svc.base, variants: map[int]int{}, client: &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: loadConnections + 1}}}
	for _, one := range []struct {
		file string
		key  *string
	}{{"demonstration-key", &s.dealer}, {"demonstration-owner-key", &s.owner}} {
		text, err := os.ReadFile(filepath.Join(data, one.file))
		if err != nil {
			return fmt.Errorf("read a demonstration key: %w", err)
		}
		*one.key = strings.TrimSpace(string(text))
	}
	if err := s.store(ctx, 0); err != nil {
		return err
	}
	done := make(chan struct{})
	var storing error
	var storer sync.WaitGroup
	storer.Go(func() { storing = s.storeUntil(ctx, done) })
	elapsed, err := inParallel(switchOrders, 0, func(n int) error { return s.order(ctx, n) })
	close(done)
	storer.Wait()
	if err := errors.Join(err, storing); err != nil {
		return err
	}
	r.note("%d orders of %d lines on %d connections in %s, while %d revisions were stored", switchOrders, switchLines, loadConnections, elapsed, len(s.variants))
	if len(s.variants) < leastSwitches {
		return fmt.Errorf("only %d revisions were stored meanwhile, too few to tell anything", len(s.variants))
	}
	for _, refusal := range s.failed[:min(len(s.failed), sampledRefusals)] {
		r.note("failed: %s", refusal)
	}
	r.atMost("catalog.switch.failed", float64(len(s.failed)), "requests", 0)
	mixed, revisions, err := s.mixed(ctx, r, adminURL)
	if err != nil {
		return err
	}
	r.note("the orders are on %d different revisions", revisions)
	r.atMost("catalog.switch.mixed", float64(mixed), "orders", 0)
	return nil
}

// variant is how the bench is in the n-th variant: all of it changes together.
type variant struct {
	name  string
	list  unit.Money
	depth unit.Length
}

func variantOf(n int) variant {
	return variant{fmt.Sprintf("Sallow bench, variant %d", n), unit.Money(100_000 + 100*n), 16*unit.Inch + unit.Length(1+n%31)*unit.Inch/32}
}

// files are the demonstration with the bench in a variant.
func (v variant) files() ([]source.File, error) {
	files := demonstration.Files()
	for _, edit := range [][2]string{
		{"name: Sallow bench\n", "name: " + v.name + "\n"},
		{"list: 1125.00}", "list: " + v.list.String() + "}"},
		{"seat_depth: len('16 in')", "seat_depth: len('" + v.depth.String() + "')"},
	} {
		found := false
		for i := range files {
			changed := bytes.Replace(files[i].Bytes, []byte(edit[0]), []byte(edit[1]), 1)
			if found = !bytes.Equal(changed, files[i].Bytes); found {
				files[i].Bytes = changed
				break
			}
		}
		if !found {
			return nil, fmt.Errorf("the demonstration has no %q to change", edit[0])
		}
	}
	return files, nil
}

func (s *switching) storeUntil(ctx context.Context, done <-chan struct{}) error {
	for n := 1; ; n++ {
		select {
		case <-done:
			return nil
		default:
		}
		if err := s.store(ctx, n); err != nil {
			return err
		}
	}
}

func (s *switching) store(ctx context.Context, n int) error {
	files, err := variantOf(n).files()
	if err != nil {
		return err
	}
	type file struct {
		Path string `json:"path"`
		Text string `json:"text"`
	}
	body := struct {
		Files  []file `json:"files"`
		Accept bool   `json:"accept_changes"`
	}{Accept: true}
	for _, f := range files {
		body.Files = append(body.Files, file{f.Path, string(f.Bytes)})
	}
	text, err := json.Marshal(body)
	if err != nil {
		return err
	}
	status, reply, err := s.post(ctx, s.owner, "/v1/catalog/revisions", text)
	if err != nil {
		return err
	}
	var stored struct{ Revision int }
	if status != http.StatusCreated {
		return fmt.Errorf("storing a revision was answered %d: %s", status, reply)
	}
	if err := json.Unmarshal(reply, &stored); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.variants[stored.Revision] = n
	return nil
}

// order places an order; one that is refused or not answered is counted.
func (s *switching) order(ctx context.Context, n int) error {
	line := `{"product":"sallow-bench","quantity":1,"configuration":{"length":"48 in","height":"18 in"}}`
	body := fmt.Sprintf(`{"po":"SWITCH-%06d","lines":[%s]}`, n, strings.Join(strings.Split(strings.Repeat(line+"\n", switchLines), "\n")[:switchLines], ","))
	status, reply, err := s.post(ctx, s.dealer, "/v1/orders", []byte(body))
	if ctx.Err() != nil {
		return ctx.Err()
	}
	var taken struct{ Number string }
	if err == nil && status == http.StatusCreated {
		err = json.Unmarshal(reply, &taken)
	} else if err == nil {
		err = fmt.Errorf("answered %d: %s", status, reply)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err != nil {
		s.failed = append(s.failed, err.Error())
		return nil
	}
	s.taken = append(s.taken, taken.Number)
	return nil
}

func (s *switching) post(ctx context.Context, key, path string, body []byte) (int, []byte, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, s.base+path, bytes.NewReader(body))
	if err != nil {
		return 0, nil, err
	}
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("Idempotency-Key", rand.Text())
	return s.send(request, key)
}

func (s *switching) send(request *http.Request, key string) (int, []byte, error) {
	request.Header.Set("Authorization", "Bearer "+key)
	reply, err := s.client.Do(request)
	if err != nil {
		return 0, nil, err
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	return reply.StatusCode, text, err
}

// mixed reads every order back and counts those of which the document, a line, a
// row in the database or a figure of the bill is of another revision than the
// rest.
func (s *switching) mixed(ctx context.Context, r *report, adminURL string) (mixed, revisions int, err error) {
	stored, err := storedRevisions(ctx, adminURL)
	if err != nil {
		return 0, 0, err
	}
	var count atomic.Int64
	seen := map[int]bool{}
	for _, number := range s.taken {
		seen[stored[number].order] = true
	}
	_, err = inParallel(len(s.taken), 0, func(i int) error {
		why, err := s.compare(ctx, s.taken[i], stored[s.taken[i]])
		if err == nil && why != "" && count.Add(1) <= sampledRefusals {
			r.note("mixed: order %s: %s", s.taken[i], why)
		}
		return err
	})
	return int(count.Load()), len(seen), err
}

// pinned are the revisions that the rows of an order are on.
type pinned struct{ order, lowest, highest, bill int }

func storedRevisions(ctx context.Context, adminURL string) (map[string]pinned, error) {
	conn, err := pgx.Connect(ctx, adminURL)
	if err != nil {
		return nil, err
	}
	defer conn.Close(ctx)
	rows, err := conn.Query(ctx, `
select o.number, o.revision, min(l.revision), max(l.revision), max(b.revision)
from dealer_order o
join order_line l on l.workshop_id = o.workshop_id and l.order_id = o.order_id
join bill b on b.workshop_id = o.workshop_id and b.order_id = o.order_id
where o.po like 'SWITCH-%'
group by o.number, o.revision`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[string]pinned{}
	for rows.Next() {
		var number string
		var p pinned
		if err := rows.Scan(&number, &p.order, &p.lowest, &p.highest, &p.bill); err != nil {
			return nil, err
		}
		all[number] = p
	}
	return all, rows.Err()
}

// compare tells what of an order is of another revision than its own, or "".
func (s *switching) compare(ctx context.Context, number string, rows pinned) (string, error) {
	var order struct {
		Revision int `json:"catalog_revision"`
		Lines    []struct {
			Name  string
			Price struct{ Lines []struct{ List unit.Money } }
		}
	}
	var bill struct {
		Revision int
		Lines    []struct {
			Name  string
			Steel []struct {
				Path   string
				Length unit.Length `json:"finished_length"`
			}
		}
	}
	if err := s.get(ctx, "/v1/orders/"+number, &order); err != nil {
		return "", err
	}
	if err := s.get(ctx, "/v1/orders/"+number+"/bill", &bill); err != nil {
		return "", err
	}
	if rows != (pinned{order.Revision, order.Revision, order.Revision, order.Revision}) || bill.Revision != order.Revision {
		return fmt.Sprintf("the document is on revision %d, its bill on %d, its rows on %+v", order.Revision, bill.Revision, rows), nil
	}
	n, known := s.variants[order.Revision]
	if !known || len(order.Lines) != switchLines || len(bill.Lines) != switchLines {
		return fmt.Sprintf("revision %d has %d lines and %d in the bill", order.Revision, len(order.Lines), len(bill.Lines)), nil
	}
	want := variantOf(n)
	for _, line := range order.Lines {
		if line.Name != want.name || len(line.Price.Lines) == 0 || line.Price.Lines[0].List != want.list {
			return fmt.Sprintf("revision %d has the line %+v", order.Revision, line), nil
		}
	}
	for _, line := range bill.Lines {
		rails := 0
		for _, row := range line.Steel {
			if row.Path == "base/end-rail" && row.Length == want.depth {
				rails++
			}
		}
		if line.Name != want.name || rails != 1 {
			return fmt.Sprintf("revision %d has the bill %+v", order.Revision, line), nil
		}
	}
	return "", nil
}

func (s *switching) get(ctx context.Context, path string, into any) error {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, s.base+path, nil)
	if err != nil {
		return err
	}
	status, text, err := s.send(request, s.dealer)
	if err != nil {
		return err
	}
	if status != http.StatusOK {
		return fmt.Errorf("%s was answered %d: %s", path, status, text)
	}
	return json.Unmarshal(text, into)
}
