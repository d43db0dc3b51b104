package bom

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
)

// DocumentRow is one row of a stored bill: it is known by line, part and path,
// and by its unit where units differ, never by its place in a list.
type DocumentRow struct {
	// Line is 0 for what belongs to the whole order.
	Line int
	Part string
	Path string
	Unit int
	// Values are the row as the bill writes it.
	Values json.RawMessage
}

// DocumentRows reads the rows of a stored bill's document, in its order.
func DocumentRows(document []byte) ([]DocumentRow, error) {
	var rows []DocumentRow
	var lines []json.RawMessage
	err := eachField(document, func(part string, value json.RawMessage) {
		if part == "lines" {
			_ = json.Unmarshal(value, &lines) // whose own error is told below
			return
		}
		rows = append(rows, rowsIn(0, part, value)...)
	})
	if err != nil {
		return nil, fmt.Errorf("read a bill: %w", err)
	}
	for _, text := range lines {
		var line struct{ Line int }
		if err := json.Unmarshal(text, &line); err != nil {
			return nil, fmt.Errorf("read a bill: %w", err)
		}
		err := eachField(text, func(part string, value json.RawMessage) {
			rows = append(rows, rowsIn(line.Line, part, value)...)
		})
		if err != nil {
			return nil, fmt.Errorf("read a bill: %w", err)
		}
	}
	return rows, nil
}

// rowsIn are the rows of a list whose members have a path. Cautions are of a row
// and no rows themselves.
func rowsIn(line int, part string, value json.RawMessage) (rows []DocumentRow) {
	var list []json.RawMessage
	if part == "cautions" || json.Unmarshal(value, &list) != nil {
		return nil
	}
	for _, values := range list {
		var row struct {
			Path string
			Unit int
		}
		if json.Unmarshal(values, &row) == nil && row.Path != "" {
			rows = append(rows, DocumentRow{line, part, row.Path, row.Unit, values})
		}
	}
	return rows
}

// RowChange is a row of a bill that is not what it was. Was is absent of a row
// that is new, Is of one that is gone.
type RowChange struct {
	Line int             `json:"line"`
	Part string          `json:"part"`
	Path string          `json:"path"`
	Unit int             `json:"unit,omitempty"`
	Was  json.RawMessage `json:"was,omitempty"`
	Is   json.RawMessage `json:"is,omitempty"`
}

type rowKey struct {
	line       int
	part, path string
	unit       int
	// again tells rows of one path apart, of which a bill has few.
	again int
}

// Compare tells two stored bills apart by line, part and position path. Rows
// that are alike are not listed. What is gone comes where it stood before what
// stands there now.
func Compare(was, is []byte) ([]RowChange, error) {
	before, err := keyed(was)
	if err != nil {
		return nil, err
	}
	after, err := keyed(is)
	if err != nil {
		return nil, err
	}
	changes := []RowChange{}
	for k, row := range before {
		now, kept := after[k]
		if !kept || !bytes.Equal(row.Values, now.Values) {
			changes = append(changes, RowChange{k.line, k.part, k.path, k.unit, row.Values, now.Values})
		}
	}
	for k, row := range after {
		if _, kept := before[k]; !kept {
			changes = append(changes, RowChange{Line: k.line, Part: k.part, Path: k.path, Unit: k.unit, Is: row.Values})
		}
	}
	slices.SortFunc(changes, func(a, b RowChange) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Part, b.Part), cmp.Compare(a.Path, b.Path), cmp.Compare(a.Unit, b.Unit),
			bytes.Compare(a.Was, b.Was), bytes.Compare(a.Is, b.Is))
	})
	return changes, nil
}

func keyed(document []byte) (map[rowKey]DocumentRow, error) {
	rows, err := DocumentRows(document)
	if err != nil {
		return nil, err
	}
	byKey := make(map[rowKey]DocumentRow, len(rows))
	for _, row := range rows {
		k := rowKey{line: row.Line, part: row.Part, path: row.Path, unit: row.Unit}
		for {
			if _, taken := byKey[k]; !taken {
				break
			}
			k.again++
		}
		byKey[k] = row
	}
	return byKey, nil
}
