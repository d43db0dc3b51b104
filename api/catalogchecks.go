package api

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"billwright/bom/golden"
	"billwright/catalog"
	"billwright/catalog/catalogdb"
	"billwright/catalog/source"
)

type catalogFile struct {
	Path string `json:"path" minLength:"1" maxLength:"200" doc:"Path below the catalog's folder, such as products/bench.yaml."`
	Text string `json:"text" doc:"The file's text."`
}

// catalogRead is what the files of a request come to: a catalog, or faults.
type catalogRead struct {
	catalog *catalog.Catalog
	faults  []source.Fault
	places  map[string]int // of the files in the request, by path
}

// readCatalog makes a catalog of a request's files. A path that cannot be that
// of a catalog file is a problem of the request itself.
func readCatalog(given []catalogFile) (*catalogRead, *Problem) {
	var findings []Finding
	r := &catalogRead{places: map[string]int{}}
	files := make([]source.File, len(given))
	for i, file := range given {
		at := fmt.Sprintf("/files/%d/path", i)
		if _, twice := r.places[file.Path]; twice {
			findings = append(findings, Finding{Pointer: at, Code: "file.twice", Message: "There are two files with the path " + quoteShort(file.Path) + "."})
		}
		if !catalogdb.ValidPath(file.Path) {
			findings = append(findings, Finding{Pointer: at, Code: "file.path",
				Message: "The path " + quoteShort(file.Path) + " is not that of a catalog file: write it with slashes, without . and .., ending in .yaml."})
		}
		r.places[file.Path] = i
		files[i] = source.File{Path: file.Path, Bytes: []byte(file.Text)}
	}
	if findings != nil {
		return nil, invalid(findings[:min(len(findings), maxFindings)]...)
	}
	slices.SortFunc(files, func(a, b source.File) int { return strings.Compare(a.Path, b.Path) })
	r.catalog, r.faults = catalog.Read(files)
	return r, nil
}

// pointer leads to a file of the request, or to nothing for what is of no one
// file.
func (r *catalogRead) pointer(path string) string {
	if i, found := r.places[path]; found {
		return fmt.Sprintf("/files/%d/text", i)
	}
	return ""
}

type catalogCheckRequest struct {
	Files []catalogFile `json:"files" minItems:"1" maxItems:"2000" doc:"Every file of the catalog."`
}

type postCatalogCheckInput struct{ Body catalogCheckRequest }

// catalogCheckReply is what a check of a catalog finds.
type catalogCheckReply struct {
	Faults        []catalogFault  `json:"faults" doc:"What keeps it from being stored, by place. While there is any, nothing else is looked at."`
	Warnings      []catalogFault  `json:"warnings" doc:"What is probably not meant, and does not keep it from being stored."`
	RuleFindings  []ruleFinding   `json:"rule_findings" doc:"What is wrong with the rules as a whole, which does not keep it from being stored."`
	GoldenChanges []goldenChanged `json:"golden_changes" doc:"Expected figures of golden orders that come out otherwise."`
}

// catalogFault is one fault or warning.
type catalogFault struct {
	File    string `json:"file,omitempty" doc:"Path of the file; absent for what no one file says."`
	Line    int    `json:"line,omitempty" doc:"From 1; absent for the file as a whole."`
	Column  int    `json:"column,omitempty" doc:"Character of the line, from 1."`
	Where   string `json:"where,omitempty" doc:"The keys that lead there."`
	Message string `json:"message" doc:"What is wrong."`
	Hint    string `json:"hint,omitempty" doc:"What would do instead, or what was probably meant."`
}

// goldenChanged is one figure of a golden order that comes out otherwise.
type goldenChanged struct {
	Order   string `json:"golden_order" doc:"Name of the golden order."`
	File    string `json:"file" doc:"Where the figure is expected."`
	Line    int    `json:"line"`
	Figure  string `json:"figure" doc:"Address of the figure, such as base/leg cut_length."`
	Was     string `json:"was" doc:"What is expected."`
	Becomes string `json:"becomes" doc:"What comes out."`
	Hint    string `json:"hint,omitempty" doc:"What was probably meant, where there is no such figure."`
}

type catalogCheckOutput struct{ Body catalogCheckReply }

// postCatalogCheck checks a catalog and stores nothing of it.
func (s *Server) postCatalogCheck(_ context.Context, in *postCatalogCheckInput) (*catalogCheckOutput, error) {
	read, problem := readCatalog(in.Body.Files)
	if problem != nil {
		return nil, problem
	}
	out := &catalogCheckOutput{catalogCheckReply{Faults: showFaults(read.faults), Warnings: []catalogFault{}, RuleFindings: []ruleFinding{}, GoldenChanges: []goldenChanged{}}}
	if read.catalog == nil {
		return out, nil
	}
	out.Body.Warnings = showFaults(append(read.catalog.Warnings(), golden.Defaults(read.catalog)...))
	out.Body.RuleFindings = showLint(read.catalog.LintRules(read.catalog.Workshop.Effective))
	for _, c := range golden.Run(read.catalog) {
		out.Body.GoldenChanges = append(out.Body.GoldenChanges, goldenChanged{c.Order, c.Pos.File, c.Pos.Line, c.Figure, c.Was, c.Becomes, c.Hint})
	}
	return out, nil
}

func showFaults(faults []source.Fault) []catalogFault {
	all := make([]catalogFault, len(faults))
	for i, f := range faults {
		all[i] = catalogFault{f.File, f.Line, f.Column, f.Where, f.Message, f.Hint}
	}
	return all
}
