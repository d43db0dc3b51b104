package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/labstack/echo/v4"

	"billwright/catalog"
	"billwright/migrations/tenancy"
)

// problemType is the media type of every refusal (RFC 9457).
const problemType = "application/problem+json"

// Finding is one fault of a request, with enough said to mend it.
type Finding struct {
	Pointer   string           `json:"pointer,omitempty" doc:"JSON Pointer (RFC 6901) into the body; empty for the body as a whole."`
	Parameter string           `json:"parameter,omitempty" doc:"The parameter at fault, such as query.limit, path.id or header.If-Match."`
	Code      string           `json:"code" doc:"Stable word for the kind of fault."`
	Message   string           `json:"message" doc:"What is wrong and what would do instead."`
	Allowed   []string         `json:"allowed,omitempty" doc:"The values that would be accepted."`
	Nearest   []string         `json:"nearest,omitempty" doc:"What was probably meant."`
	Ways      []catalog.WayOut `json:"ways,omitempty" doc:"Ways out: each a value to write at a place of the body, with which it would be taken."`
	// NearestOrder stands at the first finding of a line that another choice mends.
	NearestOrder []changeShown `json:"nearest_order,omitempty" doc:"At the first finding of a line that another choice mends: what to change of the line, and as little as can be, to have what can be built."`
}

// Error makes a Finding usable as an error where the framework wants one.
func (f Finding) Error() string { return f.Message }

// Problem is the body of every reply that is not a success (RFC 9457).
type Problem struct {
	Type      string    `json:"type" doc:"Stable URI reference of the kind of problem."`
	Title     string    `json:"title" doc:"The kind of problem in a few words."`
	Status    int       `json:"status" doc:"The HTTP status."`
	Detail    string    `json:"detail,omitempty" doc:"What happened this time."`
	RequestID string    `json:"request_id,omitempty" doc:"The id under which the service logged the request."`
	Existing  string    `json:"existing,omitempty" doc:"Path of what stands in the way, such as the order that already has the purchase order number."`
	Errors    []Finding `json:"errors,omitempty" doc:"Every fault found, in the order of the body."`

	headers http.Header
	cause   error // for the log only, never written to a reply
}

// Error gives the detail, and the cause where there is one: it is for logs.
func (p *Problem) Error() string {
	if p.cause != nil {
		return p.Detail + ": " + p.cause.Error()
	}
	return p.Detail
}

// Unwrap gives the cause, which may be nil.
func (p *Problem) Unwrap() error { return p.cause }

// GetStatus gives the HTTP status (huma.StatusError).
func (p *Problem) GetStatus() int { return p.Status }

// GetHeaders gives the headers that go with the reply (huma.HeadersError).
func (p *Problem) GetHeaders() http.Header { return p.headers }

// ContentType gives the problem media type whatever was negotiated.
func (p *Problem) ContentType(string) string { return problemType }

// kind is one family of refusals. Its name ends the problem's type URI and,
// like the status, never changes once released.
type kind struct {
	name   string
	status int
	title  string
	detail string // what is said when nothing better is known
}

// The kinds of refusal: the one table from what went wrong to an HTTP status.
var (
	kindSyntax       = kind{"bad-syntax", http.StatusBadRequest, "The request cannot be read", "The request does not follow the form of this interface."}
	kindUnauthorised = kind{"unauthorised", http.StatusUnauthorized, "Not signed in", "The request carries no valid key."}
	kindForbidden    = kind{"forbidden", http.StatusForbidden, "Not allowed", "This key may not do that."}
	kindNotFound     = kind{"not-found", http.StatusNotFound, "Not found", "There is nothing here under that name."}
	kindMethod       = kind{"method-not-allowed", http.StatusMethodNotAllowed, "Method not allowed", "This resource does not take that method; the Allow header lists those it takes."}
	kindNotAccepted  = kind{"not-acceptable", http.StatusNotAcceptable, "Not available in that form", "This resource is not available in the form asked for."}
	kindTimeout      = kind{"request-timeout", http.StatusRequestTimeout, "The request came too slowly", "The body did not arrive in time."}
	kindConflict     = kind{"conflict", http.StatusConflict, "Conflict", "The request does not fit the present state."}
	kindPrecondition = kind{"precondition-failed", http.StatusPreconditionFailed, "Changed in the meantime", "The resource is no longer at the version named in If-Match."}
	kindTooLarge     = kind{"too-large", http.StatusRequestEntityTooLarge, "The body is too large", "The body is larger than this resource takes."}
	kindUnsupported  = kind{"unsupported-media-type", http.StatusUnsupportedMediaType, "Unsupported media type", "Send the body as application/json."}
	kindInvalid      = kind{"invalid", http.StatusUnprocessableEntity, "The request does not hold", "The request can be read, but what it says does not hold; see errors."}
	kindNeedsMatch   = kind{"precondition-required", http.StatusPreconditionRequired, "If-Match is required", "Send If-Match with the ETag of the version you changed."}
	kindTooMany      = kind{"too-many-requests", http.StatusTooManyRequests, "Too many requests", "Too many requests; try again after the time in Retry-After."}
	kindHeaders      = kind{"headers-too-large", http.StatusRequestHeaderFieldsTooLarge, "The headers are too large", "The request's headers are too large."}
	kindInternal     = kind{"internal", http.StatusInternalServerError, "The service failed", "The service failed to answer. Nothing is known to be wrong with the request; quote the request id when asking about it."}
	kindUnavailable  = kind{"unavailable", http.StatusServiceUnavailable, "Not available at the moment", "The service cannot answer at the moment; try again after the time in Retry-After."}
)

