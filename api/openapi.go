package api

import (
	"context"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// apiVersion is the version of the interface, not of the program.
const apiVersion = "1.0.0"

const apiDescription = "Orders of made-to-order furniture and their bills of material. " +
	"Fields are added and never taken away within v1: ignore those you do not know. Unknown fields of a request are refused. " +
	"Every refusal is a problem document (RFC 9457) that lists all faults at once."

const schemasPath = "#/components/schemas/"

func apiConfig() huma.Config {
	return huma.Config{
		OpenAPI: &huma.OpenAPI{
			OpenAPI: "3.1.0",
			Info:    &huma.Info{Title: "Billwright", Version: apiVersion, Description: apiDescription},
			Components: &huma.Components{
				Schemas: huma.NewMapRegistry(schemasPath, huma.DefaultSchemaNamer),
				SecuritySchemes: map[string]*huma.SecurityScheme{
					keyScheme: {Type: "http", Scheme: "bearer", Description: "A key of the workshop's, such as bw1_ and 90 further signs."},
				},
			},
		},
		Formats:       formats,
		DefaultFormat: "application/json",
	}
}

type openAPIOutput struct {
	ContentType string `header:"Content-Type"`
	Body        []byte
}

// registerOpenAPI serves the document of every operation, its own among them.
func registerOpenAPI(s *Server) {
	register(s, huma.Operation{
		OperationID: "get-openapi",
		Method:      http.MethodGet,
		Path:        "/v1/openapi.json",
		Summary:     "Get this document",
		Tags:        []string{"service"},
		Responses: map[string]*huma.Response{"200": {
			Description: "The interface as an OpenAPI 3.1 document.",
			Content:     map[string]*huma.MediaType{"application/json": {Schema: &huma.Schema{Type: huma.TypeObject}}},
		}},
	}, func(context.Context, *struct{}) (*openAPIOutput, error) {
		text, err := s.document()
		if err != nil {
			return nil, internal(err)
		}
		return &openAPIOutput{ContentType: "application/json", Body: text}, nil
	})
}

// leaveRepliesOpen tells clients that objects of replies may come with further
// fields, which the framework documents as closed. Objects of requests are
// closed: unknown fields of them are refused.
func leaveRepliesOpen(doc *huma.OpenAPI) {
	closed := map[string]bool{}
	for _, item := range doc.Paths {
		for _, op := range []*huma.Operation{item.Get, item.Post, item.Put, item.Delete} {
			if op != nil && op.RequestBody != nil {
				for _, media := range op.RequestBody.Content {
					within(doc, media.Schema, closed)
				}
			}
		}
	}
	for name, schema := range doc.Components.Schemas.Map() {
		if !closed[name] && schema.AdditionalProperties == false {
			schema.AdditionalProperties = nil
		}
	}
}

// within gathers the named schemas that a schema is made of.
func within(doc *huma.OpenAPI, s *huma.Schema, names map[string]bool) {
	if s == nil {
		return
	}
	if name, found := strings.CutPrefix(s.Ref, schemasPath); found && !names[name] {
		names[name] = true
		within(doc, doc.Components.Schemas.Map()[name], names)
	}
	within(doc, s.Items, names)
	for _, property := range s.Properties {
		within(doc, property, names)
	}
}
