package catalogdb

import (
	"io/fs"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"
)

// ValidPath tells whether a path may be that of a stored catalog file: below
// its folder, one that a folder of any system can hold, and one that reading
// the folder finds again. Others are refused, never mended, since they come
// from outside and lead to files when a revision is written out.
func ValidPath(name string) bool {
	if !fs.ValidPath(name) || !utf8.ValidString(name) || len(name) > 200 || strings.ContainsFunc(name, unportable) {
		return false
	}
	for part := range strings.SplitSeq(name, "/") {
		if strings.HasPrefix(part, ".") || strings.TrimRight(part, " .") != part {
			return false
		}
	}
	ending := path.Ext(name)
	return strings.EqualFold(ending, ".yaml") || strings.EqualFold(ending, ".yml")
}

// unportable are signs that a file's name cannot have everywhere, or that would
// change what is printed around it.
func unportable(c rune) bool {
	return !unicode.IsPrint(c) || strings.ContainsRune(`\:*?"<>|`, c)
}
