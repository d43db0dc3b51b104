package desk

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

//go:embed static
var staticFiles embed.FS

// static serves the files that pages use, under names with their hash: a file
// of one name never changes.
type static struct {
	named  map[string]string // name in a page to name with the hash
	served map[string]*servedFile
}

type servedFile struct {
	kind          string
	plain, zipped []byte
}

var kinds = map[string]string{".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".woff2": "font/woff2", ".svg": "image/svg+xml"}

// readStatic hashes the files. The style sheet comes last, since it names fonts.
func readStatic() (*static, error) {
	s := &static{named: map[string]string{}, served: map[string]*servedFile{}}
	for _, pattern := range []string{"static/*.woff2", "static/*.svg", "static/*.js", "static/*.css"} {
		files, err := fs.Glob(staticFiles, pattern)
		if err != nil {
			return nil, fmt.Errorf("read the static files: %w", err)
		}
		for _, file := range files {
			text, err := staticFiles.ReadFile(file)
			if err != nil {
				return nil, fmt.Errorf("read the static files: %w", err)
			}
			if err := s.add(path.Base(file), text); err != nil {
				return nil, err
			}
		}
	}
	return s, nil
}

func (s *static) add(name string, text []byte) error {
	kind := path.Ext(name)
	if kind == ".css" {
		for plain, hashed := range s.named {
			text = bytes.ReplaceAll(text, []byte("url("+plain+")"), []byte("url("+hashed+")"))
		}
	}
	sum := sha256.Sum256(text)
	hashed := strings.TrimSuffix(name, kind) + "-" + hex.EncodeToString(sum[:6]) + kind
	f := &servedFile{kind: kinds[kind], plain: text}
	if kind != ".woff2" { // that is compressed already
		var out bytes.Buffer
		z, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
		if err == nil {
			_, err = z.Write(text)
		}
		if err == nil {
			err = z.Close()
		}
		if err != nil {
			return fmt.Errorf("compress %s: %w", name, err)
		}
		f.zipped = out.Bytes()
	}
	s.named[name], s.served[hashed] = hashed, f
	return nil
}

// path is where a page finds a file.
func (s *static) path(name string) (string, error) {
	hashed, found := s.named[name]
	if !found {
		return "", fmt.Errorf("there is no static file %s", name)
	}
	return "/static/" + hashed, nil
}

// ServeHTTP serves a file by its hashed name.
func (s *static) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, found := s.served[r.PathValue("name")]
	if !found {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	h.Set("Vary", "Accept-Encoding")
	body := f.plain
	if f.zipped != nil && takesGzip(r) {
		h.Set("Content-Encoding", "gzip")
		body = f.zipped
	}
	_, _ = w.Write(body)
}

func takesGzip(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept-Encoding"), "gzip")
}

// zipped compresses pages for whoever takes them so.
func zipped(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !takesGzip(r) || strings.HasPrefix(r.URL.Path, "/static/") {
			next.ServeHTTP(w, r)
			return
		}
		z := &zipWriter{ResponseWriter: w}
		defer z.close()
		next.ServeHTTP(z, r)
	})
}

// zipWriter compresses what is written as a page's text, and nothing else.
type zipWriter struct {
	http.ResponseWriter
	zip   *gzip.Writer
	begun bool
}

func (z *zipWriter) WriteHeader(status int) {
	h := z.Header()
	h.Add("Vary", "Accept-Encoding")
	if strings.HasPrefix(h.Get("Content-Type"), "text/") && h.Get("Content-Encoding") == "" && status != http.StatusNotModified && status != http.StatusNoContent {
		h.Set("Content-Encoding", "gzip")
		h.Del("Content-Length")
		z.zip = gzip.NewWriter(z.ResponseWriter)
	}
	z.begun = true
	z.ResponseWriter.WriteHeader(status)
}

func (z *zipWriter) Write(b []byte) (int, error) {
	if !z.begun {
		z.WriteHeader(http.StatusOK)
	}
	if z.zip != nil {
		return z.zip.Write(b)
	}
	return z.ResponseWriter.Write(b)
}

// Unwrap lets http.ResponseController find the connection.
func (z *zipWriter) Unwrap() http.ResponseWriter { return z.ResponseWriter }

func (z *zipWriter) close() {
	if z.zip != nil {
		_ = z.zip.Close()
	}
}
