package api

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math"
	"net"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/google/uuid"
)

// The order of these tests is no route of the service: it has the shape of one,
// with three lines about 1.5 kB.
type testOrder struct {
	PO      string          `json:"po" minLength:"1" maxLength:"40"`
	Class   string          `json:"class" enum:"stock,customer,test"`
	Contact string          `json:"contact,omitempty" format:"email"`
	Want    string          `json:"want,omitempty" pattern:"^[0-9]{4}-W[0-9]{2}$" patternDescription:"an ISO week such as 2026-W53"`
	Ship    testAddress     `json:"ship_to"`
	Lines   []testOrderLine `json:"lines" minItems:"1" maxItems:"200"`
	Note    *string         `json:"note" required:"false" maxLength:"500"`
}

type testAddress struct {
	Name    string `json:"name" minLength:"1" maxLength:"80"`
	Street  string `json:"street" minLength:"1" maxLength:"80"`
	Town    string `json:"town" minLength:"1" maxLength:"60"`
	Post    string `json:"post_code" minLength:"3" maxLength:"12"`
	Country string `json:"country" minLength:"2" maxLength:"2"`
}

type testOrderLine struct {
	ID       uuid.UUID         `json:"id,omitzero" format:"uuid"`
	Product  string            `json:"product" minLength:"1" maxLength:"60"`
	Quantity int               `json:"quantity" minimum:"1" maximum:"999"`
	Choices  map[string]string `json:"choices" maxProperties:"60"`
	Weight   float64           `json:"weight,omitempty"`
	Rush     bool              `json:"rush,omitempty"`
}

type testOrderInput struct {
	Trial int `query:"trial" minimum:"0" maximum:"9"`
	Body  testOrder
}

type testOrderOutput struct {
	Status int
	ETag   string `header:"ETag"`
	Body   testOrderReply
}

type testOrderReply struct {
	ID    string            `json:"id"`
	Order testOrder         `json:"order"`
	Bill  []testRequirement `json:"bill"`
}

type testRequirement struct {
	Kind string `json:"kind"`
	Item string `json:"item"`
	Line int    `json:"line"`
	Need string `json:"need"`
}

