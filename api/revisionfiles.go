package api

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"path"
	"strconv"

	"github.com/danielgtaylor/huma/v2"
	"github.com/jackc/pgx/v5"

	"billwright/catalog/catalogdb"
	"billwright/migrations/tenancy"
)

// Revised is a path to one revision of the catalog.
type Revised struct {
	Revision int32 `path:"revision" minimum:"1" maximum:"2147483647" doc:"Number of the revision."`
}

func noRevision(revision int) *Problem {
	return notFound(fmt.Sprintf("There is no revision %d of the catalog.", revision))
}

// revisionFiles lists the files of a revision.
type revisionFiles struct {
	Revision int            `json:"revision"`
	Files    []revisionFile `json:"files" doc:"Sorted by path. Each one's bytes are at file?path=PATH beside this list."`
}

type revisionFile struct {
	Path   string `json:"path"`
	Bytes  int    `json:"bytes" doc:"Its size."`
	SHA256 string `json:"sha256" doc:"SHA-256 of its bytes, in hexadecimal."`
}

type listFilesInput struct{ Revised }

type listFilesOutput struct{ Body revisionFiles }

// listRevisionFiles tells of which files a revision was made.
func (s *Server) listRevisionFiles(ctx context.Context, in *listFilesInput) (*listFilesOutput, error) {
	who, revision := principalOf(ctx), int(in.Revision)
	var stored []catalogdb.StoredFile
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		stored, err = catalogdb.FileList(ctx, tx, who.workshop, revision)
		return err
	})
	if errors.Is(err, catalogdb.ErrNoRevision) {
		return nil, noRevision(revision)
	}
	out := &listFilesOutput{revisionFiles{revision, make([]revisionFile, len(stored))}}
	for i, f := range stored {
		out.Body.Files[i] = revisionFile{f.Path, f.Size, hex.EncodeToString(f.SHA256[:])}
	}
	return out, err
}

type getFileInput struct {
	Revised
	Path string `query:"path" required:"true" maxLength:"200" doc:"Path of the file as listed, such as products/bench.yaml."`
}

// fileOutput is a file as it is; it is offered as a download and never shown as
// anything that a browser would run.
type fileOutput struct {
	ContentType string `header:"Content-Type" hidden:"true"`
	Disposition string `header:"Content-Disposition" hidden:"true"`
	Options     string `header:"X-Content-Type-Options" hidden:"true"`
	Body        []byte
}

// yamlType is RFC 9512's.
const yamlType = "application/yaml"

// getRevisionFile gives a file of a revision byte for byte.
func (s *Server) getRevisionFile(ctx context.Context, in *getFileInput) (*fileOutput, error) {
	who, revision := principalOf(ctx), int(in.Revision)
	missing := notFound("Revision " + strconv.Itoa(revision) + " of the catalog, if there is one, has no file " + quoteShort(in.Path) + ".")
	if !catalogdb.ValidPath(in.Path) {
		return nil, missing // the database could not even be asked for some of them
	}
	var bytes []byte
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		bytes, err = catalogdb.File(ctx, tx, who.workshop, revision, in.Path)
		return err
	})
	if errors.Is(err, catalogdb.ErrNoFile) {
		return nil, missing
	}
	if err != nil {
		return nil, err
	}
	return &fileOutput{yamlType, attachment(path.Base(in.Path)), "nosniff", bytes}, nil
}

// attachment names a download (RFC 6266): in plain signs for old clients, and
// percent-encoded (RFC 8187) as it is.
func attachment(name string) string {
	plain := make([]byte, 0, len(name))
	encoded := make([]byte, 0, 3*len(name))
	for i := range len(name) {
		c := name[i]
		safe := c == '.' || c == '-' || c == '_' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if safe {
			plain, encoded = append(plain, c), append(encoded, c)
			continue
		}
		plain, encoded = append(plain, '_'), fmt.Appendf(encoded, "%%%02X", c)
	}
	return `attachment; filename="` + string(plain) + `"; filename*=UTF-8''` + string(encoded)
}

// fileReply documents a reply of a file's bytes.
func fileReply() responses {
	return responses{strconv.Itoa(http.StatusOK): {
		Description: "The file's bytes as they were stored.",
		Content:     map[string]*huma.MediaType{yamlType: {Schema: &huma.Schema{Type: huma.TypeString}}},
	}}
}
