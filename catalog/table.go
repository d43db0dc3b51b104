package catalog

import (
	"fmt"

	"billwright/catalog/formula"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Table is a bracket table: a row holds for what lies below its limit and not
// below that of the row before it. Nothing is rounded before it is looked up.
type Table struct {
	Code string     `yaml:"-"`
	By   string     `yaml:"by,required" oneof:"length number" doc:"What it is looked up by."`
	Rows []TableRow `yaml:"rows,required" doc:"Rows from the lowest; what lies at a limit belongs to the row after it."`
	Pos  source.Pos `yaml:"-"`

	rows []formula.Bracket
}

// TableRow is one row of a table.
type TableRow struct {
	Below *source.Text `yaml:"below" doc:"Limit under which the row holds, a length or a number as the table's by says; the last row may leave it out and then holds for all the rest."`
	Gives source.Text  `yaml:"gives,required" doc:"What the row gives: a number such as 10 %, a length or a text, of one kind in all rows."`
	Pos   source.Pos   `yaml:"-"`
}

// Share is what the row for a length gives, of a table by length that gives
// numbers; Read sees to it that a cushion form names such a one. The error
// says that the length lies beyond the last row.
func (t *Table) Share(l unit.Length) (unit.Ratio, error) {
	for _, row := range t.rows {
		if l < row.Below.Length() {
			return row.Gives.Number(), nil
		}
	}
	return unit.Ratio{}, fmt.Errorf("%s lies beyond the last row of the table %s, which holds below %s", l, t.Code, t.rows[len(t.rows)-1].Below)
}

// keyKind is the kind that the table is looked up by.
func (t *Table) keyKind() formula.Kind {
	if t.By == "length" {
		return formula.Length
	}
	return formula.Number
}
