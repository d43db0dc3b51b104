package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"billwright/catalog/demonstration"
)

// program builds the service once for this package's tests.
var program = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "billwright-program-")
	if err != nil {
		return "", err
	}
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	defer cancel()
	binary := filepath.Join(dir, "billwright")
	out, err := exec.CommandContext(ctx, "go", "build", "-buildvcs=false", "-o", binary, ".").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("build: %w\n%s", err, out)
	}
	return binary, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if binary, err := program(); err == nil {
		_ = os.RemoveAll(filepath.Dir(binary))
	}
	os.Exit(code)
}

// running is a started service.
type running struct {
	cmd   *exec.Cmd
	base  string
	print string // what it printed until it was serving and had shown its order
	desk  []string
}

// start runs the service on a data folder until it has printed the example
// order, and ends it with the test, by its own process id.
func start(t *testing.T, data string, args ...string) *running {
	t.Helper()
	binary, err := program()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(binary, append([]string{"start", "--data", data, "--listen", "127.0.0.1:0"}, args...)...)
	cmd.Env = append(os.Environ(), "DATABASE_URL=", "MIGRATE_DATABASE_URL=")
	var errs bytes.Buffer
	cmd.Stderr = &errs
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGTERM}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if cmd.ProcessState == nil {
			_ = cmd.Process.Signal(syscall.SIGTERM)
			_ = cmd.Wait()
		}
	})
	stuck := time.AfterFunc(time.Minute, func() { _ = cmd.Process.Kill() })
	defer stuck.Stop()
	r := &running{cmd: cmd}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		line := lines.Text()
		if _, base, found := strings.Cut(line, " on http://"); found {
			r.base = "http://" + base
			continue
		}
		if told, found := strings.CutPrefix(line, deskLine); found { // its link is another each time
			r.desk = append(r.desk, told)
			continue
		}
		r.print += line + "\n"
		if strings.HasPrefix(line, "Promise date ") || r.base != "" && line == ownLine {
			go io.Copy(io.Discard, out) //nolint:errcheck // ends with the process
			return r
		}
	}
	_ = cmd.Wait()
	t.Fatalf("the service ended before it had shown its order:\n%s%s", r.print, errs.String())
	return nil
}

// openFolder is a folder that the database's own user may enter when the test
// runs as root; t.TempDir's is closed to all others.
func openFolder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "billwright-start-")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

// kill ends the service, its database server or both at once, as a power
// failure would, by the process ids of what this test started.
func (r *running) kill(t *testing.T, data string, service, database bool) {
	t.Helper()
	if service {
		if err := r.cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
	}
	if database {
		// It may have ended with its supervisor already.
		if err := syscall.Kill(postmaster(t, data), syscall.SIGKILL); err != nil && err != syscall.ESRCH {
			t.Fatal(err)
		}
	}
	if service {
		_ = r.cmd.Wait()
	}
}

// postmaster is the process id of the private database server.
func postmaster(t *testing.T, data string) int {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(data, "postgres", "*", "postmaster.pid"))
	if err != nil || len(paths) != 1 {
		t.Fatalf("no postmaster.pid below %s: %v %v", data, paths, err)
	}
	text, err := os.ReadFile(paths[0])
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(text), "\n")
	pid, err := strconv.Atoi(first)
	if err != nil {
		t.Fatal(err)
	}
	return pid
}

