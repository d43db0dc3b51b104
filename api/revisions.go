package api

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/catalogdb"
	"billwright/catalog/source"
)

type revisionRequest struct {
	Files []catalogFile `json:"files" minItems:"1" maxItems:"2000" doc:"Every file of the catalog; nothing is taken over from the revision before."`
}

type catalogFile struct {
	Path string `json:"path" minLength:"1" maxLength:"200" doc:"Path below the catalog's folder, such as products/bench.yaml."`
	Text string `json:"text" doc:"The file's text."`
}

type postRevisionInput struct {
	Idempotent
	Body revisionRequest
}

// revisionReply is a stored revision.
type revisionReply struct {
	Revision  int           `json:"revision"`
	Effective calendar.Date `json:"effective" doc:"First day on which it holds."`
}

func (r *revisionRequest) fingerprint() [sha256.Size]byte {
	h := sha256.New()
	h.Write(sized(nil, "revision 1"))
	for i := range r.Files {
		h.Write(sized(sized(nil, r.Files[i].Path), r.Files[i].Text))
	}
	return [sha256.Size]byte(h.Sum(nil))
}

// postRevision stores a whole catalog as the workshop's next revision, or
// refuses it with every fault. On this instance it takes effect at once, on
// others within a second, and never before its first day.
func (s *Server) postRevision(ctx context.Context, in *postRevisionInput) (*acted, error) {
	who := principalOf(ctx)
	o, err := newOnce(who, in.Idempotent, in.Body.fingerprint())
	if err != nil {
		return nil, err
	}
	cat, problem := in.Body.read()
	if problem != nil {
		return s.replayOr(ctx, who, o, problem)
	}
	for range placings { // others may store revisions at the same time
		made, err := s.act(ctx, who, o, "", func(tx pgx.Tx) (orderdb.Reply, error) {
			revision, err := catalogdb.Store(ctx, tx, who.workshop, cat, who.actor(), s.set.Clock())
			if err != nil {
				return orderdb.Reply{}, err
			}
			reply := revisionReply{revision, cat.Workshop.Effective}
			if err := s.audit(ctx, tx, who, "catalog stored", "revision "+strconv.Itoa(revision), nil, reply); err != nil {
				return orderdb.Reply{}, err
			}
			body, err := json.Marshal(reply)
			return created("/v1/catalog", body), err
		})
		if !errors.Is(err, catalogdb.ErrRevisionTaken) {
			s.standings.changed(who.workshop) // also when nobody knows whether it was stored
			return made, err
		}
	}
	return nil, unavailable(time.Second, catalogdb.ErrRevisionTaken)
}

// read makes a catalog of the files, or tells their faults.
func (r *revisionRequest) read() (*catalog.Catalog, *Problem) {
	var findings []Finding
	files := make([]source.File, len(r.Files))
	places := map[string]int{}
	for i, file := range r.Files {
		at := fmt.Sprintf("/files/%d/path", i)
		if _, twice := places[file.Path]; twice {
			findings = append(findings, Finding{Pointer: at, Code: "file.twice", Message: "There are two files with the path " + quoteShort(file.Path) + "."})
		}
		if !fs.ValidPath(file.Path) || !strings.HasSuffix(file.Path, ".yaml") && !strings.HasSuffix(file.Path, ".yml") {
			findings = append(findings, Finding{Pointer: at, Code: "file.path",
				Message: "The path " + quoteShort(file.Path) + " is not that of a catalog file: write it with slashes, without . and .., ending in .yaml."})
		}
		places[file.Path] = i
		files[i] = source.File{Path: file.Path, Bytes: []byte(file.Text)}
	}
	if findings != nil {
		return nil, invalid(findings[:min(len(findings), maxFindings)]...)
	}
	slices.SortFunc(files, func(a, b source.File) int { return strings.Compare(a.Path, b.Path) })
	cat, faults := catalog.Read(files)
	if len(faults) == 0 {
		return cat, nil
	}
	for _, fault := range faults[:min(len(faults), maxFindings)] {
		finding := Finding{Code: "catalog.fault", Message: fault.Error()}
		if i, found := places[fault.File]; found {
			finding.Pointer = fmt.Sprintf("/files/%d/text", i)
		}
		findings = append(findings, finding)
	}
	problem := invalid(findings...)
	problem.Detail = fmt.Sprintf("The catalog has faults: %d. The first %d are listed.", len(faults), len(findings))
	return nil, problem
}
