package order

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode/utf8"

	"billwright/catalog"
)

// Limits of attachments, stated in the interface's description: of one, and of
// those of an order for one audience. Sizes are bytes.
const (
	MaxAttachment      = 8 << 20
	MaxAttachments     = 20
	MaxAttachmentBytes = 40 << 20
	MaxAttachmentName  = 120
)

// Attachment is a file that goes with an order.
type Attachment struct {
	Audience string
	// Line is 0 for the whole order.
	Line int
	Name string
	// MediaType is decided by what the file holds.
	MediaType string
}

// fileKind is a kind of file that is taken: how it begins, and by which endings
// its name may go.
type fileKind struct {
	mediaType string
	endings   []string
	is        func(content []byte) bool
}

// The kinds of file that are taken: papers and pictures that no program runs.
// Their first bytes are from ISO 32000-1 section 7.5.2 (PDF; up to 1,024 bytes
// before it are left out here, on purpose), the PNG specification section 5.2,
// ITU-T T.81 B.1.1.3 (JPEG), RFC 9649 section 2.3 (WebP) and TIFF 6.0 section 2.
var fileKinds = []fileKind{
	{"application/pdf", []string{".pdf"}, begins("%PDF-")},
	{"image/png", []string{".png"}, begins("\x89PNG\r\n\x1a\n")},
	{"image/jpeg", []string{".jpg", ".jpeg"}, begins("\xff\xd8\xff")},
	{"image/webp", []string{".webp"}, func(c []byte) bool { return len(c) > 12 && string(c[:4]) == "RIFF" && string(c[8:12]) == "WEBP" }},
	{"image/tiff", []string{".tif", ".tiff"}, func(c []byte) bool { return begins("II*\x00")(c) || begins("MM\x00*")(c) }},
	{"image/vnd.dxf", []string{".dxf"}, isDrawingText},
	{"text/plain", []string{".txt"}, isPlainText},
	{"text/csv", []string{".csv"}, isPlainText},
}

func begins(with string) func([]byte) bool {
	return func(content []byte) bool { return bytes.HasPrefix(content, []byte(with)) }
}

// isPlainText tells that a file is text and no markup: whatever a browser might
// take for a page is refused, however its name ends.
func isPlainText(content []byte) bool {
	if !utf8.Valid(content) || bytes.ContainsFunc(content, func(c rune) bool { return c < ' ' && c != '\t' && c != '\n' && c != '\r' || c == 0x7f }) {
		return false
	}
	start := strings.TrimLeft(strings.TrimPrefix(string(content[:min(len(content), 1024)]), "\uFEFF"), " \t\r\n")
	return !strings.HasPrefix(start, "<") && !strings.HasPrefix(start, "%!")
}

// isDrawingText tells that a text is a drawing in the exchange form of pairs of
// lines: a group code 0 and the word SECTION, comments (999) before it or not.
func isDrawingText(content []byte) bool {
	if !isPlainText(content) {
		return false
	}
	lines := strings.Split(string(content[:min(len(content), 4096)]), "\n")
	for i := 0; i+1 < len(lines); i += 2 {
		code, value := strings.TrimSpace(lines[i]), strings.TrimSpace(lines[i+1])
		if code != "999" {
			return code == "0" && value == "SECTION"
		}
	}
	return false
}

// CheckAttachment finds what is wrong with a file for the order, and what kind of
// file it is. The name must say what the content is.
func (d *Document) CheckAttachment(a Attachment, content []byte) (mediaType string, findings []catalog.Finding) {
	findings = d.checkBeside(a.Audience, a.Line)
	add := func(code, format string, args ...any) {
		findings = append(findings, catalog.Finding{Pointer: "/name", Code: code, Message: fmt.Sprintf(format, args...)})
	}
	if finding := checkText("/name", "name of the file", a.Name, MaxAttachmentName, false); finding != nil {
		findings = append(findings, *finding)
	} else if strings.TrimSpace(a.Name) == "" || strings.ContainsAny(a.Name, `/\:`) || strings.HasPrefix(a.Name, ".") {
		add("name.form", "The file needs a name of its own without a folder, such as sketch.pdf.")
	}
	if len(content) == 0 {
		add("file.empty", "The file is empty.")
		return "", findings
	}
	ending := strings.ToLower(path.Ext(a.Name))
	var fits []fileKind
	for _, kind := range fileKinds {
		if kind.is(content) {
			fits = append(fits, kind)
		}
	}
	if len(fits) == 0 {
		add("file.kind", "The content is of no kind that is taken: PDF, PNG, JPEG, WebP, TIFF, DXF, CSV or plain text in UTF-8.")
		return "", findings
	}
	for _, kind := range fits {
		if slices.Contains(kind.endings, ending) {
			return kind.mediaType, findings
		}
	}
	add("file.name", "The name ends in %s and the content is %s: name it *%s.", clip(ending), fits[0].mediaType, fits[0].endings[0])
	return "", findings
}