var kinds = []kind{
	kindSyntax, kindUnauthorised, kindForbidden, kindNotFound, kindMethod, kindNotAccepted, kindTimeout,
	kindConflict, kindPrecondition, kindTooLarge, kindUnsupported, kindInvalid, kindNeedsMatch, kindTooMany,
	kindHeaders, kindInternal, kindUnavailable,
}

// errorKinds maps errors known by value to their kind; whatever is in no row
// and is no Problem is the service's own failure.
var errorKinds = []struct {
	err  error
	kind kind
}{
	{context.DeadlineExceeded, kindUnavailable},
	{context.Canceled, kindUnavailable},
}

// kindOfStatus finds the kind of a status a framework chose.
func kindOfStatus(status int) kind {
	for _, k := range kinds {
		if k.status == status {
			return k
		}
	}
	if status >= 400 && status < 500 {
		return kind{"refused", status, http.StatusText(status), "The request was refused."}
	}
	return kindInternal
}

// newProblem makes a problem of a kind; an empty detail takes the kind's own.
func newProblem(k kind, detail string, findings ...Finding) *Problem {
	if detail == "" {
		detail = k.detail
	}
	return &Problem{Type: "/problems/" + k.name, Title: k.title, Status: k.status, Detail: detail, Errors: findings}
}

func notFound(detail string) *Problem           { return newProblem(kindNotFound, detail) }
func conflict(detail string) *Problem           { return newProblem(kindConflict, detail) }
func forbidden(detail string) *Problem          { return newProblem(kindForbidden, detail) }
func preconditionFailed(detail string) *Problem { return newProblem(kindPrecondition, detail) }
func preconditionRequired() *Problem            { return newProblem(kindNeedsMatch, "") }
func unsupported(detail string) *Problem        { return newProblem(kindUnsupported, detail) }
func badSyntax(detail string, findings ...Finding) *Problem {
	return newProblem(kindSyntax, detail, findings...)
}

// unauthorised names the scheme to use, as RFC 9110 section 11.6.1 asks.
func unauthorised(detail string) *Problem {
	return newProblem(kindUnauthorised, detail).withHeader("WWW-Authenticate", "Bearer")
}

// invalid is for requests that can be read but do not hold; it takes every
// fault found, in the order of the body.
func invalid(findings ...Finding) *Problem { return newProblem(kindInvalid, "", findings...) }

func tooLarge(limit int64) *Problem {
	return newProblem(kindTooLarge, fmt.Sprintf("The body may be at most %d bytes.", limit))
}

// unavailable asks the client to come back; after is rounded up to whole seconds, at least 1.
func unavailable(after time.Duration, cause error) *Problem {
	p := newProblem(kindUnavailable, "").withHeader("Retry-After", retryAfter(after))
	p.cause = cause
	return p
}

// tooMany asks the client to slow down; after is rounded up to whole seconds, at least 1.
func tooMany(after time.Duration, detail string) *Problem {
	return newProblem(kindTooMany, detail).withHeader("Retry-After", retryAfter(after))
}

// internal hides the cause from the reply and keeps it for the log.
func internal(cause error) *Problem {
	p := newProblem(kindInternal, "")
	p.cause = cause
	return p
}

