package api

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/migrations/tenancy"
)

type attachInput struct {
	BesideOrder
	Name     string `query:"name" required:"true" maxLength:"200" doc:"Name of the file, such as sketch.pdf; its ending must be of what the file holds."`
	Audience string `query:"audience" maxLength:"20" doc:"Whom it is for: internal, dealer or shop. A dealer's own files are for the dealer."`
	Line     int    `query:"line" minimum:"0" maximum:"32000" doc:"Line that it belongs to; without it, the whole order."`
	RawBody  []byte `contentType:"application/octet-stream"`
}

// attachmentShown is an attachment without what it holds.
type attachmentShown struct {
	Attachment int       `json:"attachment" doc:"Its number among those for the same audience."`
	Audience   string    `json:"audience" enum:"internal,dealer,shop"`
	Line       int       `json:"line"`
	Name       string    `json:"name"`
	MediaType  string    `json:"media_type" doc:"What the file holds, decided by its content."`
	Size       int       `json:"size" doc:"In bytes."`
	SHA256     string    `json:"sha256"`
	At         time.Time `json:"at"`
	From       string    `json:"from" enum:"dealer,workshop"`
	By         string    `json:"by,omitempty" doc:"The key that attached it, shown to the workshop's own people."`
	Path       string    `json:"path" doc:"Where its bytes are."`
}

type attachmentReply struct {
	Order      string          `json:"order"`
	Attachment attachmentShown `json:"attachment"`
}

// postAttachment keeps a file with an order.
func (s *Server) postAttachment(ctx context.Context, in *attachInput) (*acted, error) {
	who := principalOf(ctx)
	audience, err := audienceOf(who, in.Audience)
	if err != nil {
		return nil, err
	}
	asked := struct {
		Name, Audience string
		Line           int
		SHA256         [32]byte
	}{in.Name, audience, in.Line, sha256.Sum256(in.RawBody)}
	return s.actBeside(ctx, in.act(), order.Attach, asked, func(a *acting) (orderdb.Reply, error) {
		return a.attach(orderdb.StoredAttachment{At: s.set.Clock(), By: who.actor(), Role: who.role.String(),
			Attachment: order.Attachment{Audience: audience, Line: in.Line, Name: strings.TrimSpace(in.Name)}}, in.RawBody)
	})
}

func (a *acting) attach(f orderdb.StoredAttachment, content []byte) (orderdb.Reply, error) {
	kind, found := a.doc.CheckAttachment(f.Attachment, content)
	if len(found) > 0 {
		findings := shown(found)
		for i := range findings { // they stand in the address, not in the body
			findings[i].Parameter, findings[i].Pointer = "query"+strings.ReplaceAll(findings[i].Pointer, "/", "."), ""
		}
		return orderdb.Reply{}, invalid(findings...)
	}
	count, size, err := orderdb.AttachmentsSoFar(a.ctx, a.tx, a.who.workshop, a.before.ID, f.Audience)
	if err != nil {
		return orderdb.Reply{}, err
	}
	if count >= order.MaxAttachments || size+len(content) > order.MaxAttachmentBytes {
		return orderdb.Reply{}, conflict(fmt.Sprintf("The order has %d attachments of %d bytes for this audience; at most %d of %d bytes together are kept.",
			count, size, order.MaxAttachments, order.MaxAttachmentBytes))
	}
	f.Seq, f.MediaType, f.Size = count+1, kind, len(content)
	f.SHA256, err = orderdb.AddAttachment(a.ctx, a.tx, a.who.workshop, a.before, f, content)
	if errors.Is(err, orderdb.ErrAttached) {
		return orderdb.Reply{}, conflict("This very file is attached for this audience already.")
	}
	if err != nil {
		return orderdb.Reply{}, err
	}
	a.reason = fmt.Sprintf("%s attachment %d: %s, %d bytes, SHA-256 %x", f.Audience, f.Seq, f.Name, f.Size, f.SHA256)
	if err := a.toldBeside(order.Attach, order.NewsAttachment, f.Audience, f.Seq, f.At); err != nil {
		return orderdb.Reply{}, err
	}
	one := showAttachment(a.before.Number, &f, a.who)
	body, err := encode(attachmentReply{a.before.Number, one})
	return orderdb.Reply{Status: http.StatusCreated, Location: one.Path, ETag: fileTag(f.SHA256), Body: body}, err
}

