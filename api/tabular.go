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
	Format string `query:"format" enum:"json,csv,xlsx" doc:"Form of the reply; without it, what Accept asks for, else JSON."`
	Accept string `header:"Accept" hidden:"true"`
}

// The forms of a reply.
const (
	asJSON     = "json"
	asCSV      = "csv"
	asWorkbook = "xlsx"
)

// form is what was asked for: by the parameter, or else by an Accept header that
// names the type of a sheet and weighs JSON no higher, nor the other sheet more.
func (t Tabular) form() string {
	if t.Format != "" {
		return t.Format
	}
	weights := map[string]float64{}
	for one := range strings.SplitSeq(t.Accept, ",") {
		media, weight := mediaRange(one)
		weights[media] = weight
	}
	csv, workbook, json := weights["text/csv"], weights[xlsxType], weights["application/json"]
	switch {
	case csv > 0 && csv >= json && csv >= workbook:
		return asCSV
	case workbook > 0 && workbook >= json:
		return asWorkbook
	}
	return asJSON
}

// wantsSheet tells whether a sheet was asked for, as CSV or as a workbook.
func (t Tabular) wantsSheet() bool { return t.form() == asCSV || t.form() == asWorkbook }

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

// showSheet answers with CSV or a workbook. It has no ETag: the same tag must not
// stand for two forms.
func (t Tabular) showSheet(s *sheet) (*document, error) {
	if t.form() == asWorkbook {
		book, err := s.workbook()
		if err != nil {
			return nil, err
		}
		return t.varied(&document{Status: http.StatusOK, ContentType: xlsxType, Body: book}), nil
	}
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
