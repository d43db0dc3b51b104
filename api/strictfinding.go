package api

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

// syntax records the fault that ends the walk.
func (d *strictDecoder) syntax(err error) bool {
	var fault *jsontext.SyntacticError
	switch {
	case !errors.As(err, &fault):
		d.addAt("", Finding{Code: codeSyntax, Message: "The body holds no JSON document."})
	case errors.Is(fault.Err, jsontext.ErrDuplicateName):
		d.addAt(fault.JSONPointer, Finding{Code: codeDuplicate, Message: fmt.Sprintf("The field %s is given twice.",
			quoteShort(fault.JSONPointer.LastToken()))})
	case errors.Is(fault.Err, io.ErrUnexpectedEOF):
		d.addAt(fault.JSONPointer, Finding{Code: codeSyntax, Message: "The JSON document ends in the middle."})
	default:
		d.addAt(fault.JSONPointer, Finding{Code: codeSyntax, Message: fmt.Sprintf("This is not JSON: %v at %s.",
			fault.Err, d.place(fault.ByteOffset))})
	}
	return false
}

// place tells people where an offset is.
func (d *strictDecoder) place(offset int64) string {
	before := d.data[:min(int64(len(d.data)), offset)]
	line := bytes.Count(before, []byte("\n")) + 1
	column := len(before) - bytes.LastIndexByte(before, '\n')
	return fmt.Sprintf("line %d, byte %d", line, column)
}

func (d *strictDecoder) wrongType(want string) bool {
	got := kindNames[d.dec.PeekKind()]
	return d.skip() && d.add(codeType, "This must be "+want+", not "+got+".")
}

var kindNames = map[jsontext.Kind]string{
	'n': "null", 't': "true", 'f': "false", '"': "a string", '0': "a number", '{': "an object", '[': "an array",
}

// add records a fault of the value just read.
func (d *strictDecoder) add(code, message string) bool {
	return d.addAt(d.dec.StackPointer(), Finding{Code: code, Message: message})
}

func (d *strictDecoder) addAt(at jsontext.Pointer, f Finding) bool {
	for len(at) > maxPointer {
		at = at.Parent()
	}
	f.Pointer = string(at)
	d.findings = append(d.findings, f)
	return len(d.findings) < maxFindings
}

// quoteShort quotes a client's text for a message, at most 40 characters of it.
func quoteShort(s string) string {
	if utf8.RuneCountInString(s) > 40 {
		s = string([]rune(s)[:40]) + "…"
	}
	return strconv.Quote(s)
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// nearest gives the candidate that differs from s in case only or in at most
// two letters, "" when there is none. Long texts have no near ones.
func nearest(s string, candidates []string) string {
	best, least := "", 3
	for _, c := range candidates {
		if strings.EqualFold(s, c) {
			return c
		}
		if len(s) > 64 || len(c) <= 2 {
			continue
		}
		if n := editDistance(s, c); n < least {
			best, least = c, n
		}
	}
	return best
}

// editDistance is Levenshtein's: the fewest single-byte insertions, deletions
// and replacements that turn a into b.
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost = 1 + min(diagonal, row[j], row[j+1])
			}
			diagonal, row[j+1] = row[j+1], cost
		}
	}
	return row[len(b)]
}