func testOrderText(t testing.TB) []byte {
	t.Helper()
	order := testOrder{
		PO: "PO-2026-0417", Class: "customer", Contact: "orders@fernbank.example", Want: "2026-W53",
		Ship: testAddress{"Fernbank Interiors", "14 Quarry Row", "Lodden", "LD4 2QT", "GB"},
	}
	for i := range 3 {
		order.Lines = append(order.Lines, testOrderLine{
			ID: uuid.NewSHA1(uuid.Nil, []byte{byte(i)}), Product: "bench-lodden", Quantity: i + 1,
			Choices: map[string]string{
				"length": "72 1/2 in", "depth": "18 in", "height": "17 3/4 in", "species": "white-oak", "edge": "eased",
				"finish": "matte-oil", "base": "trestle", "base-finish": "graphite", "cushion": "none", "feet": "levelling",
				"label": fmt.Sprintf("Front hall, bay %d", i), "remark": "keep the live edge to the back of the seat",
			},
		})
	}
	text, err := json.Marshal(order)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func takeTestOrder(_ context.Context, in *testOrderInput) (*testOrderOutput, error) {
	out := &testOrderOutput{Status: http.StatusCreated, ETag: `"1"`}
	out.Body = testOrderReply{ID: "0197a1b2-0000-7000-8000-000000000001", Order: in.Body}
	for i := range 20 {
		out.Body.Bill = append(out.Body.Bill, testRequirement{"steel", "tube-square-1x1-14ga", i/7 + 1, "57 1/2 in at 2026-W53"})
	}
	return out, nil
}

// registerService adds the routes that need no database.
func registerService(s *Server) {
	registerHealth(s)
	registerOpenAPI(s)
}

// brokenServer has, beside health and the document, one for each way to fail.
func brokenServer(t testing.TB, set Settings) (*Server, *logText) {
	t.Helper()
	logged := &logText{}
	set.Log = slog.New(slog.NewJSONHandler(logged, nil))
	if set.Ready == nil {
		set.Ready = func(context.Context) error { return nil }
	}
	s, err := newServer(set, registerService)
	if err != nil {
		t.Fatal(err)
	}
	register(s, huma.Operation{OperationID: "post-order", Method: http.MethodPost, Path: "/v1/orders"}, takeTestOrder)
	fail := func(path string, h func(context.Context) error) {
		register(s, huma.Operation{OperationID: "get-" + path, Method: http.MethodGet, Path: "/broken/" + path},
			func(ctx context.Context, _ *struct{}) (*testOrderOutput, error) { return nil, h(ctx) })
	}
	fail("panic", func(context.Context) error { var none []int; _ = none[len(letters(5))]; return nil })
	fail("panic-text", func(context.Context) error { panic(secret) })
	fail("error", func(context.Context) error { return errors.New(secret) })
	fail("late", func(context.Context) error { return fmt.Errorf("query: %w", context.DeadlineExceeded) })
	fail("conflict", func(context.Context) error {
		return fmt.Errorf("storing: %w", conflict("Order PO-1 was placed already."))
	})
	fail("key", func(context.Context) error { return unauthorised("") })
	fail("busy", func(context.Context) error { return tooMany(1500*time.Millisecond, "") })
	fail("match", func(context.Context) error { return preconditionRequired() })
	fail("stale", func(context.Context) error { return preconditionFailed("") })
	fail("other", func(context.Context) error { return forbidden("") })
	fail("line", func(context.Context) error {
		return fmt.Errorf("checking: %w", invalid(Finding{Pointer: "/lines/0", Code: "rule", Message: "Glass takes no live edge."}))
	})
	fail("gone", func(context.Context) error { return notFound("There is no order PO-9.") })
	register(s, huma.Operation{OperationID: "get-half", Method: http.MethodGet, Path: "/broken/half"},
		func(context.Context, *struct{}) (*struct{ Body func(huma.Context) }, error) {
			return &struct{ Body func(huma.Context) }{func(ctx huma.Context) {
				ctx.SetStatus(200)
				_, _ = ctx.BodyWriter().Write([]byte(`{"half":`))
				panic(errors.New("ran out"))
			}}, nil
		})
	register(s, huma.Operation{OperationID: "get-nan", Method: http.MethodGet, Path: "/broken/nan"},
		func(context.Context, *struct{}) (*struct {
			Body struct {
				N float64 `json:"n"`
			}
		}, error) {
			out := &struct {
				Body struct {
					N float64 `json:"n"`
				}
			}{}
			out.Body.N = math.NaN()
			return out, nil
		})
	return s, logged
}

func letters(n int) string { return strings.Repeat("x", n) }

const secret = "pq: relation orders at db7.internal:5432"

type logText struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (l *logText) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *logText) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// serve runs s as it would run for real, on a loopback port.
func serve(t testing.TB, s *Server) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	hs := s.HTTPServer("")
	done := make(chan error, 1)
	go func() { done <- hs.Serve(l) }()
	t.Cleanup(func() {
		if err := hs.Close(); err != nil {
			t.Error(err)
		}
		if err := <-done; !errors.Is(err, http.ErrServerClosed) {
			t.Error(err)
		}
	})
	return "http://" + l.Addr().String()
}

