// Package api is the HTTP interface of the service: routes, strict JSON in,
// JSON and problem documents (RFC 9457) out. Nothing outside this package
// knows of HTTP.
package api

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/labstack/echo/v4"
)

// Settings is what a Server is made with. Zero durations and sizes take the
// defaults given.
type Settings struct {
	Log *slog.Logger // required
	// Ready reports why the service cannot take requests, nil when it can. Required.
	Ready func(ctx context.Context) error
	// Pool is the database, as the service's own role. Required.
	Pool *pgxpool.Pool
	// Clock is the time live workshops go by: time.Now.
	Clock func() time.Time
	// Address is what people reach the service under, such as https://desk.example,
	// printed in the scannable codes of papers: the host that was asked.
	Address string

	MaxBody        int64         // bytes a body may have: 1 MiB
	BodyTimeout    time.Duration // for a body to arrive: 5 s
	RequestTimeout time.Duration // for a handler to answer: 15 s

	LoadAge time.Duration // how old the sums may be that a promise is held against; 0 reads them for each order
}

// Server answers the HTTP interface. Make it with New; it is then safe for
// concurrent use.
type Server struct {
	set  Settings
	log  *slog.Logger
	echo *echo.Echo
	api  huma.API

	keys      *keyring
	standings *standings
	saws      *sawing
	loads     *loads
	importing *importRuns

	document func() ([]byte, error) // OpenAPI, made once
}

// New makes a server with every route registered. It fails when a required
// setting is missing or a route is at fault.
func New(set Settings) (*Server, error) {
	if set.Pool == nil {
		return nil, errors.New("api: settings need Pool")
	}
	return newServer(set, registerRoutes)
}

// newServer makes a server with the routes that it is given.
func newServer(set Settings, routes func(*Server)) (s *Server, err error) {
	if set.Log == nil || set.Ready == nil {
		return nil, errors.New("api: settings need Log and Ready")
	}
	if set.MaxBody < 0 || set.BodyTimeout < 0 || set.RequestTimeout < 0 {
		return nil, errors.New("api: settings below zero")
	}
	set.MaxBody = orDefault(set.MaxBody, 1<<20)
	set.BodyTimeout = orDefault(set.BodyTimeout, 5*time.Second)
	set.RequestTimeout = orDefault(set.RequestTimeout, 15*time.Second)
	if set.Clock == nil {
		set.Clock = time.Now
	}

	s = &Server{set: set, log: set.Log, echo: echo.New(), keys: newKeyring(set.Pool), standings: newStandings(set.Pool, set.Clock), saws: newSawing(), importing: newImportRuns(), loads: &loads{age: set.LoadAge}}
	s.echo.IPExtractor = echo.ExtractIPDirect() // else any client chooses its own address by X-Forwarded-For
	s.echo.HTTPErrorHandler = s.routerError
	s.echo.Pre(rowAddress)
	s.echo.Use(s.guard)
	s.api = jsonOnly{humaecho.New(s.echo, apiConfig())}
	s.document = sync.OnceValues(s.api.OpenAPI().MarshalJSON)

	defer func() { // a route at fault panics while it is registered
		if v := recover(); v != nil {
			s, err = nil, fmt.Errorf("api: registering routes: %v", v)
		}
	}()
	routes(s)
	return s, nil
}

func orDefault[T int64 | time.Duration](v, def T) T {
	if v == 0 {
		return def
	}
	return v
}

// Handler gives the whole interface as one handler.
func (s *Server) Handler() http.Handler { return s.echo }

// HTTPServer gives a server for Handler with every time limit set but the one
// on reading: a body's time is bounded where it is read, because the server's
// own limit would also cancel a handler that takes longer than it.
func (s *Server) HTTPServer(addr string) *http.Server {
	return &http.Server{
		Addr:              addr,
		Handler:           s.Handler(),
		ReadHeaderTimeout: 5 * time.Second,
		WriteTimeout:      60 * time.Second,
		IdleTimeout:       90 * time.Second,
		MaxHeaderBytes:    32 << 10,
		ErrorLog:          slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
}

// baseOf is the address that papers lead to: the settings', or the one asked.
func (s *Server) baseOf(r *http.Request) string {
	switch {
	case s.set.Address != "":
		return strings.TrimSuffix(s.set.Address, "/")
	case r.TLS != nil:
		return "https://" + r.Host
	}
	return "http://" + r.Host
}

// guard gives a request its id and time limit, and answers a panic.
func (s *Server) guard(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		info := &requestInfo{id: chooseRequestID(r.Header.Get(headerRequestID)), base: s.baseOf(r)}
		c.Response().Header().Set(headerRequestID, info.id)
		ctx, cancel := context.WithTimeout(context.WithValue(r.Context(), requestInfoKey{}, info), s.set.RequestTimeout)
		defer cancel()
		c.SetRequest(r.WithContext(ctx))
		defer s.answerPanic(c, info)
		err := next(c)
		if r.Body != http.NoBody && !info.bodyDone {
			// The connection waits for the rest of an unread body; not for long.
			_ = http.NewResponseController(c.Response().Writer).SetReadDeadline(time.Now().Add(time.Second))
		}
		return err
	}
}

// answerPanic logs a panic with its stack and answers 500, or cuts the
// connection when a reply has begun: half a reply must not look whole.
func (s *Server) answerPanic(c echo.Context, info *requestInfo) {
	v := recover()
	if v == nil {
		return
	}
	if v == http.ErrAbortHandler { //nolint:errorlint // it is panicked with by value
		panic(v)
	}
	s.log.ErrorContext(c.Request().Context(), "panic", "request_id", info.id, "method", c.Request().Method,
		"route", c.Path(), "panic", panicText(v), "stack", string(debug.Stack()))
	if c.Response().Committed {
		panic(http.ErrAbortHandler)
	}
	p := newProblem(kindInternal, "")
	p.RequestID = info.id
	s.write(c, p)
}

// panicText keeps what the runtime or an error says; any other value may hold
// what a client sent, so only its type is logged.
func panicText(v any) string {
	switch v := v.(type) {
	case runtime.Error:
		return v.Error()
	case error:
		return v.Error()
	}
	return fmt.Sprintf("a value of type %T", v)
}

// routerError answers what the router refuses: no such route, no such method.
func (s *Server) routerError(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	s.write(c, s.refusal(c.Request().Context(), c.Request().Method, c.Path(), err))
}

// write sends a problem outside the framework's own path.
func (s *Server) write(c echo.Context, p *Problem) {
	h := c.Response().Header()
	for name, values := range p.headers {
		h[name] = values
	}
	h.Set("Content-Type", problemType)
	h.Del("Content-Length")
	c.Response().WriteHeader(p.Status)
	if c.Request().Method == http.MethodHead {
		return
	}
	if err := writeJSON(c.Response(), p); err != nil {
		s.log.WarnContext(c.Request().Context(), "problem not sent", "request_id", p.RequestID, "error", err.Error())
	}
}
