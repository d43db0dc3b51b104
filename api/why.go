package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"billwright/bom"
)

const plainText = "text/plain; charset=utf-8"

type getWhyInput struct {
	Versioned
	Conditional
	Path   string `path:"path" doc:"The row's address: line / position path, such as 2/base/leg; its slashes may be written as they are or as %2F."`
	Format string `query:"format" enum:"json,text,svg" doc:"Form of the reply: svg is a picture of the row to scale, of a blank, of bent or forged steel or of cloth by the roll; without it, text where Accept names text/plain before JSON, else JSON."`
	Accept string `header:"Accept" hidden:"true"`
}

// wantsText tells whether the reasons are to be read by a person.
func (in *getWhyInput) wantsText() bool {
	if in.Format != "" {
		return in.Format == "text"
	}
	first, _, _ := strings.Cut(in.Accept, ",")
	media, weight := mediaRange(first)
	return media == "text/plain" && weight > 0
}

// whyReply tells why one row of a bill is as it is.
type whyReply struct {
	Order   string `json:"order"`
	Version int    `json:"bill_version"`
	bom.Why
}

// getWhy reckons the bill again from the revision that the order is pinned to
// and gives the reasons of one row.
func (s *Server) getWhy(ctx context.Context, in *getWhyInput) (*document, error) {
	stored, bill, trace, err := s.traceBill(ctx, in.Versioned)
	if err != nil {
		return nil, err
	}
	address, err := url.PathUnescape(in.Path)
	if err != nil {
		address = in.Path // which then is no row's
	}
	why, err := trace.Why(address)
	if errors.Is(err, bom.ErrNoRow) {
		return nil, notFound(fmt.Sprintf("Bill %d of order %s: %v.", bill.Version, stored.Number, err))
	}
	if err != nil {
		return nil, err
	}
	if in.Format == "svg" {
		return drawRow(trace, stored.Number, address)
	}
	if in.wantsText() {
		return &document{Status: http.StatusOK, ContentType: plainText, Vary: "Accept", Body: []byte(why.Text())}, nil
	}
	body, err := encode(whyReply{stored.Number, bill.Version, *why})
	if err != nil {
		return nil, err
	}
	reply := in.show(etag(bill.Version), body)
	reply.Vary = "Accept"
	return reply, nil
}

// rowAddress makes one path segment of a row's address, so that it may be
// written with plain slashes: /bill/rows/2/base/leg/why.
func rowAddress(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		at := c.Request().URL
		before, rest, found := strings.Cut(at.EscapedPath(), "/bill/rows/")
		if address, ends := strings.CutSuffix(rest, "/why"); found && ends && strings.Contains(address, "/") {
			at.RawPath = before + "/bill/rows/" + strings.ReplaceAll(address, "/", url.PathEscape("/")) + "/why"
		}
		return next(c)
	}
}