func TestEveryRefusalIsAProblemDocument(t *testing.T) {
	s, logged := brokenServer(t, Settings{
		MaxBody: 4 << 10, BodyTimeout: 300 * time.Millisecond,
		Ready: func(context.Context) error { return errors.New(secret) },
	})
	base := serve(t, s)
	good := string(testOrderText(t))
	json := map[string]string{"Content-Type": "application/json"}
	typed := func(ct string) map[string]string { return map[string]string{"Content-Type": ct} }
	for _, c := range []struct {
		name, method, path string
		header             map[string]string
		body               string
		status             int
		kind               string
		replyHeader        string // "Name: value" expected
		codes              string // of the findings, joined by spaces
	}{
		{"no such route", "GET", "/v1/ordres", nil, "", 404, "not-found", "", ""},
		{"no such route, HEAD", "HEAD", "/v1/ordres", nil, "", 404, "", "", ""},
		{"root", "GET", "/", nil, "", 404, "not-found", "", ""},
		{"other method", "DELETE", "/v1/orders", nil, "", 405, "method-not-allowed", "Allow: OPTIONS, POST", ""},
		{"odd method", "BREW", "/healthz", nil, "", 405, "method-not-allowed", "Allow: OPTIONS, GET", ""},
		{"no content type", "POST", "/v1/orders", nil, good, 415, "unsupported-media-type", "Accept: application/json", ""},
		{"form", "POST", "/v1/orders", typed("application/x-www-form-urlencoded"), "po=1", 415, "unsupported-media-type", "", ""},
		{"text", "POST", "/v1/orders", typed("text/plain"), good, 415, "unsupported-media-type", "", ""},
		{"broken type", "POST", "/v1/orders", typed("application/json;;"), good, 415, "unsupported-media-type", "", ""},
		{"charset", "POST", "/v1/orders", typed("application/json; charset=utf-16"), good, 415, "unsupported-media-type", "", ""},
		{"gzip", "POST", "/v1/orders", map[string]string{"Content-Type": "application/json", "Content-Encoding": "gzip"}, good, 415, "unsupported-media-type", "Accept-Encoding: identity", ""},
		{"no body", "POST", "/v1/orders", json, "", 400, "bad-syntax", "", ""},
		{"blank body", "POST", "/v1/orders", json, "  \n", 400, "bad-syntax", "", "bad-json"},
		{"syntax", "POST", "/v1/orders", json, `{"po":}`, 400, "bad-syntax", "", "bad-json"},
		{"unknown field", "POST", "/v1/orders", json, strings.Replace(good, `"po"`, `"PO"`, 1), 400, "bad-syntax", "", "unknown-field missing"},
		{"meaning", "POST", "/v1/orders", json, strings.Replace(good, `"quantity":2`, `"quantity":0`, 1), 422, "invalid", "", "out-of-range"},
		{"parameter", "POST", "/v1/orders?trial=x", json, good, 422, "invalid", "", "bad-parameter"},
		{"parameter and body", "POST", "/v1/orders?trial=10", json, `{}`, 422, "invalid", "", "bad-parameter missing missing missing missing"},
		{"unknown parameter", "POST", "/v1/orders?tral=1", json, good, 400, "bad-syntax", "", "unknown-parameter"},
		{"too large", "POST", "/v1/orders", json, good + strings.Repeat(" ", 4096), 413, "too-large", "", ""},
		{"panic", "GET", "/broken/panic", nil, "", 500, "internal", "", ""},
		{"panic with text", "GET", "/broken/panic-text", nil, "", 500, "internal", "", ""},
		{"unknown error", "GET", "/broken/error", nil, "", 500, "internal", "", ""},
		{"out of time", "GET", "/broken/late", nil, "", 503, "unavailable", "Retry-After: 1", ""},
		{"not ready", "GET", "/readyz", nil, "", 503, "unavailable", "Retry-After: 1", ""},
		{"conflict", "GET", "/broken/conflict", nil, "", 409, "conflict", "", ""},
		{"no key", "GET", "/broken/key", nil, "", 401, "unauthorised", "Www-Authenticate: Bearer", ""},
		{"busy", "GET", "/broken/busy", nil, "", 429, "too-many-requests", "Retry-After: 2", ""},
		{"no If-Match", "GET", "/broken/match", nil, "", 428, "precondition-required", "", ""},
		{"stale", "GET", "/broken/stale", nil, "", 412, "precondition-failed", "", ""},
		{"forbidden", "GET", "/broken/other", nil, "", 403, "forbidden", "", ""},
		{"line refused", "GET", "/broken/line", nil, "", 422, "invalid", "", "rule"},
		{"gone", "GET", "/broken/gone", nil, "", 404, "not-found", "", ""},
		{"asks for XML", "GET", "/broken/gone", map[string]string{"Accept": "application/xml, json;q=0.5"}, "", 404, "not-found", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			req, err := http.NewRequest(c.method, base+c.path, strings.NewReader(c.body))
			if err != nil {
				t.Fatal(err)
			}
			for k, v := range c.header {
				req.Header.Set(k, v)
			}
			reply, err := http.DefaultClient.Do(req)
			if err != nil {
				t.Fatal(err)
			}
			p := readProblem(t, reply, c.status)
			if c.method != "HEAD" && p.Type != "/problems/"+c.kind {
				t.Errorf("type %q, want kind %q", p.Type, c.kind)
			}
			if name, want, ok := strings.Cut(c.replyHeader, ": "); ok && reply.Header.Get(name) != want {
				t.Errorf("%s is %q, want %q", name, reply.Header.Get(name), want)
			}
			var codes []string
			for _, f := range p.Errors {
				codes = append(codes, f.Code)
			}
			if got := strings.Join(codes, " "); got != c.codes {
				t.Errorf("codes %q, want %q (%+v)", got, c.codes, p.Errors)
			}
		})
	}
	for _, want := range []string{`"msg":"panic"`, "index out of range", "server.go", `a value of type string`, secret, `"route":"/broken/error"`} {
		if !strings.Contains(logged.String(), want) {
			t.Errorf("the log lacks %q", want)
		}
	}
}

