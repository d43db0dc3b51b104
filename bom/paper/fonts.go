package paper

import (
	"bytes"
	_ "embed"
	"encoding/binary"
	"strings"
	"sync"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"billwright/bom/picture"
)

// The papers are set in the Go fonts, whose digits are all of one width and whose
// 0 and O, 1 and l differ. Their hyphen is as wide as a minus sign, so it takes
// the place of the soft hyphen, here as in the prepared files for HTML. Widths
// are the fonts' own, in whole numbers of 1/2048 of the size.

//go:embed fonts/go-regular.woff2
var regularWeb []byte

//go:embed fonts/go-bold.woff2
var boldWeb []byte

// Notice is the fonts' notice, which goes wherever they go.
//
//go:embed fonts/NOTICE
var Notice string

const fontNotice = "Set in the Go fonts, Copyright 2016 Bigelow & Holmes Inc., under the BSD terms of the Go project"

// missing stands for a letter that the fonts do not have.
const missing = '□'

// unitsPerEm is that of both fonts.
const unitsPerEm = 2048

// face is one font, prepared.
type face struct {
	file    []byte
	advance map[rune]int
}

var (
	regular = sync.OnceValue(func() *face { return prepare(goregular.TTF) })
	bold    = sync.OnceValue(func() *face { return prepare(gobold.TTF) })
)

func faceOf(b bool) *face {
	if b {
		return bold()
	}
	return regular()
}

// prepare reads a TrueType file with a character map of format 4, short
// locations and a hyphen of four corners, as both fonts are.
func prepare(ttf []byte) *face {
	file := bytes.Clone(ttf)
	tables := tablesOf(file)
	glyphs := glyphsOf(file[tables["cmap"]:])
	swapHyphen(file, tables, glyphs['-'], glyphs['\u00ad'])
	f := &face{file: file, advance: make(map[rune]int, len(glyphs))}
	for r, glyph := range glyphs {
		f.advance[r] = advanceOf(file, tables, glyph)
	}
	return f
}

func u16(b []byte, at int) int { return int(binary.BigEndian.Uint16(b[at:])) }
func u32(b []byte, at int) int { return int(binary.BigEndian.Uint32(b[at:])) }

func tablesOf(file []byte) map[string]int {
	tables := map[string]int{}
	for i := range u16(file, 4) {
		at := 12 + 16*i
		tables[string(file[at:at+4])] = u32(file, at+8)
	}
	return tables
}

// glyphsOf reads the Unicode character map of format 4.
func glyphsOf(cmap []byte) map[rune]int {
	var at int
	for i := range u16(cmap, 2) {
		if one := u32(cmap, 4+8*i+4); u16(cmap, one) == 4 {
			at = one
		}
	}
	glyphs := map[rune]int{}
	segments := u16(cmap, at+6) / 2
	ends, starts := at+14, at+16+2*segments
	deltas, ranges := starts+2*segments, starts+4*segments
	for s := range segments {
		for c := u16(cmap, starts+2*s); c <= u16(cmap, ends+2*s) && c != 0xffff; c++ {
			glyph := c
			if offset := u16(cmap, ranges+2*s); offset != 0 {
				glyph = u16(cmap, ranges+2*s+offset+2*(c-u16(cmap, starts+2*s)))
			}
			if glyph != 0 {
				glyph = (glyph + u16(cmap, deltas+2*s)) & 0xffff
			}
			if glyph != 0 {
				glyphs[rune(c)] = glyph
			}
		}
	}
	return glyphs
}

func advanceOf(file []byte, tables map[string]int, glyph int) int {
	last := u16(file, tables["hhea"]+34) - 1
	return u16(file, tables["hmtx"]+4*min(glyph, last))
}

// swapHyphen draws the glyph to as that of from where its outline has the room.
func swapHyphen(file []byte, tables map[string]int, to, from int) {
	place := func(glyph int) []byte {
		loca := tables["loca"] + 2*glyph
		return file[tables["glyf"]+2*u16(file, loca) : tables["glyf"]+2*u16(file, loca+2)]
	}
	if len(place(from)) > len(place(to)) {
		return
	}
	copy(place(to), place(from))
	hmtx := tables["hmtx"]
	copy(file[hmtx+4*to:hmtx+4*to+4], file[hmtx+4*from:hmtx+4*from+4])
}

// width is how wide a text is in the fonts.
func width(text string, size picture.Dot, b bool) picture.Dot {
	f, sum := faceOf(b), 0
	for _, r := range text {
		advance, known := f.advance[r]
		if !known {
			advance = f.advance[missing]
		}
		sum += advance
	}
	return picture.Dot((sum*int(size) + unitsPerEm - 1) / unitsPerEm)
}

// shown is a text in letters that the fonts have: each that they lack becomes a
// visible replacement, and is told of by lacking.
func shown(text string) string {
	f := regular()
	return strings.Map(func(r rune) rune {
		if _, known := f.advance[r]; known {
			return r
		}
		return missing
	}, text)
}

// lacking are the letters of a text that the fonts lack, each once, in order.
func lacking(text string) []rune {
	var lack []rune
	f := regular()
	for _, r := range text {
		if _, known := f.advance[r]; !known && !strings.ContainsRune(string(lack), r) {
			lack = append(lack, r)
		}
	}
	return lack
}

// wrap breaks a text into lines of at most room. Lines break at spaces, and
// within a word that is wider than a line by itself; no letter is dropped.
func wrap(text string, size picture.Dot, b bool, room picture.Dot) []string {
	var lines []string
	for paragraph := range strings.SplitSeq(text, "\n") {
		lines = append(lines, wrapLine(paragraph, size, b, room)...)
	}
	return lines
}

func wrapLine(text string, size picture.Dot, b bool, room picture.Dot) []string {
	if width(text, size, b) <= room {
		return []string{text}
	}
	var lines []string
	line := ""
	for word := range strings.SplitSeq(text, " ") {
		if line != "" && width(line+" "+word, size, b) <= room {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = word
		for width(line, size, b) > room {
			head := cut(line, size, b, room)
			if head == line {
				break // a single letter that is wider than the line
			}
			lines = append(lines, head)
			line = line[len(head):]
		}
	}
	return append(lines, line)
}

// cut is the longest beginning of a word that fits, at least one letter.
func cut(word string, size picture.Dot, b bool, room picture.Dot) string {
	end := 0
	for at, r := range word {
		next := at + len(string(r))
		if end > 0 && width(word[:next], size, b) > room {
			break
		}
		end = next
	}
	return word[:end]
}
