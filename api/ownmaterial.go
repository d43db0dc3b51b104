package api

import (
	"context"
	"errors"

	"billwright/bom"
	"billwright/catalog/unit"
)

type postOwnMaterialInput struct {
	Numbered
	Body ownMaterialRequest
}

// ownMaterialRequest is what came of a line's own material.
type ownMaterialRequest struct {
	Line     int    `json:"line" minimum:"1" maximum:"200" doc:"Line of the order."`
	Path     string `json:"path" maxLength:"200" doc:"Path of the bill's cloth row, such as cushion/cloth."`
	Received string `json:"received" maxLength:"40" doc:"What came: a length with its unit, such as 6 yd, or of leather an area, such as 54 ft2."`
	Usable   string `json:"usable_width" required:"false" maxLength:"40" doc:"Width that pieces may be cut from; as said with the order if left out."`
	Repeat   string `json:"repeat" required:"false" maxLength:"40" doc:"Pattern repeat along the roll, 0 in for none; as said with the order if left out."`
	Across   string `json:"repeat_across" required:"false" maxLength:"40" doc:"Pattern repeat across the goods; as said with the order if left out."`
	Flaws    string `json:"flaws" required:"false" maxLength:"40" doc:"How much of the length cannot be cut from; nothing if left out."`
}

// ownMaterialReply tells whether what came is enough.
type ownMaterialReply struct {
	Order   string    `json:"order"`
	Version int       `json:"bill_version"`
	Units   bom.Units `json:"units"`
	bom.OwnMaterialCheck
}

// postOwnMaterial holds what came of customer's own material against what its
// line needs, by the revision that the order is pinned to, and stores nothing.
func (s *Server) postOwnMaterial(ctx context.Context, in *postOwnMaterialInput) (*checkOutput, error) {
	stored, bill, trace, err := s.traceBill(ctx, Versioned{Numbered: in.Numbered})
	if err != nil {
		return nil, err
	}
	came, findings := in.Body.received()
	if len(findings) > 0 {
		return nil, invalid(findings...)
	}
	check, err := trace.CheckOwnMaterial(in.Body.Line, in.Body.Path, came)
	if errors.Is(err, bom.ErrNotOwnMaterial) {
		return nil, invalid(Finding{Pointer: "/path", Code: "own-material.none", Message: sentence(err.Error())})
	}
	if err != nil {
		return nil, err
	}
	if leather := check.Said.Hides > 0; leather == (came.Area == 0) {
		return nil, invalid(Finding{Pointer: "/received", Code: "own-material.measure", Message: map[bool]string{
			true: "This is leather: write the area that came, such as 54 ft2.", false: "This is cloth by the roll: write the length that came, such as 6 yd."}[leather]})
	}
	body, err := bom.Document(trace.Bill.Units, ownMaterialReply{stored.Number, bill.Version, trace.Bill.Units, *check})
	if err != nil {
		return nil, err
	}
	return &checkOutput{"application/json", body}, nil
}

// received reads what came.
func (r *ownMaterialRequest) received() (came bom.Received, findings []Finding) {
	fault := func(pointer string, err error) {
		findings = append(findings, Finding{Pointer: pointer, Code: "entry.unreadable", Message: sentence(err.Error())})
	}
	if area, err := unit.ParseArea(r.Received); err == nil {
		came.Area = area
	} else if length, err := unit.ParseLength(r.Received); err == nil {
		came.Length = length
	} else {
		fault("/received", err)
	}
	var repeat, across unit.Length
	for _, one := range []struct {
		pointer, text string
		into          *unit.Length
	}{{"/usable_width", r.Usable, &came.Usable}, {"/repeat", r.Repeat, &repeat}, {"/repeat_across", r.Across, &across}, {"/flaws", r.Flaws, &came.Flaws}} {
		if one.text == "" {
			continue
		}
		length, err := unit.ParseLength(one.text)
		if err != nil {
			fault(one.pointer, err)
		}
		*one.into = length
	}
	if r.Repeat != "" {
		came.Repeat = &repeat
	}
	if r.Across != "" {
		came.Across = &across
	}
	if r.Usable != "" && came.Usable == 0 && len(findings) == 0 {
		findings = append(findings, Finding{Pointer: "/usable_width", Code: "entry.unreadable", Message: "Goods without a width cannot be cut; write the usable width, or leave it out."})
	}
	return came, findings
}