var forbiddenInReplies = regexp.MustCompile(`(?i)goroutine|\.go:|pq:|internal:|select |index out|runtime|huma|echo|go1\.|127\.0\.0\.1`)

// readProblem checks the form every refusal has and gives it.
func readProblem(t *testing.T, reply *http.Response, status int) Problem {
	t.Helper()
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	if err != nil {
		t.Fatal(err)
	}
	if reply.StatusCode != status {
		t.Fatalf("status %d, want %d: %s", reply.StatusCode, status, text)
	}
	if ct := reply.Header.Get("Content-Type"); ct != problemType {
		t.Errorf("content type %q", ct)
	}
	if hit := forbiddenInReplies.Find(text); hit != nil || reply.Header.Get("Server") != "" {
		t.Errorf("the reply gives away %q: %s", hit, text)
	}
	var p Problem
	if reply.Request != nil && reply.Request.Method == "HEAD" {
		return p
	}
	read := json.NewDecoder(bytes.NewReader(text))
	read.DisallowUnknownFields()
	if err := read.Decode(&p); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	if p.Status != status || p.Title == "" || p.Detail == "" || !strings.HasPrefix(p.Type, "/problems/") {
		t.Errorf("incomplete: %s", text)
	}
	if p.RequestID == "" || p.RequestID != reply.Header.Get(headerRequestID) {
		t.Errorf("request id %q, in the header %q", p.RequestID, reply.Header.Get(headerRequestID))
	}
	for _, f := range p.Errors {
		if f.Code == "" || f.Message == "" {
			t.Errorf("empty finding in %s", text)
		}
	}
	return p
}

func TestKindsHaveNamesAndStatusesOfTheirOwn(t *testing.T) {
	names, statuses := map[string]bool{}, map[int]bool{}
	for _, k := range kinds {
		if names[k.name] || statuses[k.status] || k.title == "" || k.detail == "" || kindOfStatus(k.status) != k {
			t.Errorf("%+v", k)
		}
		names[k.name], statuses[k.status] = true, true
	}
	if k := kindOfStatus(418); k.name != "refused" || k.status != 418 {
		t.Errorf("a status without a kind: %+v", k)
	}
	if k := kindOfStatus(599); k != kindInternal {
		t.Errorf("a failure without a kind: %+v", k)
	}
}

