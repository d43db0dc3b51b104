package api

import (
	"bytes"
	"net/http"
	"strconv"
	"strings"
)

const csvType = "text/csv; charset=utf-8"

// Tabular is a read that comes as JSON or as a sheet.
type Tabular struct {
	Format string `query:"format" enum:"json,csv" doc:"Form of the reply; without it, what Accept asks for, else JSON."`
	Accept string `header:"Accept" hidden:"true"`
}

// wantsSheet tells whether CSV was asked for: by the parameter, or else by an
// Accept header that names text/csv and weighs JSON no higher.
func (t Tabular) wantsSheet() bool {
	if t.Format != "" {
		return t.Format == "csv"
	}
	asCSV, asJSON := 0.0, 0.0
	for one := range strings.SplitSeq(t.Accept, ",") {
		media, weight := mediaRange(one)
		switch media {
		case "text/csv":
			asCSV = weight
		case "application/json":
			asJSON = weight
		}
	}
	return asCSV > 0 && asCSV >= asJSON
}

// mediaRange reads one range of an Accept header (RFC 9110 section 12.5.1) and
// its weight, 0 for one that cannot be read.
func mediaRange(text string) (media string, weight float64) {
	media, rest, _ := strings.Cut(text, ";")
	weight = 1
	for param := range strings.SplitSeq(rest, ";") {
		name, value, found := strings.Cut(strings.TrimSpace(param), "=")
		if found && strings.EqualFold(strings.TrimSpace(name), "q") {
			q, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
			if err != nil || !(q >= 0 && q <= 1) {
				q = 0
			}
			weight = q
		}
	}
	return strings.ToLower(strings.TrimSpace(media)), weight
}

// varied marks a reply whose form hangs on Accept.
func (Tabular) varied(d *document) *document {
	d.Vary = "Accept"
	return d
}

// showSheet answers with CSV. It has no ETag: the same tag must not stand for
// two forms.
func (t Tabular) showSheet(s *sheet) (*document, error) {
	text, err := s.bytes()
	if err != nil {
		return nil, err
	}
	return t.varied(&document{Status: http.StatusOK, ContentType: csvType, Body: text}), nil
}

// encode writes a reply's JSON.
func encode(v any) ([]byte, error) {
	var out bytes.Buffer
	err := writeJSON(&out, v)
	return out.Bytes(), err
}