func retryAfter(d time.Duration) string {
	return strconv.FormatInt(max(1, int64((d+time.Second-1)/time.Second)), 10)
}

func (p *Problem) withHeader(name, value string) *Problem {
	if p.headers == nil {
		p.headers = http.Header{}
	}
	p.headers.Set(name, value)
	return p
}

// asProblem turns any error into the problem it is answered with. The result
// is a copy that may be changed.
func asProblem(err error) *Problem {
	var p *Problem
	if errors.As(err, &p) {
		c := *p
		if c.cause == nil && error(p) != err {
			c.cause = err
		}
		return &c
	}
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return tooLarge(large.Limit)
	}
	var he *echo.HTTPError
	if errors.As(err, &he) {
		q := newProblem(kindOfStatus(he.Code), "")
		q.cause = he.Internal
		return q
	}
	for _, row := range errorKinds {
		if errors.Is(err, row.err) {
			q := newProblem(row.kind, "")
			q.cause = err
			if row.kind == kindUnavailable {
				q.withHeader("Retry-After", retryAfter(time.Second))
			}
			return q
		}
	}
	if tenancy.Unavailable(err) {
		return unavailable(time.Second, err)
	}
	return internal(err)
}

// frameworkTexts replaces the few sentences huma speaks by itself.
var frameworkTexts = map[string]string{
	"validation failed":         "",
	"unexpected error occurred": "",
	"cannot read request body":  "",
	"request body is required":  "The request has no body.",
}

// Every error the framework makes by itself becomes a Problem. huma knows only
// package-wide hooks, hence the init.
func init() {
	huma.DefaultArrayNullable = false
	huma.ValidateStrictCasing = true
	huma.NewError = func(status int, msg string, errs ...error) huma.StatusError {
		return frameworkProblem(nil, status, msg, errs)
	}
	huma.NewErrorWithContext = func(ctx huma.Context, status int, msg string, errs ...error) huma.StatusError {
		p := frameworkProblem(ctx.Operation(), status, msg, errs)
		p.RequestID = requestID(ctx.Context())
		return p
	}
}

// frameworkProblem makes a Problem of what huma found out. Its texts are kept
// only below 500, and the value it echoes is dropped.
func frameworkProblem(op *huma.Operation, status int, msg string, errs []error) *Problem {
	if known, ok := frameworkTexts[msg]; ok {
		msg = known
	}
	if status >= 500 || status == 0 {
		p := newProblem(kindOfStatus(status), "")
		p.cause = errors.Join(errs...)
		return p
	}
	var findings []Finding
	for _, err := range errs {
		findings = append(findings, findingsOf(op, err)...)
	}
	if status == http.StatusUnprocessableEntity {
		return faulty(findings)
	}
	return newProblem(kindOfStatus(status), msg, findings...)
}

// faulty is the problem for a list of faults: 400 when one of them is a fault
// of form, otherwise 422.
func faulty(findings []Finding) *Problem {
	k := kindInvalid
	for _, f := range findings {
		if faultsOfForm[f.Code] {
			k = kindSyntax
			break
		}
	}
	detail := ""
	if len(findings) >= maxFindings {
		detail = fmt.Sprintf("Only the first %d faults are listed.", maxFindings)
	}
	return newProblem(k, detail, findings...)
}

func findingsOf(op *huma.Operation, err error) []Finding {
	var f Finding
	if errors.As(err, &f) {
		return []Finding{f}
	}
	var p *Problem
	if errors.As(err, &p) {
		return p.Errors
	}
	var d *huma.ErrorDetail
	if !errors.As(err, &d) {
		return nil
	}
	if text, ok := d.Value.(string); ok && d.Location == "body" {
		// huma keeps only the text of a decoder's error, so a refused body is
		// decoded once more to name its faults; accepted ones never are.
		if found := findBodyFaults(op, []byte(text)); found != nil {
			return found
		}
		return []Finding{{Code: codeSyntax, Message: "The body cannot be read."}}
	}
	return []Finding{parameterFinding(d)}
}

func parameterFinding(d *huma.ErrorDetail) Finding {
	f := Finding{Parameter: d.Location, Code: codeParameter, Message: "This parameter does not hold: " + d.Message + "."}
	switch {
	case d.Message == "unknown query parameter":
		f.Code, f.Message = codeUnknownParameter, "There is no such query parameter here."
	case len(d.Message) > 8 && d.Message[:8] == "required":
		f.Code, f.Message = codeMissing, "This parameter is required."
	}
	return f
}
