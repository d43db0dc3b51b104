package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
)

// readyWithin bounds the question whether the service can take requests, so
// that a pool without a free connection is an answer and no hang.
const readyWithin = time.Second

type healthOutput struct {
	CacheControl string `header:"Cache-Control"`
	Body         struct {
		Status string `json:"status" enum:"ok" doc:"Always ok: anything else is a problem document."`
	}
}

func healthy() *healthOutput {
	out := &healthOutput{CacheControl: "no-store"}
	out.Body.Status = "ok"
	return out
}

// registerHealth adds the two questions a supervisor asks. The first is about
// the process alone and touches nothing; the second asks Settings.Ready.
func registerHealth(s *Server) {
	register(s, huma.Operation{
		OperationID: "get-healthz", Method: http.MethodGet, Path: "/healthz", Tags: []string{"service"},
		Summary: "Tell whether the process is alive",
	}, func(context.Context, *struct{}) (*healthOutput, error) { return healthy(), nil })

	register(s, huma.Operation{
		OperationID: "get-readyz", Method: http.MethodGet, Path: "/readyz", Tags: []string{"service"},
		Summary: "Tell whether the service can take requests",
	}, func(ctx context.Context, _ *struct{}) (*healthOutput, error) {
		ctx, cancel := context.WithTimeout(ctx, readyWithin)
		defer cancel()
		if err := s.set.Ready(ctx); err != nil {
			return nil, unavailable(time.Second, err)
		}
		return healthy(), nil
	})
}
