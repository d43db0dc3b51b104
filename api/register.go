package api

import (
	"bytes"
	"context"
	"errors"
	"io"
	"log/slog"
	"mime"
	"net"
	"net/http"
	"reflect"
	"strings"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"
	"github.com/go-json-experiment/json"
	"github.com/labstack/echo/v4"
)

// metaBody is the key in an operation's metadata of the Go type of its body.
const metaBody = "body"

// register adds one operation to the router and to the document. It is the
// only way to do so: it bounds and checks the body, has it decoded strictly
// and once, and turns whatever error h returns into a problem.
//
// In's field Body, if it has one, is the JSON body: every field named by a json
// tag, every array with maxItems. A field RawBody []byte takes a body of
// another type instead, unread but bounded. op.MaxBodyBytes and
// op.BodyReadTimeout replace the server's own bounds when set.
func register[In, Out any](s *Server, op huma.Operation, h func(context.Context, *In) (*Out, error)) {
	op.RejectUnknownQueryParameters = true
	in := reflect.TypeFor[In]()
	body, isJSON := in.FieldByName("Body")
	_, isRaw := in.FieldByName("RawBody")
	if isJSON || isRaw {
		limit, wait := s.set.MaxBody, s.set.BodyTimeout
		if op.MaxBodyBytes > 0 {
			limit = op.MaxBodyBytes
		}
		if op.BodyReadTimeout > 0 {
			wait = op.BodyReadTimeout
		}
		gate := bodyGate{server: s, limit: limit, wait: wait, json: isJSON}
		op.Middlewares = append(append(huma.Middlewares{}, op.Middlewares...), gate.pass)
		op.MaxBodyBytes, op.BodyReadTimeout = -1, -1 // the gate has seen to both
	}
	if isJSON {
		planOf(body.Type)
		meta := map[string]any{metaBody: body.Type}
		for k, v := range op.Metadata {
			meta[k] = v
		}
		op.Metadata = meta
		op.SkipValidateBody = true // decodeStrict checks the schema as it reads
	}
	huma.Register(s.api, op, func(ctx context.Context, in *In) (*Out, error) {
		out, err := h(ctx, in)
		if err != nil {
			return nil, s.refusal(ctx, op.Method, op.Path, err)
		}
		return out, nil
	})
}

// findBodyFaults decodes a refused body again for its faults.
func findBodyFaults(op *huma.Operation, body []byte) []Finding {
	t, ok := op.Metadata[metaBody].(reflect.Type)
	if !ok {
		return nil
	}
	return decodePlanned(body, planOf(t), reflect.New(t).Elem())
}

// refusal is the problem an error is answered with; a failure of the service's
// own is logged with its cause.
func (s *Server) refusal(ctx context.Context, method, route string, err error) *Problem {
	p := asProblem(err)
	p.RequestID = requestID(ctx)
	if p.Status >= 500 {
		level := slog.LevelError
		if p.Status == http.StatusServiceUnavailable { // overload, or the client hung up
			level = slog.LevelWarn
		}
		s.log.Log(ctx, level, "request failed", "request_id", p.RequestID, "method", method, "route", route,
			"status", p.Status, "error", err.Error())
	}
	return p
}

// jsonOnly is the framework's API with one format: replies are JSON whatever
// Accept asks for, which RFC 9110 section 12.5.1 allows, and never 406.
type jsonOnly struct{ huma.API }

func (jsonOnly) Negotiate(string) (string, error) { return "application/json", nil }

var formats = map[string]huma.Format{
	"application/json": {Marshal: writeJSON, Unmarshal: readJSON},
	problemType:        {Marshal: writeJSON, Unmarshal: readJSON},
}

// errBody tells huma that a body was refused; what is wrong with it is found
// again by findBodyFaults.
var errBody = errors.New("the body does not hold")

func readJSON(data []byte, into any) error {
	if decodeStrict(data, into) != nil {
		return errBody
	}
	return nil
}

// writeJSON encodes before the first byte leaves, maps in the order of their
// keys so that equal values give equal bytes.
func writeJSON(w io.Writer, v any) error {
	buf := encodings.Get().(*bytes.Buffer)
	buf.Reset()
	err := json.MarshalWrite(buf, v, encodeOptions)
	if err == nil {
		_, err = w.Write(buf.Bytes())
	}
	if buf.Cap() <= 64<<10 {
		encodings.Put(buf)
	}
	return err
}

var (
	encodings     = sync.Pool{New: func() any { return new(bytes.Buffer) }}
	encodeOptions = json.Deterministic(true)
)

// bodyGate reads an operation's body whole, within its bounds of bytes and
// time, before anything else looks at it.
type bodyGate struct {
	server *Server
	limit  int64
	wait   time.Duration
	json   bool
}

