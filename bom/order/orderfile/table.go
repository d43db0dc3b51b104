package orderfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Refused is why a file cannot be read at all: one reason, the first that makes
// all others meaningless.
type Refused struct {
	// Code is encoding, delimiter, columns, form or size.
	Code, Says string
}

func (e *Refused) Error() string { return e.Says }

// Limits of a file.
const (
	MaxFile    = 16 << 20 // bytes
	MaxRows    = 50_000
	MaxColumns = 200
	MaxCell    = 4_000 // bytes
)

// Table is the rows of a file under its heads.
type Table struct {
	Heads []string
	Rows  []Row
}

// Row is a row with its number in the file, the head being row 1.
type Row struct {
	Number int
	Cells  []string
}

// ReadCSV reads a file by its mapping. Error: *Refused.
func ReadCSV(m *Mapping, file []byte) (*Table, error) {
	if len(file) > MaxFile {
		return nil, &Refused{"size", fmt.Sprintf("The file has %d bytes; at most %d are read.", len(file), MaxFile)}
	}
	text, err := decode(m.Encoding, file)
	if err != nil {
		return nil, err
	}
	reader := csv.NewReader(bytes.NewReader(text))
	reader.Comma, reader.FieldsPerRecord, reader.ReuseRecord = comma(m.Delimiter), -1, false
	var rows []Row
	for {
		record, err := reader.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var fault *csv.ParseError
		if errors.As(err, &fault) {
			return nil, &Refused{"form", fmt.Sprintf("Line %d of the file is not CSV: %v. A cell with quotes in it is written in quotes, each of them twice.", fault.Line, fault.Err)}
		}
		if err != nil {
			return nil, &Refused{"form", "The file cannot be read as CSV: " + err.Error()}
		}
		line, _ := reader.FieldPos(0)
		rows = append(rows, Row{line, record})
		if len(rows) > MaxRows+1 {
			break
		}
	}
	return NewTable(m, rows)
}

func comma(delimiter string) rune {
	if delimiter == "tab" {
		return '\t'
	}
	return rune(delimiter[0])
}

var encodings = map[string]encoding.Encoding{
	"utf-16le": unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), "utf-16be": unicode.UTF16(unicode.BigEndian, unicode.UseBOM),
	"windows-1252": charmap.Windows1252, "iso-8859-1": charmap.ISO8859_1, "iso-8859-15": charmap.ISO8859_15,
}

// The marks that a file may begin with (Unicode standard, section 23.8).
var marks = []struct {
	bytes    string
	encoding string
}{{"\xef\xbb\xbf", "utf-8"}, {"\xff\xfe", "utf-16le"}, {"\xfe\xff", "utf-16be"}}

// decode gives the file as UTF-8, or refuses it where its bytes speak against
// the encoding that was declared.
func decode(declared string, file []byte) ([]byte, error) {
	refuse := func(format string, args ...any) ([]byte, error) {
		return nil, &Refused{"encoding", fmt.Sprintf("The file is declared to be in %s, but ", declared) + fmt.Sprintf(format, args...)}
	}
	for _, mark := range marks {
		if bytes.HasPrefix(file, []byte(mark.bytes)) {
			if mark.encoding != declared {
				return refuse("it begins with the mark of %s. Declare encoding: %s", mark.encoding, mark.encoding)
			}
			file = file[len(mark.bytes):]
		}
	}
	if declared == "utf-8" {
		if at := firstInvalid(file); at >= 0 {
			return refuse("byte %d in line %d, 0x%02X, is no UTF-8. Save it as UTF-8, or declare the encoding that it is in, such as windows-1252.", at+1, 1+bytes.Count(file[:at], []byte("\n")), file[at])
		}
	} else if single := !strings.HasPrefix(declared, "utf-16"); single {
		if n := multibyte(file); n > 0 && utf8.Valid(file) {
			return refuse("its %d letters beyond ASCII are written in UTF-8. Declare encoding: utf-8", n)
		}
		if at := slices.IndexFunc(file, func(b byte) bool { return strings.IndexByte("\x81\x8d\x8f\x90\x9d", b) >= 0 }); declared == "windows-1252" && at >= 0 {
			return refuse("byte %d, 0x%02X, is no letter of it.", at+1, file[at])
		}
	} else if len(file)%2 != 0 || bytes.Count(file, []byte{0}) < len(file)/8 {
		return refuse("it is not in pairs of bytes.")
	}
	text := file
	if e := encodings[declared]; e != nil {
		var err error
		if text, err = e.NewDecoder().Bytes(file); err != nil {
			return refuse("it cannot be read so: %v", err)
		}
	}
	if at := bytes.IndexFunc(text, func(c rune) bool {
		return c < ' ' && c != '\t' && c != '\n' && c != '\r' || c == utf8.RuneError && declared != "utf-8"
	}); at >= 0 {
		return refuse("line %d holds a sign that no text has: it is another encoding, or no text at all.", 1+bytes.Count(text[:at], []byte("\n")))
	}
	return text, nil
}