func fileTag(hash [32]byte) string { return `"` + hex.EncodeToString(hash[:]) + `"` }

func showAttachment(number string, f *orderdb.StoredAttachment, who *principal) attachmentShown {
	one := attachmentShown{Attachment: f.Seq, Audience: f.Audience, Line: f.Line, Name: f.Name, MediaType: f.MediaType, Size: f.Size,
		SHA256: hex.EncodeToString(f.SHA256[:]), At: f.At.UTC(), From: writtenBy(f.Role), Path: fmt.Sprintf("%s/attachments/%s/%d", orderPath(number), f.Audience, f.Seq)}
	if who.dealer == "" {
		one.By = f.By
	}
	return one
}

type attachmentList struct {
	Order       string            `json:"order"`
	Attachments []attachmentShown `json:"attachments" doc:"Oldest first."`
}

type attachmentsOutput struct{ Body attachmentList }

// listAttachments lists the files that go with an order and are meant for
// whoever asks.
func (s *Server) listAttachments(ctx context.Context, in *besideInput) (*attachmentsOutput, error) {
	who, list := principalOf(ctx), attachmentList{Attachments: []attachmentShown{}}
	err := s.readBeside(ctx, in, func(tx pgx.Tx, stored orderdb.Stored, audiences []string) error {
		list.Order = stored.Number
		files, err := orderdb.Attachments(ctx, tx, who.workshop, stored.ID, audiences)
		for i := range files {
			list.Attachments = append(list.Attachments, showAttachment(stored.Number, &files[i], who))
		}
		return err
	})
	return &attachmentsOutput{list}, err
}

type getAttachmentInput struct {
	Numbered
	Conditional
	Audience   string `path:"audience" maxLength:"20" doc:"Whom it is for."`
	Attachment int    `path:"attachment" minimum:"1" maximum:"1000" doc:"Its number."`
}

// download is a file's bytes, offered to be kept and never shown as anything
// that a browser would run.
type download struct {
	Status       int
	ContentType  string `header:"Content-Type" hidden:"true"`
	Disposition  string `header:"Content-Disposition" hidden:"true"`
	Options      string `header:"X-Content-Type-Options" hidden:"true"`
	Policy       string `header:"Content-Security-Policy" hidden:"true"`
	CacheControl string `header:"Cache-Control" hidden:"true"`
	ETag         string `header:"ETag"`
	Body         []byte
}

// getAttachment gives the bytes of an attachment.
func (s *Server) getAttachment(ctx context.Context, in *getAttachmentInput) (*download, error) {
	who := principalOf(ctx)
	missing := notFound(fmt.Sprintf("The order has no attachment %d for that audience.", in.Attachment))
	var f orderdb.StoredAttachment
	var content []byte
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := findOrder(ctx, tx, who, in.Number)
		if err != nil {
			return err
		}
		if who.dealer != "" && in.Audience != order.ForDealer { // row-level security hides it besides
			return missing
		}
		f, content, err = orderdb.Attachment(ctx, tx, who.workshop, stored.ID, in.Audience, in.Attachment)
		return err
	})
	if errors.Is(err, orderdb.ErrNoAttachment) {
		return nil, missing
	}
	if err != nil {
		return nil, err
	}
	d := &download{Status: http.StatusOK, ContentType: f.MediaType, Disposition: attachment(f.Name), Options: "nosniff",
		Policy: "default-src 'none'; sandbox", CacheControl: "private, no-cache", ETag: fileTag(f.SHA256), Body: content}
	if in.has(d.ETag) {
		d.Status, d.ContentType, d.Disposition, d.Body = http.StatusNotModified, "", "", nil
	}
	return d, nil
}

// attachmentBytes documents the reply of an attachment's bytes.
func attachmentBytes() responses {
	return responses{"200": {
		Description: "The bytes as they were attached, offered as a download.",
		Content:     map[string]*huma.MediaType{"application/octet-stream": {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}},
	}}.unchanged()
}