// awaitTaking waits until the service takes orders again after its database was
// killed under it; the supervisor starts that anew.
func (r *running) awaitTaking(t *testing.T, key, po string) {
	t.Helper()
	for range 300 {
		if _, ok := post(r.base, key, po); ok {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Fatal("no order was taken within 30 s of the database's death")
}

func dealerKey(t *testing.T, data string) string {
	t.Helper()
	path := filepath.Join(data, dealerKeyFile)
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode().Perm() != 0o600 {
		t.Errorf("%s has mode %v, want 0600", path, info.Mode().Perm())
	}
	key, err := readKey(path)
	if err != nil {
		t.Fatal(err)
	}
	return key
}

// post sends the example order under another purchase order number; ok tells
// that it was acknowledged.
func post(base, key, po string) (number string, ok bool) {
	body := bytes.Replace(demonstration.Order(), []byte("ST-2207"), []byte(po), 1)
	var taken struct {
		Number string `json:"number"`
	}
	client := portal{base: base, key: key, client: &http.Client{Timeout: 10 * time.Second}}
	header := http.Header{"Idempotency-Key": {po}, "Content-Type": {"application/json"}}
	err := client.do(context.Background(), http.MethodPost, "/v1/orders", header, body, &taken)
	return taken.Number, err == nil
}

// The service and its database are killed while orders come in. Started again,
// it still has every order that it acknowledged, and prints the same example
// order instead of taking another.
func TestEveryAcknowledgedOrderOutlivesAKill(t *testing.T) {
	data := openFolder(t)
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	first := start(t, data)
	shown, base := first.print, first.base
	key := dealerKey(t, data)
	acknowledged := map[string]string{}
	for round, kill := range []struct {
		name              string
		service, database bool
	}{{"both", true, true}, {"the service", true, false}, {"the database", false, true}, {"both again", true, true}} {
		var mutex sync.Mutex
		var workers sync.WaitGroup
		killed := make(chan struct{})
		for worker := range 4 {
			workers.Go(func() {
				for i := 0; i < 500; i++ {
					po := fmt.Sprintf("kill-%d-%d-%d", round, worker, i)
					number, ok := post(base, key, po)
					if ok {
						mutex.Lock()
						acknowledged[po] = number
						mutex.Unlock()
						continue
					}
					select {
					case <-killed:
						return
					default:
					}
				}
			})
		}
		time.Sleep(time.Duration(100+random.IntN(400)) * time.Millisecond)
		first.kill(t, data, kill.service, kill.database)
		close(killed)
		workers.Wait()
		if !kill.service {
			first.awaitTaking(t, key, fmt.Sprintf("after-%d", round))
			continue
		}
		first = start(t, data)
		base = first.base
		if first.print != shown {
			t.Fatalf("after a kill of %s another example order was printed:\n%s\nbefore:\n%s", kill.name, first.print, shown)
		}
	}
	if len(acknowledged) < 12 {
		t.Fatalf("only %d orders were acknowledged: the kill came before the load", len(acknowledged))
	}
	client := portal{base: base, key: key, client: &http.Client{Timeout: 10 * time.Second}}
	for po, number := range acknowledged {
		var stored struct {
			PO string `json:"po"`
		}
		if err := client.do(t.Context(), http.MethodGet, "/v1/orders/"+number, nil, nil, &stored); err != nil || stored.PO != po {
			t.Errorf("order %s under %s is lost: %v", number, po, err)
		}
	}
	t.Logf("%d acknowledged orders over 4 kills, none lost", len(acknowledged))
}

// On a trial workshop the clock stands where it was set and only goes forward;
// a live one refuses to move it.
func TestClockOfATrial(t *testing.T) {
	data := openFolder(t)
	trial := start(t, data, "--clock", "2026-11-25T09:00:00-06:00")
	key, err := readKey(filepath.Join(data, ownerKeyFile))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	args := []string{"clock", "--url", trial.base, "--key", filepath.Join(data, ownerKeyFile), "--to"}
	if err := run(t.Context(), append(args, "2026-12-01T08:00:00-06:00"), &out, &out); err != nil {
		t.Fatal(err)
	}
	if want := "2026-12-01T14:00:00Z"; !strings.Contains(out.String(), want) && !strings.Contains(out.String(), "2026-12-01T08:00:00-06:00") {
		t.Errorf("the clock was said to stand at %q, want %s", out.String(), want)
	}
	if err := run(t.Context(), append(args, "2026-11-30T08:00:00-06:00"), &out, &out); err == nil {
		t.Error("the clock went back")
	}
	number, ok := post(trial.base, dealerKey(t, data), "after-the-move")
	if !ok {
		t.Fatal("no order was taken")
	}
	var stored struct {
		ReceivedAt time.Time `json:"received_at"`
	}
	client := portal{base: trial.base, key: key, client: http.DefaultClient}
	if err := client.do(t.Context(), http.MethodGet, "/v1/orders/"+number, nil, nil, &stored); err != nil {
		t.Fatal(err)
	}
	if want := time.Date(2026, 12, 1, 14, 0, 0, 0, time.UTC); !stored.ReceivedAt.Equal(want) {
		t.Errorf("received at %s, want %s", stored.ReceivedAt, want)
	}
	live := openFolder(t)
	served := start(t, live)
	args = []string{"clock", "--url", served.base, "--key", filepath.Join(live, ownerKeyFile), "--to", "2030-12-01T08:00:00-06:00"}
	if err := run(t.Context(), args, &out, &out); err == nil || !strings.Contains(err.Error(), "409") {
		t.Errorf("a live workshop's clock: %v, want a refusal with 409", err)
	}
}

// The printed order is the stored one: what the interface gives as JSON has the
// same number, net and promise date.
func TestPrintedOrderIsTheStoredOne(t *testing.T) {
	data := openFolder(t)
	r := start(t, data)
	client := portal{base: r.base, key: dealerKey(t, data), client: http.DefaultClient}
	var list struct {
		Orders []json.RawMessage `json:"orders"`
	}
	if err := client.do(t.Context(), http.MethodGet, "/v1/orders", nil, nil, &list); err != nil {
		t.Fatal(err)
	}
	if len(list.Orders) != 1 {
		t.Fatalf("%d orders, want the example alone", len(list.Orders))
	}
	var o struct{ Number, Net, Promise string }
	if err := json.Unmarshal(list.Orders[0], &o); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Order " + o.Number, "Promise date " + o.Promise, o.Net, "Steel cut list", "Wood top blanks", "Glass", "Finish steps", "Cloth for the line", "Hardware", "Cartons"} {
		if !strings.Contains(r.print, want) {
			t.Errorf("the printed order lacks %q", want)
		}
	}
}

// A workshop of its own, in millimetres: start sets it up from its folder and
// posts nothing; an order in millimetres gives a bill in millimetres.
func TestAWorkshopOfItsOwn(t *testing.T) {
	data := openFolder(t)
	r := start(t, data, "--catalog", "../../testdata/workshop-metric", "--clock", "2026-11-30T10:00:00Z")
	key, err := readKey(filepath.Join(data, workshopKeyFile))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(data, dealerKeyFile)); !os.IsNotExist(err) {
		t.Errorf("a demonstration key was made: %v", err)
	}
	client := portal{base: r.base, key: key, client: &http.Client{Timeout: 10 * time.Second}}
	var list struct {
		Orders []json.RawMessage `json:"orders"`
	}
	if err := client.do(t.Context(), http.MethodGet, "/v1/orders", nil, nil, &list); err != nil || len(list.Orders) != 0 {
		t.Fatalf("%d orders, %v; want none", len(list.Orders), err)
	}
	body := `{"dealer":"casa-faia","po":"CF-1","lines":[{"product":"perch-stool","quantity":4,"configuration":{"height":"450 mm"}}]}`
	header := http.Header{"Idempotency-Key": {"cf-1"}, "Content-Type": {"application/json"}}
	var taken struct{ Number, Net, Promise string }
	if err := client.do(t.Context(), http.MethodPost, "/v1/orders", header, []byte(body), &taken); err != nil {
		t.Fatal(err)
	}
	var bill struct {
		Units string `json:"units"`
		Lines []struct {
			Steel []struct {
				Path string `json:"path"`
				Cut  string `json:"cut_length"`
			} `json:"steel"`
		} `json:"lines"`
	}
	if err := client.do(t.Context(), http.MethodGet, "/v1/orders/"+taken.Number+"/bill", nil, nil, &bill); err != nil {
		t.Fatal(err)
	}
	// By hand in the catalog's golden.yaml: 2 x 319 + 220 + 2 x pi/2 x 60 = 1046.4956, to the nearest half.
	if bill.Units != "metric" || len(bill.Lines) != 1 || bill.Lines[0].Steel[0].Path != "frame/leg" || bill.Lines[0].Steel[0].Cut != "1046.5 mm" {
		t.Errorf("the bill is %+v", bill)
	}
	// 240.00 x 0.60 x 0.95 = 136.80, x 4.
	if taken.Net != "547.20" {
		t.Errorf("net %s, want 547.20", taken.Net)
	}
}

// The second workshop's catalog, written from catalog/BEGIN.md and REFERENCE.md
// alone, has no faults and its golden orders hold.
func TestTheSecondWorkshopHolds(t *testing.T) {
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", "../../testdata/workshop-metric"}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	if !strings.Contains(out.String(), "13 golden orders, 0 changed") {
		t.Errorf("printed %q", out.String())
	}
}