func (g bodyGate) pass(ctx huma.Context, next func(huma.Context)) {
	c := humaecho.Unwrap(ctx)
	body, problem := g.read(ctx.Context(), c)
	if problem != nil {
		problem.RequestID = requestID(ctx.Context())
		g.server.write(c, problem)
		return
	}
	next(bodyContext{ctx, body, g.json})
}

// frameworkContext is huma.Context under a name that does not hide its method Context.
type frameworkContext huma.Context

// bodyContext is the framework's context with the body already read.
type bodyContext struct {
	frameworkContext
	body *bodyReader
	json bool
}

func (c bodyContext) BodyReader() io.Reader { return c.body }

// Header gives the media type in the one spelling the framework looks up, once
// the gate has found it to be JSON in whatever case and with whatever charset.
func (c bodyContext) Header(name string) string {
	if c.json && name == "Content-Type" {
		return "application/json"
	}
	return c.frameworkContext.Header(name)
}

// Unwrap lets the adapter find its own context (humaecho.Unwrap).
func (c bodyContext) Unwrap() huma.Context { return c.frameworkContext }

// SetReadDeadline does nothing: the gate is done with the connection.
func (c bodyContext) SetReadDeadline(time.Time) error { return nil }

// bodyReader hands a body over in one piece.
type bodyReader struct{ rest []byte }

func (r *bodyReader) Read(p []byte) (int, error) {
	if len(r.rest) == 0 {
		return 0, io.EOF
	}
	n := copy(p, r.rest)
	r.rest = r.rest[n:]
	if len(r.rest) == 0 {
		return n, io.EOF
	}
	return n, nil
}

func (g bodyGate) read(ctx context.Context, c echo.Context) (*bodyReader, *Problem) {
	r := c.Request()
	if r.ContentLength > g.limit {
		c.Response().Header().Set("Connection", "close")
		return nil, tooLarge(g.limit)
	}
	if problem := g.checkType(r.Header); problem != nil && r.ContentLength != 0 {
		return nil, problem
	}
	control := http.NewResponseController(c.Response().Writer)
	// A recorder in a test has no connection and no deadline: nothing to bound.
	_ = control.SetReadDeadline(time.Now().Add(g.wait))
	data, err := readBounded(http.MaxBytesReader(c.Response().Writer, r.Body, g.limit), r.ContentLength)
	if err != nil {
		return nil, bodyProblem(err, g.limit)
	}
	// Left in place, the deadline would end a handler that takes longer.
	_ = control.SetReadDeadline(time.Time{})
	requestOf(ctx).bodyDone = true
	if len(data) == 0 && g.json {
		return nil, badSyntax("The request has no body; send a JSON object.")
	}
	return &bodyReader{data}, nil
}

func bodyProblem(err error, limit int64) *Problem {
	var large *http.MaxBytesError
	var slow net.Error
	switch {
	case errors.As(err, &large):
		return tooLarge(limit)
	case errors.As(err, &slow) && slow.Timeout():
		return newProblem(kindTimeout, "").withHeader("Connection", "close")
	}
	return badSyntax("The body ends before its announced length, or its transfer coding is broken.").withHeader("Connection", "close")
}

// readBounded reads to the end of r. It takes what was announced at once and
// otherwise doubles, so that a body of n bytes costs less than 4n.
func readBounded(r io.Reader, announced int64) ([]byte, error) {
	size := int64(4 << 10)
	if announced >= 0 {
		size = min(announced, 16<<10) // an announcement alone reserves little
	}
	data := make([]byte, 0, size+1) // one more to see the end
	for {
		n, err := r.Read(data[len(data):cap(data)])
		data = data[:len(data)+n]
		if err == io.EOF {
			return data, nil
		}
		if err != nil {
			return nil, err
		}
		if len(data) == cap(data) {
			grown := make([]byte, len(data), 2*cap(data))
			copy(grown, data)
			data = grown
		}
	}
}

// checkType wants plain JSON in UTF-8: a body in a coding or character set of
// its own would be misread.
func (g bodyGate) checkType(h http.Header) *Problem {
	if coding := h.Get("Content-Encoding"); coding != "" && !strings.EqualFold(coding, "identity") {
		return unsupported("Send the body without a Content-Encoding.").withHeader("Accept-Encoding", "identity")
	}
	if !g.json {
		return nil
	}
	media, params, err := mime.ParseMediaType(h.Get("Content-Type"))
	if err != nil || media != "application/json" {
		return unsupported("").withHeader("Accept", "application/json")
	}
	if set, given := params["charset"]; given && !strings.EqualFold(set, "utf-8") {
		return unsupported("JSON is UTF-8; send no other charset.")
	}
	return nil
}
