package api

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom/order/orderdb"
	"billwright/bom/order/orderfile"
	"billwright/catalog"
	"billwright/migrations/tenancy"
)

// importBody bounds the body of an import: a file in base64 and its mapping.
const importBody = 24 << 20

// importWait is how long a request waits for an import to be through before it
// answers with how far it is.
const importWait = 8 * time.Second

type importInput struct {
	Idempotent
	DryRun string `query:"dry_run" enum:"yes,no" default:"no" doc:"yes to be told what would become of the file, and to store nothing of it."`
	Body   struct {
		Name    string `json:"name,omitempty" required:"false" maxLength:"120" doc:"What the file is called."`
		Mapping string `json:"mapping" maxLength:"65536" doc:"How the file is written and which column holds what, in YAML."`
		File    string `json:"file" maxLength:"23000000" doc:"The file's bytes in base64 (RFC 4648 section 4), at most 16 MiB and 50,000 rows."`
	}
}

// importReply tells how far an import is, and what was wrong.
type importReply struct {
	ID       uuid.UUID         `json:"id"`
	Name     string            `json:"name"`
	DryRun   bool              `json:"dry_run"`
	State    string            `json:"state" enum:"running,done"`
	SHA256   string            `json:"sha256" doc:"Of the file."`
	Rows     int               `json:"rows"`
	Orders   int               `json:"orders" doc:"Orders in the file."`
	Position int               `json:"position" doc:"Orders that are done."`
	Good     int               `json:"good" doc:"Orders without a fault, those known among them."`
	Loaded   int               `json:"loaded" doc:"Orders that were stored; none in a dry run."`
	Known    int               `json:"known" doc:"Orders that had been taken before and were left as they are."`
	Faulty   int               `json:"faulty" doc:"Orders that are left out whole for a fault in one of their rows."`
	Count    int               `json:"fault_count"`
	Faults   []orderfile.Fault `json:"faults" doc:"By row and column, in the order of the file; at most 1000."`
	BegunAt  time.Time         `json:"begun_at"`
	EndedAt  *time.Time        `json:"ended_at,omitempty"`
}

func showImport(i *orderdb.Import) importReply {
	r := importReply{ID: i.ID, Name: i.Name, DryRun: i.DryRun, State: "running", SHA256: fmt.Sprintf("%x", i.SHA256), Rows: i.Rows, Orders: i.Orders, Position: i.Position,
		Good: i.Good, Loaded: i.Loaded, Known: i.Known, Faulty: i.Faulty, Count: i.FaultCount, Faults: i.Faults, BegunAt: i.BegunAt.UTC()}
	if i.Done {
		r.State = "done"
	}
	if i.EndedAt != nil {
		at := i.EndedAt.UTC()
		r.EndedAt = &at
	}
	return r
}

// orderFile is a file as it was read by its mapping.
type orderFile struct {
	asked []*orderfile.Asked
	lost  []orderfile.Fault
	rows  int
}

// readOrderFile reads a file by its mapping, or refuses it for one reason.
func readOrderFile(mapping, file []byte, cat *catalog.Catalog) (*orderFile, *Problem) {
	m, faults := orderfile.ReadMapping(mapping)
	if m != nil && cat != nil {
		faults = m.UnknownAttributes(cat)
	}
	if len(faults) > 0 {
		findings := make([]Finding, len(faults))
		for i, fault := range faults {
			findings[i] = Finding{Pointer: "/mapping", Code: "mapping", Message: sentence(fault)}
		}
		return nil, invalid(findings...)
	}
	read := orderfile.ReadCSV
	if m.File == "xlsx" {
		read = orderfile.ReadSheet
	}
	table, err := read(m, file)
	if err != nil {
		code := "file.form"
		var refused *orderfile.Refused
		if errors.As(err, &refused) {
			code = "file." + refused.Code
		}
		return nil, invalid(Finding{Pointer: "/file", Code: code, Message: sentence(err.Error())})
	}
	f := &orderFile{rows: len(table.Rows)}
	f.asked, f.lost = orderfile.Orders(m, table)
	if f.rows == 0 {
		return nil, invalid(Finding{Pointer: "/file", Code: "file.form", Message: "The file has no row under its heads."})
	}
	return f, nil
}

