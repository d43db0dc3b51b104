package source

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// maxMarks bounds the marks that can begin a key, a value or an item, counted
// before YAML is given the text: the parser makes at most two nodes a mark.
// Written out in lines, a file within MaxFileNodes has about one mark a node.
const maxMarks = 2 * MaxFileNodes

// parse turns a file into its top node, nil when it holds nothing. A fault
// means that the file cannot be read at all.
func parse(file File) (*yaml.Node, *Fault) {
	if fault := checkText(file); fault != nil {
		return nil, fault
	}
	doc, err := parseDocument(bytes.NewReader(file.Bytes))
	if err != nil {
		return nil, explain(file, err)
	}
	if doc == nil || len(doc.Content) == 0 || isNull(doc.Content[0]) {
		return nil, nil
	}
	return doc.Content[0], nil
}

// errSecond is given for a file of several documents; line is where the
// second one begins.
type errSecond struct{ line int }

func (errSecond) Error() string { return "a second document" }

// parseDocument reads the one document of a stream; nil when it has none.
func parseDocument(r io.Reader) (doc *yaml.Node, err error) {
	defer func() { // the parser reports its own mistakes by panicking
		if failure := recover(); failure != nil {
			doc, err = nil, fmt.Errorf("the parser gave up: %v", failure)
		}
	}()
	decoder := yaml.NewDecoder(r)
	var first, second yaml.Node
	switch err := decoder.Decode(&first); {
	case errors.Is(err, io.EOF):
		return nil, nil
	case err != nil:
		return nil, err
	}
	switch err := decoder.Decode(&second); {
	case errors.Is(err, io.EOF):
		return &first, nil
	case err != nil:
		return nil, err
	}
	return nil, errSecond{second.Line}
}

// checkText refuses what needs no parser to be seen: too long, not UTF-8,
// characters that hide, directives, too many values.
func checkText(file File) *Fault {
	text := file.Bytes
	if len(text) > MaxFileBytes {
		fault := tooLong(file.Path)
		return &fault
	}
	if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) {
		return &Fault{Pos: Pos{File: file.Path, Line: 1, Column: 1}, Message: "not UTF-8 but UTF-16", Hint: "save the file as UTF-8"}
	}
	if fault := checkCharacters(file); fault != nil {
		return fault
	}
	if line := directiveLine(text); line > 0 {
		return &Fault{Pos: Pos{file.Path, line, 1}, Message: "YAML directives are not read", Hint: "leave the line out"}
	}
	if countMarks(text) > maxMarks {
		return tooManyNodes(file.Path)
	}
	return nil
}

func tooManyNodes(path string) *Fault {
	return &Fault{Pos: Pos{File: path}, Message: fmt.Sprintf("more than %d keys and values", MaxFileNodes), Hint: "split the file"}
}

// checkCharacters finds the first character that no catalog file may hold.
func checkCharacters(file File) *Fault {
	line, column := 1, 1
	for at := 0; at < len(file.Bytes); {
		r, size := rune(file.Bytes[at]), 1
		if r >= utf8.RuneSelf {
			r, size = utf8.DecodeRune(file.Bytes[at:])
		}
		if r == '\r' && bytes.HasPrefix(file.Bytes[at:], []byte("\r\n")) {
			r, size = '\n', 2
		}
		if message, hint := refusedRune(r, size); message != "" {
			return &Fault{Pos: Pos{file.Path, line, column}, Message: message, Hint: hint}
		}
		at, column = at+size, column+1
		if r == '\n' {
			line, column = line+1, 1
		}
	}
	return nil
}

// refusedRune tells why a character may not stand in a file, and "" when it
// may. Rare line ends (U+0085, U+2028, a carriage return alone) are among them:
// YAML counts them as lines, most editors do not, and every place given after
// one would be wrong.
func refusedRune(r rune, size int) (message, hint string) {
	switch {
	case r == utf8.RuneError && size == 1:
		return "not UTF-8", "save the file as UTF-8"
	case r == '\uFEFF':
		return "a byte order mark", "save the file as UTF-8 without a byte order mark"
	case isControl(r):
		return fmt.Sprintf("the control character %U", r), "leave the character out"
	}
	return "", ""
}

func isControl(r rune) bool {
	return r < ' ' && r != '\t' && r != '\n' ||
		r >= 0x7f && r < 0xa0 || r == '\u2028' || r == '\u2029' || r == 0xfffe || r == 0xffff
}

// directiveLine is the line of a %-directive before the document; 0 for none.
func directiveLine(text []byte) int {
	line := 0
	for part := range bytes.Lines(text) {
		line++
		switch {
		case part[0] == '%':
			return line
		case part[0] != '#' && len(bytes.TrimSpace(part)) > 0:
			return 0
		}
	}
	return 0
}

// countMarks is at least half the number of nodes in text.
func countMarks(text []byte) int {
	marks := 1
	for _, c := range text {
		switch c {
		case '\n', ',', ':', '[', '{', '-', '?':
			marks++
		}
	}
	return marks
}

// lines splits text at its line ends.
func lines(text []byte) [][]byte { return bytes.Split(text, []byte("\n")) }

