package unit_test

import (
	"errors"
	"math"
	"testing"

	"billwright/catalog/unit"
)

func TestRatioFromFloat(t *testing.T) {
	for _, c := range []struct {
		f    float64
		den  int64
		want string
	}{{0.0924228742, 10_000, "231/2500"}, {0.00005, 10_000, "1/10000"}, {0, 7, "0"}, {-0.25, 2, "-1/2"}, {1.0 / 3, 3, "1/3"}} {
		if r, err := unit.RatioFromFloat(c.f, c.den); err != nil || r.String() != c.want {
			t.Errorf("%v over %d: %s (%v), want %s", c.f, c.den, r, err, c.want)
		}
	}
	if _, err := unit.RatioFromFloat(math.NaN(), 10); !errors.Is(err, unit.ErrNotFinite) {
		t.Errorf("not a number: %v", err)
	}
	if _, err := unit.RatioFromFloat(1e18, 100); !errors.Is(err, unit.ErrOverflow) {
		t.Errorf("too large: %v", err)
	}
}
