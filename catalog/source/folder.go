package source

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"
)

// maxEntries bounds the walk through a folder that is not a catalog at all.
const maxEntries = 20_000

// errStop ends a walk whose reason is already among the faults.
var errStop = errors.New("stop")

// ReadDir reads every *.yaml and *.yml file below the root of fsys, sorted by
// path. Names that begin with a dot and files with other endings are passed
// over; a symbolic link, a file that cannot be read, and whatever exceeds the
// limits is a fault. The files that could be read are returned with the faults.
func ReadDir(fsys fs.FS) ([]File, []Fault) {
	w := walk{fsys: fsys}
	err := fs.WalkDir(fsys, ".", w.visit)
	if err != nil && !errors.Is(err, errStop) {
		w.fault(".", err.Error(), "")
	}
	SortFaults(w.faults)
	return w.files, w.faults
}

type walk struct {
	fsys    fs.FS
	entries int
	total   int64
	files   []File
	faults  []Fault
}

func (w *walk) fault(name, message, hint string) {
	w.faults = append(w.faults, Fault{Pos: Pos{File: name}, Message: message, Hint: hint})
}

func (w *walk) visit(name string, entry fs.DirEntry, err error) error {
	w.entries++
	switch {
	case len(w.faults) >= MaxFaults:
		return errStop
	case err != nil:
		w.fault(name, "cannot be read: "+reason(err), "")
		return nil
	case w.entries > maxEntries:
		w.fault(".", fmt.Sprintf("more than %d files and folders", maxEntries), "point at the folder that holds the catalog alone")
		return errStop
	case name != "." && strings.HasPrefix(path.Base(name), "."):
		return skip(entry)
	case entry.Type()&fs.ModeSymlink != 0:
		w.link(name)
		return nil
	case entry.IsDir() || !isYAML(name):
		return nil
	case !entry.Type().IsRegular():
		w.fault(name, "not a regular file", "")
		return nil
	}
	return w.read(name)
}

func skip(entry fs.DirEntry) error {
	if entry.IsDir() {
		return fs.SkipDir
	}
	return nil
}

func isYAML(name string) bool {
	ending := path.Ext(name)
	return strings.EqualFold(ending, ".yaml") || strings.EqualFold(ending, ".yml")
}

// link refuses a symbolic link that would have been read or walked: where it
// leads may lie outside the folder.
func (w *walk) link(name string) {
	info, err := fs.Stat(w.fsys, name)
	if isYAML(name) || err == nil && info.IsDir() {
		w.fault(name, "a symbolic link is not followed", "put the file itself in the folder")
	}
}

func (w *walk) read(name string) error {
	if len(w.files) == MaxFiles {
		w.fault(".", fmt.Sprintf("more than %d catalog files", MaxFiles), "put several products in one file")
		return errStop
	}
	content, err := readFile(w.fsys, name)
	switch {
	case errors.Is(err, errTooLong):
		w.faults = append(w.faults, tooLong(name))
		return nil
	case err != nil:
		w.fault(name, "cannot be read: "+reason(err), "")
		return nil
	}
	if w.total += int64(len(content)); w.total > MaxTotalBytes {
		w.faults = append(w.faults, tooMuch(name))
		return errStop
	}
	w.files = append(w.files, File{Path: name, Bytes: content})
	return nil
}

var errTooLong = errors.New("too long")

// readFile reads at most one byte beyond the limit, whatever size the file
// says it has.
func readFile(fsys fs.FS, name string) (content []byte, err error) {
	file, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	if info, err := file.Stat(); err == nil && info.Size() > MaxFileBytes {
		return nil, errTooLong
	}
	content, err = io.ReadAll(io.LimitReader(file, MaxFileBytes+1))
	if len(content) > MaxFileBytes {
		return nil, errTooLong
	}
	return content, err
}

// reason is err without the path, which the fault already names.
func reason(err error) string {
	if pathErr, is := errors.AsType[*fs.PathError](err); is {
		return pathErr.Err.Error()
	}
	return err.Error()
}

func tooLong(name string) Fault {
	return Fault{Pos: Pos{File: name}, Message: fmt.Sprintf("more than %d MiB", MaxFileBytes>>20), Hint: "split the file"}
}

func tooMuch(name string) Fault {
	return Fault{Pos: Pos{File: name}, Message: fmt.Sprintf("with this file the catalog has more than %d MiB", MaxTotalBytes>>20), Hint: "no file from here on is read"}
}
