package source

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

func paths(files []File) []string {
	var all []string
	for _, file := range files {
		all = append(all, file.Path)
	}
	return all
}

func sentences(faults []Fault) []string {
	var all []string
	for _, fault := range faults {
		all = append(all, fault.Error())
	}
	return all
}

func TestReadDir(t *testing.T) {
	fsys := fstest.MapFS{
		"products/bench.yaml":     {Data: []byte("b")},
		"products/oak/stool.yml":  {Data: []byte("s")},
		"products.yaml":           {Data: []byte("p")},
		"BASE.YAML":               {Data: []byte("u")},
		"README.md":               {Data: []byte("r")},
		"products/bench.yaml~":    {Data: []byte("old")},
		"products/.bench.yaml":    {Data: []byte("hidden")},
		".cache/products.yaml":    {Data: []byte("hidden")},
		"yaml":                    {Data: []byte("no ending")},
		"folder.yaml/inside.yaml": {Data: []byte("i")},
		"pipe.yaml":               {Mode: fs.ModeNamedPipe},
		"long.yaml":               {Data: make([]byte, MaxFileBytes+1)},
		"full.yaml":               {Data: make([]byte, MaxFileBytes)},
	}
	files, faults := ReadDir(fsys)
	want := []string{"BASE.YAML", "folder.yaml/inside.yaml", "full.yaml", "products/bench.yaml", "products/oak/stool.yml", "products.yaml"}
	if got := paths(files); !slices.Equal(got, want) {
		t.Errorf("read %q\nwant %q", got, want)
	}
	if string(files[3].Bytes) != "b" || len(files[2].Bytes) != MaxFileBytes {
		t.Error("the files do not hold what was written to them")
	}
	wantFaults := []string{"long.yaml: more than 4 MiB; split the file", "pipe.yaml: not a regular file"}
	if got := sentences(faults); !slices.Equal(got, wantFaults) {
		t.Errorf("faults %q\nwant %q", got, wantFaults)
	}
}

// On a real disk: links, whether they lead out of the folder or not.
func TestReadDirLinks(t *testing.T) {
	outside, root := t.TempDir(), t.TempDir()
	write := func(name string) {
		t.Helper()
		if err := os.WriteFile(name, []byte("edition: 1\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	link := func(to, from string) {
		t.Helper()
		if err := os.Symlink(to, filepath.Join(root, from)); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(outside, "secret.yaml"))
	write(filepath.Join(root, "own.yaml"))
	write(filepath.Join(root, "notes.txt"))
	link(filepath.Join(outside, "secret.yaml"), "out.yaml")
	link("own.yaml", "in.yaml")
	link(outside, "folder")
	link("notes.txt", "notes-too.txt")
	link("nowhere", "dangling.txt")
	files, faults := ReadDir(os.DirFS(root))
	if got := paths(files); !slices.Equal(got, []string{"own.yaml"}) {
		t.Errorf("read %q", got)
	}
	want := []string{
		"folder: a symbolic link is not followed; put the file itself in the folder",
		"in.yaml: a symbolic link is not followed; put the file itself in the folder",
		"out.yaml: a symbolic link is not followed; put the file itself in the folder",
	}
	if got := sentences(faults); !slices.Equal(got, want) {
		t.Errorf("faults %q\nwant %q", got, want)
	}
}

func TestReadDirThatIsNotThere(t *testing.T) {
	files, faults := ReadDir(os.DirFS(filepath.Join(t.TempDir(), "gone")))
	if len(files) != 0 || !slices.Equal(sentences(faults), []string{".: cannot be read: no such file or directory"}) {
		t.Errorf("%q, %q", paths(files), sentences(faults))
	}
}

func TestReadDirLimits(t *testing.T) {
	many := func(n int, ending string, content []byte) fstest.MapFS {
		fsys := fstest.MapFS{}
		for i := range n {
			fsys[fmt.Sprintf("%05d%s", i, ending)] = &fstest.MapFile{Data: content}
		}
		return fsys
	}
	for _, test := range []struct {
		name  string
		fsys  fs.FS
		files int
		want  string
	}{
		{"as many files as are let through", many(MaxFiles, ".yaml", nil), MaxFiles, ""},
		{"more files", many(MaxFiles+1, ".yaml", nil), MaxFiles, ".: more than 2000 catalog files; put several products in one file"},
		{"as many bytes as are let through", many(16, ".yaml", make([]byte, MaxFileBytes)), 16, ""},
		{"more bytes", many(18, ".yaml", make([]byte, MaxFileBytes)), 16, "00016.yaml: with this file the catalog has more than 64 MiB; no file from here on is read"},
		{"another folder altogether", many(maxEntries+5, ".txt", nil), 0, ".: more than 20000 files and folders; point at the folder that holds the catalog alone"},
	} {
		t.Run(test.name, func(t *testing.T) {
			files, faults := ReadDir(test.fsys)
			if got := strings.Join(sentences(faults), "\n"); got != test.want || len(files) != test.files {
				t.Errorf("%d files; %s\nwant %d; %s", len(files), got, test.files, test.want)
			}
		})
	}
}

// growing says that it is empty and then gives more than the limit.
type growing struct{ fs.FS }

func (g growing) Open(name string) (fs.File, error) {
	file, err := g.FS.Open(name)
	if err != nil || name == "." {
		return file, err
	}
	return growingFile{file, name}, nil
}

type growingFile struct {
	fs.File
	name string
}

func (f growingFile) Stat() (fs.FileInfo, error) { return nil, errors.New("no figures") }

func (f growingFile) Read(into []byte) (int, error) {
	if f.name == "broken.yaml" {
		return 0, errors.New("the disk is gone")
	}
	return len(into), nil
}

func TestReadDirTrustsNoSize(t *testing.T) {
	files, faults := ReadDir(growing{fstest.MapFS{"endless.yaml": {}, "broken.yaml": {}}})
	want := []string{"broken.yaml: cannot be read: the disk is gone", "endless.yaml: more than 4 MiB; split the file"}
	if got := sentences(faults); len(files) != 0 || !slices.Equal(got, want) {
		t.Errorf("%q, %q", paths(files), got)
	}
}
