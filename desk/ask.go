package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"

	"billwright/api"
)

// answer is what the interface answered a question of the desk's.
type answer struct {
	status int
	header http.Header
	body   bytes.Buffer
	problem
}

// problem is a refusal of the interface.
type problem struct {
	Title    string        `json:"title"`
	Detail   string        `json:"detail"`
	Existing string        `json:"existing"`
	Errors   []api.Finding `json:"errors"`
}

// Header, Write and WriteHeader make an answer an http.ResponseWriter.
func (a *answer) Header() http.Header { return a.header }

func (a *answer) WriteHeader(status int) {
	if a.status == 0 {
		a.status = status
	}
}

func (a *answer) Write(b []byte) (int, error) {
	a.WriteHeader(http.StatusOK)
	return a.body.Write(b)
}

func (a *answer) ok() bool { return a.status >= 200 && a.status < 300 }

// Error makes a refusal an error where a page cannot go on without.
func (a *answer) Error() string {
	return fmt.Sprintf("the interface answered %d: %s %s", a.status, a.Title, a.Detail)
}

// ask asks the interface as the person. Body is JSON text, nil for none; headers
// are by name and value. The error is not of the interface but of the asking.
func (v *visit) ask(method, path string, body []byte, headers ...string) (*answer, error) {
	return v.desk.ask(v.Context(), v.person, method, path, body, append([]string{"Host", v.Host}, headers...)...)
}

func (d *Desk) ask(ctx context.Context, p api.Person, method, path string, body []byte, headers ...string) (*answer, error) {
	r, err := http.NewRequestWithContext(ctx, method, path, bytes.NewReader(body))
	if err != nil {
		return nil, fmt.Errorf("ask %s %s: %w", method, path, err)
	}
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	} else {
		r.Body = http.NoBody
	}
	for i := 0; i+1 < len(headers); i += 2 {
		if headers[i] == "Host" { // which papers print
			r.Host = headers[i+1]
			continue
		}
		r.Header.Set(headers[i], headers[i+1])
	}
	a := &answer{header: http.Header{}}
	d.set.API.As(p).ServeHTTP(a, r)
	if a.status == 0 {
		a.status = http.StatusOK
	}
	if !a.ok() {
		if err := json.Unmarshal(a.body.Bytes(), &a.problem); err != nil {
			return nil, fmt.Errorf("ask %s %s: read the refusal: %w", method, path, err)
		}
	}
	return a, nil
}

// get asks for a document. A refusal is an error here: an *answer.
func (v *visit) get(path string, into any) error {
	a, err := v.ask(http.MethodGet, path, nil)
	if err != nil {
		return err
	}
	if !a.ok() {
		return a
	}
	if err := json.Unmarshal(a.body.Bytes(), into); err != nil {
		return fmt.Errorf("read what %s answered: %w", path, err)
	}
	return nil
}