func firstInvalid(text []byte) int {
	for i := 0; i < len(text); {
		c, size := utf8.DecodeRune(text[i:])
		if c == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}

// multibyte counts the letters that UTF-8 writes in several bytes.
func multibyte(text []byte) (n int) {
	for _, b := range text {
		if b >= 0xC2 {
			n++
		}
	}
	return n
}

// NewTable makes a table of rows, the first being the heads. It refuses a file
// whose heads are not those of the mapping: a column that nobody names would be
// lost without a word. Error: *Refused.
func NewTable(m *Mapping, rows []Row) (*Table, error) {
	if len(rows) == 0 {
		return nil, &Refused{"form", "The file is empty."}
	}
	if len(rows) > MaxRows+1 {
		return nil, &Refused{"size", fmt.Sprintf("The file has more than %d rows; split it.", MaxRows)}
	}
	t := &Table{Rows: rows[1:]}
	for _, head := range rows[0].Cells {
		t.Heads = append(t.Heads, strings.TrimSpace(head))
	}
	for len(t.Heads) > 0 && t.Heads[len(t.Heads)-1] == "" {
		t.Heads = t.Heads[:len(t.Heads)-1]
	}
	if err := m.checkHeads(t.Heads); err != nil {
		return nil, err
	}
	t.Rows = slices.DeleteFunc(t.Rows, func(r Row) bool {
		return !slices.ContainsFunc(r.Cells, func(c string) bool { return strings.TrimSpace(c) != "" })
	})
	return t, nil
}

func (m *Mapping) checkHeads(heads []string) error {
	if len(heads) > MaxColumns {
		return &Refused{"size", fmt.Sprintf("The file has %d columns; at most %d are read.", len(heads), MaxColumns)}
	}
	if m.File == "csv" && len(heads) == 1 {
		for _, other := range Delimiters {
			if other != m.Delimiter && strings.ContainsRune(heads[0], comma(other)) {
				return &Refused{"delimiter", fmt.Sprintf("Delimited by %q the file has a single column, %s. It seems to be delimited otherwise: declare delimiter: %q", m.Delimiter, clip(heads[0]), other)}
			}
		}
	}
	seen := map[string]bool{}
	for i, head := range heads {
		switch {
		case head == "":
			return &Refused{"columns", fmt.Sprintf("Column %d has no head.", i+1)}
		case seen[head]:
			return &Refused{"columns", fmt.Sprintf("Two columns are headed %s.", clip(head))}
		}
		seen[head] = true
	}
	named := m.columns()
	var missing, unknown []string
	for _, column := range append(slices.Clone(named), m.Ignore...) {
		if !seen[column] {
			missing = append(missing, column)
		}
	}
	for _, head := range heads {
		if !slices.Contains(named, head) && !slices.Contains(m.Ignore, head) {
			unknown = append(unknown, head)
		}
	}
	if len(missing)+len(unknown) == 0 {
		return nil
	}
	says := ""
	if len(missing) > 0 {
		says = fmt.Sprintf("The mapping names columns that the file does not have: %s. It has %s. ", list(missing), list(heads))
	}
	if len(unknown) > 0 {
		says += fmt.Sprintf("The file has columns that the mapping does not name: %s. Name them, or list them under ignore.", list(unknown))
	}
	return &Refused{"columns", strings.TrimSpace(says)}
}

func list(names []string) string {
	quoted := make([]string, len(names))
	for i, name := range names {
		quoted[i] = clip(name)
	}
	return strings.Join(quoted, ", ")
}

func clip(text string) string {
	if len(text) > 60 {
		return fmt.Sprintf("%q…", strings.ToValidUTF8(text[:60], ""))
	}
	return fmt.Sprintf("%q", text)
}
