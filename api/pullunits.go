package api

import (
	"context"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/bom/demand/demanddb"
	"billwright/catalog"
)

// pulledUnits is in how many units of purchase all that was pulled of an item
// comes, with the pull and without it: units do not add, so that a pull may take
// more of an item and no unit more.
type pulledUnits struct {
	Unit   string `json:"unit" doc:"Such as box of 100."`
	Before int64  `json:"before" doc:"Units of all that was pulled before."`
	Now    int64  `json:"now" doc:"Units of that and of this pull together."`
	More   int64  `json:"more" doc:"Units more by this pull; negative where it takes units back."`
}

// readPulledUnits reckons the units of a pull's items, by item, as far as the
// catalog says in what they are bought.
func readPulledUnits(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, cat *catalog.Catalog, p demanddb.Pull, rows []demanddb.PullRow) (map[string]pulledUnits, error) {
	units := map[string]demand.Unit{}
	for i := range rows {
		if unit, found := demand.UnitOf(cat, p.Kind, rows[i].Item, rows[i].Measure); found && unit.By > 0 {
			units[rows[i].Item] = unit
		}
	}
	if len(units) == 0 {
		return map[string]pulledUnits{}, nil
	}
	totals, err := demanddb.PulledUpTo(ctx, tx, workshop, p)
	if err != nil {
		return nil, err
	}
	before, now := map[string][]int64{}, map[string][]int64{}
	add := func(sums map[string][]int64, item string, byOrder bool, amount int64) {
		if len(sums[item]) == 0 || byOrder {
			sums[item] = append(sums[item], amount)
			return
		}
		sums[item][0] += amount
	}
	for _, t := range totals {
		unit, found := units[t.Item]
		if !found {
			continue
		}
		was, is := t.Before, t.Amount
		if unit.Measure == bom.Each && t.Measure != bom.Each { // cartons
			was, is = t.PiecesBefore, t.Pieces
		}
		add(before, t.Item, unit.ByOrder, was)
		add(now, t.Item, unit.ByOrder, is)
	}
	shown := map[string]pulledUnits{}
	for item, unit := range units {
		one := pulledUnits{Unit: unit.Called, Before: unit.Of(before[item]...).Units, Now: unit.Of(now[item]...).Units}
		one.More = one.Now - one.Before
		shown[item] = one
	}
	return shown, nil
}