func TestAGoodOrderIsTaken(t *testing.T) {
	s, _ := brokenServer(t, Settings{})
	base := serve(t, s)
	for _, accept := range []string{"", "application/json", "application/problem+json, application/json", "text/csv"} {
		req, _ := http.NewRequest("POST", base+"/v1/orders?trial=3", bytes.NewReader(testOrderText(t)))
		req.Header.Set("Content-Type", "Application/JSON; charset=UTF-8")
		req.Header.Set("Accept", accept)
		req.Header.Set(headerRequestID, "till-2_0417.a")
		reply, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		text, _ := io.ReadAll(reply.Body)
		reply.Body.Close()
		var got testOrderReply
		if err := json.Unmarshal(text, &got); err != nil || reply.StatusCode != 201 {
			t.Fatalf("%d %v %s", reply.StatusCode, err, text)
		}
		if got.Order.Lines[2].Choices["label"] != "Front hall, bay 2" || got.Order.Lines[1].Quantity != 2 {
			t.Errorf("lost on the way: %s", text)
		}
		if reply.Header.Get("Content-Type") != "application/json" || reply.Header.Get("ETag") != `"1"` ||
			reply.Header.Get(headerRequestID) != "till-2_0417.a" {
			t.Errorf("headers %v", reply.Header)
		}
		if bytes.Contains(text, []byte("$schema")) || reply.Header.Get("Link") != "" {
			t.Errorf("a schema link is left: %s", text)
		}
	}
}

func TestABegunReplyIsCutNotCompleted(t *testing.T) {
	s, logged := brokenServer(t, Settings{})
	base := serve(t, s)
	for _, path := range []string{"/broken/half", "/broken/nan"} {
		reply, err := http.Get(base + path)
		if err == nil {
			_, err = io.ReadAll(reply.Body)
			reply.Body.Close()
		}
		if err == nil {
			t.Errorf("%s: half a reply looks whole", path)
		}
	}
	if n := strings.Count(logged.String(), `"msg":"panic"`); n != 2 {
		t.Errorf("%d panics logged, want 2", n)
	}
}

func TestRequestIDs(t *testing.T) {
	for _, given := range []string{"", "short", "seven77", letters(65), "with space", "new\nline1234", "ümlaut-1234", "a/b/c/d/e/f"} {
		id := chooseRequestID(given)
		if parsed, err := uuid.Parse(id); err != nil || parsed.Version() != 7 {
			t.Errorf("%q gave %q", given, id)
		}
	}
	for _, given := range []string{"eight888", letters(64), "A.b_c-9999"} {
		if id := chooseRequestID(given); id != given {
			t.Errorf("%q gave %q", given, id)
		}
	}
	if requestID(context.Background()) != "" {
		t.Error("an id outside any request")
	}
}

func TestHealthAsksNobodyAndReadinessAsksOnce(t *testing.T) {
	asked, deadline := 0, time.Duration(0)
	s, _ := brokenServer(t, Settings{Ready: func(ctx context.Context) error {
		asked++
		d, _ := ctx.Deadline()
		deadline = time.Until(d)
		return nil
	}})
	for _, path := range []string{"/healthz", "/readyz"} {
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, httptest.NewRequest("GET", path, nil))
		if w.Code != 200 || w.Body.String() != `{"status":"ok"}` || w.Header().Get("Cache-Control") != "no-store" {
			t.Errorf("%s: %d %s %v", path, w.Code, w.Body, w.Header())
		}
		if path == "/healthz" && asked != 0 {
			t.Error("healthz asked for readiness")
		}
	}
	if asked != 1 || deadline <= 0 || deadline > readyWithin {
		t.Errorf("asked %d times with %v to answer", asked, deadline)
	}
}

