package paper

import (
	"fmt"
	"image/color"
	"strconv"

	"github.com/boombuler/barcode/qr"

	"billwright/bom/picture"
)

// Scannable codes are those of ISO/IEC 18004, drawn as rectangles with their
// quiet zone of four modules, error correction M.

const quiet = 4

// modules are the dark squares of a code, by row and column.
type modules [][]bool

// encode makes the code of an address. Errors: the address is too long.
func encode(address string) (modules, error) {
	code, err := qr.Encode(address, qr.M, qr.Unicode)
	if err != nil {
		return nil, fmt.Errorf("make a scannable code of an address of %d bytes: %w", len(address), err)
	}
	bounds := code.Bounds()
	m := make(modules, bounds.Dy())
	for y := range m {
		m[y] = make([]bool, bounds.Dx())
		for x := range m[y] {
			m[y][x] = code.At(bounds.Min.X+x, bounds.Min.Y+y) == color.Black
		}
	}
	return m, nil
}

// runs visits the dark runs of each row, in modules from the quiet zone's edge.
func (m modules) runs(visit func(x, y, length int)) {
	for y, row := range m {
		for x := 0; x < len(row); x++ {
			from := x
			for x < len(row) && row[x] {
				x++
			}
			if x > from {
				visit(from+quiet, y+quiet, x-from)
			}
		}
	}
}

// trace writes the code as rectangles over a square.
func (m modules) trace(o *ops, side picture.Dot) {
	at := func(i int) picture.Dot { return side * picture.Dot(i) / picture.Dot(len(m)+2*quiet) }
	m.runs(func(x, y, length int) { o.rectangle(at(x), at(y), at(x+length)-at(x), at(y+1)-at(y)) })
}

// path is the code as the data of an SVG path, a module to a unit, and the side
// of its view.
func (m modules) path() (data string, side int) {
	var b []byte
	m.runs(func(x, y, length int) {
		b = strconv.AppendInt(append(b, 'M'), int64(x), 10)
		b = strconv.AppendInt(append(b, ' '), int64(y), 10)
		b = strconv.AppendInt(append(b, 'h'), int64(length), 10)
		b = strconv.AppendInt(append(b, "v1h-"...), int64(length), 10)
		b = append(b, 'z')
	})
	return string(b), len(m) + 2*quiet
}
