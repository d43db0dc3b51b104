package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"path/filepath"
	"strings"
	"time"

	"billwright/catalog"
	"billwright/catalog/catalogdb"
	"billwright/catalog/difference"
	"billwright/catalog/source"
)

// serviceShelf is a running service, asked with an engineer's or owner's key.
type serviceShelf struct {
	base, key string
	client    *http.Client
}

// openService reads the key; without one named, the demonstration's owner's in
// the data folder.
func (p *place) openService(data string) (shelf, error) {
	s := &serviceShelf{base: strings.TrimRight(p.URL, "/"), client: &http.Client{Timeout: time.Minute}}
	if s.base == "" {
		s.base = defaultURL
	}
	file := p.Key
	if file == "" {
		file = filepath.Join(data, ownerKeyFile)
	}
	var err error
	s.key, err = readKey(file)
	return s, err
}

func (s *serviceShelf) close() { s.client.CloseIdleConnections() }

// longestReply bounds what is taken of a reply.
const longestReply = 128 << 20

// ask gives the body of a reply, or the service's refusal as it words it.
func (s *serviceShelf) ask(ctx context.Context, method, path string, body []byte) ([]byte, error) {
	request, err := http.NewRequestWithContext(ctx, method, s.base+path, bytes.NewReader(body))
	if err != nil {
		return nil, fmt.Errorf("%w: --url %q is no address", errUsage, s.base)
	}
	request.Header.Set("Authorization", "Bearer "+s.key)
	if body != nil {
		request.Header.Set("Content-Type", "application/json")
		request.Header.Set("Idempotency-Key", rand.Text())
	}
	reply, err := s.client.Do(request)
	if err != nil {
		return nil, fmt.Errorf("the service was not reached: %w", err)
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(io.LimitReader(reply.Body, longestReply))
	if err != nil {
		return nil, fmt.Errorf("the service's reply broke off: %w", err)
	}
	if reply.StatusCode >= 300 {
		return nil, refused(reply.Status, text)
	}
	return text, nil
}

// refused is what a problem document (RFC 9457) says.
func refused(status string, text []byte) error {
	var problem struct {
		Detail string
		Errors []struct{ Message string }
	}
	if json.Unmarshal(text, &problem) != nil || problem.Detail == "" {
		return fmt.Errorf("the service answered %s", status)
	}
	says := []string{fmt.Sprintf("the service answered %s: %s", status, problem.Detail)}
	for _, one := range problem.Errors {
		says = append(says, "  "+one.Message)
	}
	return fmt.Errorf("%s", strings.Join(says, "\n"))
}

func (s *serviceShelf) read(ctx context.Context, path string, into any) error {
	text, err := s.ask(ctx, http.MethodGet, path, nil)
	if err == nil {
		err = json.Unmarshal(text, into)
	}
	return err
}

func (s *serviceShelf) files(ctx context.Context, revision int) ([]source.File, error) {
	at := fmt.Sprintf("/v1/catalog/revisions/%d/file", revision)
	var list struct{ Files []struct{ Path string } }
	if err := s.read(ctx, at+"s", &list); err != nil {
		return nil, err
	}
	files := make([]source.File, len(list.Files))
	for i, one := range list.Files {
		text, err := s.ask(ctx, http.MethodGet, at+"?path="+url.QueryEscape(one.Path), nil)
		if err != nil {
			return nil, err
		}
		files[i] = source.File{Path: one.Path, Bytes: text}
	}
	return files, nil
}

func (s *serviceShelf) store(ctx context.Context, cat *catalog.Catalog, acceptChanges bool) (int, error) {
	type file struct {
		Path string `json:"path"`
		Text string `json:"text"`
	}
	body := struct {
		Files  []file `json:"files"`
		Accept bool   `json:"accept_changes"`
	}{Accept: acceptChanges}
	for _, f := range cat.Files {
		body.Files = append(body.Files, file{f.Path, string(f.Bytes)})
	}
	text, err := json.Marshal(body)
	if err != nil {
		return 0, err
	}
	reply, err := s.ask(ctx, http.MethodPost, "/v1/catalog/revisions", text)
	if err != nil {
		return 0, err
	}
	var stored struct{ Revision int }
	err = json.Unmarshal(reply, &stored)
	return stored.Revision, err
}

func (s *serviceShelf) touched(ctx context.Context, from, to *side, _ []difference.Change) ([]catalogdb.TouchedOrder, error) {
	if from.revision == 0 || to.revision == 0 {
		return nil, errNotAsked
	}
	var reply struct{ Orders []catalogdb.TouchedOrder }
	err := s.read(ctx, fmt.Sprintf("/v1/catalog/differences?from=%d&to=%d", from.revision, to.revision), &reply)
	return reply.Orders, err
}
