package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/migrations/tenancy"
)

// Versioned is a path to a bill of one order.
type Versioned struct {
	Numbered
	Version int `query:"version" minimum:"1" maximum:"32000" doc:"Version of the bill; without it, the last."`
}

// findBill reads a bill that the principal may see.
func (s *Server) findBill(ctx context.Context, in Versioned) (orderdb.Stored, orderdb.StoredBill, error) {
	who := principalOf(ctx)
	var stored orderdb.Stored
	var bill orderdb.StoredBill
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		if stored, err = findOrder(ctx, tx, who, in.Number); err != nil {
			return err
		}
		if stored.State == order.Drafted {
			return isDraft(stored)
		}
		bill, err = orderdb.Bill(ctx, tx, who.workshop, stored.Number, in.Version)
		if errors.Is(err, orderdb.ErrNoOrder) {
			return notFound(fmt.Sprintf("Order %s has no bill of version %d.", stored.Number, in.Version))
		}
		return err
	})
	return stored, bill, err
}

// billToCut is an order's bill with the revision that it is pinned to.
type billToCut struct {
	number  string
	version int
	bill    bom.Bill
	catalog *catalog.Catalog
}

// readBill reads what of a bill is cut, and the catalog that says how.
func (s *Server) readBill(ctx context.Context, in Versioned) (*billToCut, error) {
	stored, bill, err := s.findBill(ctx, in)
	if err != nil {
		return nil, err
	}
	of := &billToCut{number: stored.Number, version: bill.Version}
	if of.catalog, err = s.catalogOf(ctx, principalOf(ctx).workshop, bill.Revision); err != nil {
		return nil, err
	}
	if err := json.Unmarshal(bill.Document, &of.bill); err != nil {
		return nil, fmt.Errorf("read bill %d of %s: %w", bill.Version, stored.Number, err)
	}
	return of, nil
}

type getBillInput struct {
	Versioned
	Conditional
}

// getBill serves the bill's bytes as they were stored and hashed.
func (s *Server) getBill(ctx context.Context, in *getBillInput) (*document, error) {
	stored, bill, err := s.findBill(ctx, in.Versioned)
	if err != nil {
		return nil, err
	}
	d := in.show(etag(bill.Version), bill.Document)
	if bill.Version < bill.Last {
		d.Link = fmt.Sprintf(`<%s/bill?version=%d>; rel="latest-version"`, orderPath(stored.Number), bill.Last)
	}
	return d, nil
}

// workingReply tells how each figure of a bill came about.
type workingReply struct {
	Order   string        `json:"order"`
	Version int           `json:"bill_version"`
	Working []bom.Working `json:"working"`
}

// getWorking reckons the bill again from the revision that the order is pinned
// to, with its working; see order.Working.
func (s *Server) getWorking(ctx context.Context, in *getBillInput) (*document, error) {
	stored, bill, trace, err := s.traceBill(ctx, in.Versioned)
	if err != nil {
		return nil, err
	}
	rows, err := json.Marshal(trace.Working)
	if err != nil {
		return nil, fmt.Errorf("write the working: %w", err)
	}
	body := object(member{"order", quoted(stored.Number)}, member{"bill_version", []byte(strconv.Itoa(bill.Version))}, member{"working", rows})
	return in.show(etag(bill.Version), body), nil
}

// traceBill reckons a stored bill again from the revision that it was made
// under and the version of the order that it was made of; see order.Working.
func (s *Server) traceBill(ctx context.Context, in Versioned) (orderdb.Stored, orderdb.StoredBill, *bom.Trace, error) {
	who := principalOf(ctx)
	stored, bill, err := s.findBill(ctx, in)
	if err != nil {
		return stored, bill, nil, err
	}
	cat, err := s.catalogOf(ctx, who.workshop, bill.Revision)
	if err != nil {
		return stored, bill, nil, err
	}
	var billed []byte
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		billed, err = orderdb.Billed(ctx, tx, who.workshop, stored.ID, bill.Version)
		return err
	})
	if err != nil {
		return stored, bill, nil, err
	}
	var d order.Document
	if err := json.Unmarshal(billed, &d); err != nil {
		return stored, bill, nil, fmt.Errorf("read a stored order: %w", err)
	}
	trace, err := order.Trace(cat, &d, bill.Hash)
	if errors.Is(err, order.ErrOtherArithmetic) {
		return stored, bill, nil, conflict(sentence(err.Error()))
	}
	return stored, bill, trace, err
}

// quoted writes a code, which needs no escapes, as a JSON string.
func quoted(code string) []byte { return []byte(`"` + code + `"`) }

type getBillPartInput struct {
	Versioned
	Conditional
	Tabular
	Part string `path:"part" enum:"steel,welds,welded,wood,glass,stone,finish,routes,cushions,cloth,hardware,cartons,shipping,handling-units,lifts,cautions" doc:"Part of the bill."`
}

// billPart is one part of a bill: the rows of each line that has any.
type billPart struct {
	Order   string         `json:"order"`
	Version int            `json:"bill_version"`
	Part    string         `json:"part"`
	Lines   []billPartLine `json:"lines"`
}

type billPartLine struct {
	Line     int             `json:"line"`
	Product  string          `json:"product"`
	Name     string          `json:"name"`
	Quantity int             `json:"quantity"`
	Rows     json.RawMessage `json:"rows" doc:"The rows of the whole bill's field of that name, as stored."`
}

// getBillPart serves one part of a bill, as JSON or as a sheet.
func (s *Server) getBillPart(ctx context.Context, in *getBillPartInput) (*document, error) {
	stored, bill, err := s.findBill(ctx, in.Versioned)
	if err != nil {
		return nil, err
	}
	if in.wantsSheet() {
		var whole bom.Bill
		if err := json.Unmarshal(bill.Document, &whole); err != nil {
			return nil, fmt.Errorf("read bill %d of %s: %w", bill.Version, stored.Number, err)
		}
		sheet := partSheets[in.Part](&whole)
		return in.showSheet(&sheet)
	}
	part, err := cutPart(bill.Document, in.Part)
	if err != nil {
		return nil, fmt.Errorf("read bill %d of %s: %w", bill.Version, stored.Number, err)
	}
	part.Order, part.Version = stored.Number, bill.Version
	body, err := encode(part)
	if err != nil {
		return nil, err
	}
	return in.varied(in.show(etag(bill.Version), body)), nil
}

// cutPart takes a part's rows out of a stored bill byte for byte, so that they
// are those of the arithmetic that made the bill.
func cutPart(bill []byte, name string) (*billPart, error) {
	var whole struct {
		Lines []map[string]json.RawMessage `json:"lines"`
	}
	if err := json.Unmarshal(bill, &whole); err != nil {
		return nil, err
	}
	part := &billPart{Part: name, Lines: []billPartLine{}}
	for _, line := range whole.Lines {
		rows, found := line[name]
		if !found {
			continue
		}
		one := billPartLine{Rows: rows}
		for _, field := range []struct {
			name string
			into any
		}{{"line", &one.Line}, {"product", &one.Product}, {"name", &one.Name}, {"quantity", &one.Quantity}} {
			if err := json.Unmarshal(line[field.name], field.into); err != nil {
				return nil, fmt.Errorf("field %s of a line: %w", field.name, err)
			}
		}
		part.Lines = append(part.Lines, one)
	}
	return part, nil
}
