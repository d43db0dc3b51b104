package paper

import (
	"fmt"
	"image/color"

	"github.com/boombuler/barcode/qr"

	"billwright/bom/picture"
)

// Scannable codes are those of ISO/IEC 18004, drawn as rectangles with their
// quiet zone of four modules, error correction M.

const quiet = 4

// codePicture draws the code of an address as a square of some side.
func codePicture(address string, side picture.Dot) (*picture.Picture, error) {
	code, err := encode(address)
	if err != nil {
		return nil, err
	}
	p := &picture.Picture{Width: side, Height: side, Title: "Scannable code", Says: "Scannable code: " + address}
	n := len(code)
	at := func(i int) picture.Dot { return side * picture.Dot(i+quiet) / picture.Dot(n+2*quiet) }
	for y := range n {
		for x := 0; x < n; {
			from := x
			for x < n && code[y][x] {
				x++
			}
			if x > from {
				p.Box(picture.NoPen, picture.Black, at(from), at(y), at(x)-at(from), at(y+1)-at(y))
			}
			for x < n && !code[y][x] {
				x++
			}
		}
	}
	return p, nil
}

// codes are the codes that a printing has drawn, by address and side: the pages of
// a paper share one.
type codes map[codeKey]*picture.Picture

type codeKey struct {
	address string
	side    picture.Dot
}

func (c codes) of(address string, side picture.Dot) (*picture.Picture, error) {
	key := codeKey{address, side}
	if p := c[key]; p != nil {
		return p, nil
	}
	p, err := codePicture(address, side)
	if err == nil {
		c[key] = p
	}
	return p, err
}

func encode(address string) ([][]bool, error) {
	code, err := qr.Encode(address, qr.M, qr.Unicode)
	if err != nil {
		return nil, fmt.Errorf("make a scannable code of an address of %d bytes: %w", len(address), err)
	}
	bounds := code.Bounds()
	modules := make([][]bool, bounds.Dy())
	for y := range modules {
		modules[y] = make([]bool, bounds.Dx())
		for x := range modules[y] {
			modules[y][x] = code.At(bounds.Min.X+x, bounds.Min.Y+y) == color.Black
		}
	}
	return modules, nil
}
