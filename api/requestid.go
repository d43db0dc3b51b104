package api

import (
	"context"

	"github.com/google/uuid"
)

// headerRequestID carries the request's id in both directions.
const headerRequestID = "X-Request-Id"

// requestInfo is what the service knows of one request from its first byte
// on. A pointer to it travels in the request's context, so whatever a later
// middleware finds out (who is asking) can be added without another context.
type requestInfo struct {
	id string
	// bodyDone is true once the body was read to its end; a body left unread
	// must not be waited for when the reply is out.
	bodyDone bool
	// who asks, nil on public routes.
	who *principal
	// base is the address that was asked, such as https://desk.example: what codes
	// on papers begin with unless the settings say otherwise.
	base string
}

type requestInfoKey struct{}

// requestOf gives the request's info, or an empty one outside a request.
func requestOf(ctx context.Context) *requestInfo {
	if info, ok := ctx.Value(requestInfoKey{}).(*requestInfo); ok {
		return info
	}
	return &requestInfo{}
}

// requestID gives the id under which the request is logged, "" outside one.
func requestID(ctx context.Context) string { return requestOf(ctx).id }

// chooseRequestID keeps a client's id when it is 8 to 64 letters, digits, dots,
// dashes or underscores: anything else could forge log lines or reply headers.
// Otherwise it makes a UUIDv7.
func chooseRequestID(given string) string {
	if saneRequestID(given) {
		return given
	}
	id, err := uuid.NewV7()
	if err != nil { // the system's randomness failed: still answer, still traceable by time
		return uuid.Nil.String()
	}
	return id.String()
}

func saneRequestID(id string) bool {
	if len(id) < 8 || len(id) > 64 {
		return false
	}
	for _, c := range []byte(id) {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9':
		case c == '-', c == '_', c == '.':
		default:
			return false
		}
	}
	return true
}