// postImport reads a file, and loads its orders or tells what would become of
// them. What takes longer than a moment goes on after the reply.
func (s *Server) postImport(ctx context.Context, in *importInput) (*acted, error) {
	who := principalOf(ctx)
	file, err := base64.StdEncoding.DecodeString(in.Body.File)
	if err != nil {
		return nil, invalid(Finding{Pointer: "/file", Code: "file.base64", Message: "The file is not in base64."})
	}
	hash := sha256.Sum256(file)
	said := sized(sized(sized(sized(nil, "import "+in.DryRun+" "+who.replayScope()), in.Body.Mapping), string(hash[:])), in.Body.Name)
	o, err := newOnce(who, in.Idempotent, sha256.Sum256(said))
	if err != nil {
		return nil, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	read, problem := readOrderFile([]byte(in.Body.Mapping), file, st.catalog)
	if problem != nil {
		return s.replayOr(ctx, who, o, problem)
	}
	id, err := uuid.NewV7()
	if err != nil {
		return nil, fmt.Errorf("draw an id: %w", err)
	}
	begun := orderdb.Import{ID: id, Name: strings.TrimSpace(in.Body.Name), DryRun: in.DryRun == "yes", Test: who.test, Mapping: []byte(in.Body.Mapping), SHA256: hash,
		Rows: read.rows, Orders: len(read.asked), Faults: read.lost, FaultCount: len(read.lost), BegunAt: st.now(s.set.Clock), BegunBy: who.actor(), Role: who.role.String()}
	reply, err := s.act(ctx, who, o, "", func(tx pgx.Tx) (orderdb.Reply, error) {
		if err := orderdb.AddImport(ctx, tx, who.workshop, begun, file); err != nil {
			return orderdb.Reply{}, err
		}
		body, err := encode(showImport(&begun))
		if err != nil {
			return orderdb.Reply{}, err
		}
		entry := authdb.Entry{Workshop: who.workshop, At: s.set.Clock(), Actor: who.actor(), Role: who.role.String(), Act: "orders imported", Subject: id.String(), After: body}
		if begun.DryRun {
			entry.Act = "import tried"
		}
		return created("/v1/imports/"+id.String(), body), authdb.Audit(ctx, tx, entry)
	})
	if err != nil {
		return nil, err
	}
	var stored importReply
	if err := json.Unmarshal(reply.Body, &stored); err != nil {
		return nil, fmt.Errorf("read a stored reply: %w", err)
	}
	now, err := s.importUnderWay(ctx, who, stored.ID, importWait)
	if err != nil {
		return nil, err
	}
	reply.Body, err = encode(showImport(now))
	return reply, err
}

type oneImport struct {
	ID uuid.UUID `path:"id" format:"uuid" doc:"The import's id."`
}

type importOutput struct{ Body importReply }

// getImport tells how far an import is. One that nobody is at, since whoever was
// has ended, goes on.
func (s *Server) getImport(ctx context.Context, in *oneImport) (*importOutput, error) {
	i, err := s.importUnderWay(ctx, principalOf(ctx), in.ID, 0)
	if errors.Is(err, orderdb.ErrNoImport) {
		return nil, notFound("There is no such import.")
	}
	if err != nil {
		return nil, err
	}
	return &importOutput{showImport(i)}, nil
}

type importList struct {
	Imports []importReply `json:"imports" doc:"Newest first, at most 50, without their faults."`
}

type importsOutput struct{ Body importList }

// listImports lists the newest imports.
func (s *Server) listImports(ctx context.Context, _ *struct{}) (*importsOutput, error) {
	who, list := principalOf(ctx), importList{Imports: []importReply{}}
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		imports, err := orderdb.Imports(ctx, tx, who.workshop, 50)
		for k := range imports {
			shown := showImport(&imports[k])
			shown.Faults = []orderfile.Fault{}
			list.Imports = append(list.Imports, shown)
		}
		return err
	})
	return &importsOutput{list}, err
}

// importUnderWay sees to it that somebody is at an import that is not through,
// and reads how far it is, waiting a while for its end.
func (s *Server) importUnderWay(ctx context.Context, who *principal, id uuid.UUID, wait time.Duration) (*orderdb.Import, error) {
	until := time.Now().Add(wait)
	for {
		var i orderdb.Import
		err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
			i, err = orderdb.FindImport(ctx, tx, who.workshop, id)
			return err
		})
		if err != nil || i.Done {
			return &i, err
		}
		if i.LeasedUntil == nil || i.LeasedUntil.Before(time.Now()) {
			s.importing.begin(s, who.workshop, &i)
		}
		if time.Now().After(until) {
			return &i, nil
		}
		select {
		case <-time.After(50 * time.Millisecond):
		case <-ctx.Done():
			return &i, ctx.Err()
		}
	}
}

// importStatus documents the replies of an import.
func importStatus(s *Server) responses { return replies(s, http.StatusCreated, importReply{}) }