func TestDocumentAndRouterAreTheSameSet(t *testing.T) {
	s, err := newServer(Settings{Log: slog.New(slog.DiscardHandler), Ready: func(context.Context) error { return nil }}, registerRoutes)
	if err != nil {
		t.Fatal(err)
	}
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, httptest.NewRequest("GET", "/v1/openapi.json", nil))
	var doc struct {
		OpenAPI string
		Info    struct{ Title string }
		Paths   map[string]map[string]struct {
			Responses map[string]struct {
				Content map[string]any
			}
		}
	}
	if err := json.Unmarshal(w.Body.Bytes(), &doc); err != nil || w.Code != 200 {
		t.Fatalf("%d %v", w.Code, err)
	}
	if !strings.HasPrefix(doc.OpenAPI, "3.1.") || doc.Info.Title != "Billwright" {
		t.Errorf("%q %q", doc.OpenAPI, doc.Info.Title)
	}
	var documented, routed []string
	for path, methods := range doc.Paths {
		for method, op := range methods {
			documented = append(documented, strings.ToUpper(method)+" "+path)
			if _, ok := op.Responses["default"].Content[problemType]; !ok {
				t.Errorf("%s %s documents no problem", method, path)
			}
		}
	}
	for _, r := range s.echo.Routes() {
		routed = append(routed, r.Method+" "+regexp.MustCompile(`:(\w+)`).ReplaceAllString(r.Path, "{$1}"))
	}
	slices.Sort(documented)
	slices.Sort(routed)
	if !slices.Equal(documented, routed) {
		t.Errorf("documented %v\nrouted     %v", documented, routed)
	}
}

func TestSettingsAreChecked(t *testing.T) {
	log, ready := slog.New(slog.DiscardHandler), func(context.Context) error { return nil }
	for _, set := range []Settings{{}, {Log: log}, {Ready: ready}, {Log: log, Ready: ready, MaxBody: -1}, {Log: log, Ready: ready, BodyTimeout: -1}} {
		if s, err := newServer(set, registerService); err == nil || s != nil {
			t.Errorf("%+v was taken", set)
		}
	}
}

// repeatBody hands the same bytes out once per request.
type repeatBody struct{ bytes.Reader }

func (*repeatBody) Close() error { return nil }

type dropReply struct {
	header http.Header
	status int
	size   int
}

func (d *dropReply) Header() http.Header         { return d.header }
func (d *dropReply) WriteHeader(status int)      { d.status = status }
func (d *dropReply) Write(p []byte) (int, error) { d.size += len(p); return len(p), nil }

// BenchmarkOrderRequest is all the framework costs a request: routing, id,
// time limit, strict decoding of 1.5 kB, encoding of 3 kB; no socket.
func BenchmarkOrderRequest(b *testing.B) {
	s, _ := brokenServer(b, Settings{})
	text := testOrderText(b)
	w := &dropReply{header: http.Header{}}
	body := &repeatBody{}
	r := httptest.NewRequest("POST", "/v1/orders", nil)
	r.Header.Set("Content-Type", "application/json")
	r.ContentLength = int64(len(text))
	r.Body = body
	b.ReportAllocs()
	for b.Loop() {
		body.Reset(text)
		clear(w.header)
		w.size = 0
		s.Handler().ServeHTTP(w, r)
	}
	if w.status != 201 {
		b.Fatal(w.status)
	}
	b.ReportMetric(float64(len(text)), "B-in")
	b.ReportMetric(float64(w.size), "B-out")
}

func BenchmarkDecodeStrict(b *testing.B) {
	text := testOrderText(b)
	b.ReportAllocs()
	for b.Loop() {
		var order testOrder
		if f := decodeStrict(text, &order); f != nil {
			b.Fatal(f)
		}
	}
}