func isNull(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Style&^yaml.TaggedStyle == 0 && n.Tag == "!!null"
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

// explain turns an error of the YAML parser into a fault that names the line
// where reading goes wrong.
func explain(file File, err error) *Fault {
	if second, is := errors.AsType[errSecond](err); is {
		return &Fault{Pos: Pos{file.Path, second.line, 1}, Message: "a second document begins here", Hint: `one file is one document: leave the line "---" out`}
	}
	message, line := err.Error(), 1
	if said := yamlLine.FindStringSubmatch(message); said != nil {
		message = strings.TrimPrefix(message, said[0])
		if number, err := strconv.Atoi(said[1]); err == nil {
			line = number
		}
	}
	if alias := unknownAnchor.FindStringSubmatch(message); alias != nil {
		pos := find(file, "*"+alias[1])
		return &Fault{Pos: pos, Message: "the alias *" + shorten(alias[1]) + " is not read", Hint: "write the value out"}
	}
	if !strings.Contains(message, "unexpected end of stream") || line >= len(lines(file.Bytes)) {
		line = failingLine(file.Bytes, line)
	}
	return unreadable(file, line, message)
}

// unreadable reports what the parser said of a line, or a tab that indents it.
func unreadable(file File, line int, message string) *Fault {
	indent := indentOf(file.Bytes, line)
	if bytes.ContainsRune(indent, '\t') {
		return &Fault{Pos: Pos{file.Path, line, 1 + bytes.IndexByte(indent, '\t')}, Message: "a tab in the indentation", Hint: "indent with spaces"}
	}
	return &Fault{Pos: Pos{file.Path, line, 1 + len(indent)}, Message: "not readable as YAML: " + message, Hint: hintFor(message)}
}

func indentOf(text []byte, line int) []byte {
	all := lines(text)
	if line > len(all) {
		return nil
	}
	of := all[line-1]
	return of[:len(of)-len(bytes.TrimLeft(of, " \t"))]
}

var unknownAnchor = regexp.MustCompile(`^unknown anchor '(.*)' referenced`)

// find is the place where word first stands in a file.
func find(file File, word string) Pos {
	before, _, _ := bytes.Cut(file.Bytes, []byte(word))
	all := lines(before)
	return Pos{file.Path, len(all), 1 + utf8.RuneCount(all[len(all)-1])}
}

// hints says what usually lies behind a sentence of the YAML parser.
var hints = []struct{ said, hint string }{
	{"mapping values are not allowed", `indent the keys of one mapping alike, and put a value that holds ": " in quotes`},
	{"did not find expected key", "indent the keys of one mapping alike"},
	{"did not find expected '-' indicator", "indent the items of one list alike"},
	{"could not find expected ':'", `write "key: value", with a space after the colon`},
	{"cannot start any token", "put a value that begins with a special character in quotes"},
	{"unexpected end of stream", "close the quote that opens here"},
	{"unexpected document indicator", "close the quote that opens before it"},
	{"did not find expected ',' or", "close the bracket, and put commas between the items"},
	{"did not find expected alphabetic or numeric character", `put a value that begins with "*" or "&" in quotes`},
	{"unknown escape character", `write "\\" for one backslash, or use single quotes`},
	{"<document start>", "one file is one document, and nothing follows it"},
	{"block sequence entries are not allowed", `begin a list on the line below its key, or put a value that begins with "- " in quotes`},
	{"did not find expected node content", "put commas only between items, and a value that begins with a special character in quotes"},
	{"exceeded max depth", fmt.Sprintf("mappings and lists may stand at most %d deep", MaxDepth)},
}

func hintFor(message string) string {
	for _, h := range hints {
		if strings.Contains(message, h.said) {
			return h.hint
		}
	}
	return ""
}

// failingLine improves on the line the parser names, which is often that of
// the mapping around the mistake. The parser is fed line by line: the mistake
// lies in the lines it took before it gave up, and after the longest beginning
// of the file that is sound. said is returned when that costs too much.
func failingLine(text []byte, said int) int {
	const budget = 2 << 20 // bytes to parse again
	feed := &lineFeed{text: text}
	if _, err := parseDocument(feed); err == nil {
		return said
	}
	spent := 0
	for last := len(feed.ends) - 1; last > 0; last-- {
		start := feed.ends[last-1]
		if spent += start; spent > budget {
			return said
		}
		if _, err := parseDocument(bytes.NewReader(text[:start])); err == nil {
			return last + 1
		}
	}
	return 1
}

// lineFeed reads text one line at a time and keeps where the lines read end.
type lineFeed struct {
	text []byte
	at   int
	ends []int
}

func (f *lineFeed) Read(into []byte) (int, error) {
	if f.at == len(f.text) {
		return 0, io.EOF
	}
	rest := f.text[f.at:]
	if end := bytes.IndexByte(rest, '\n'); end >= 0 {
		rest = rest[:end+1]
	}
	n := copy(into, rest)
	f.at += n
	if n == len(rest) {
		f.ends = append(f.ends, f.at)
	}
	return n, nil
}
