package desk

import (
	"slices"
	"testing"

	"billwright/bom/order"
)

// What a draft was kept as is one line of an order's versions, with its last.
func TestVersionsOfADraftAreOne(t *testing.T) {
	all := []oldVersion{{Version: 1, State: order.Drafted}, {Version: 2, State: order.Drafted}, {Version: 3, State: order.Drafted}, {Version: 4, State: order.Received}, {Version: 5, State: order.Accepted}}
	want := []oldVersion{{Version: 3, State: order.Drafted, Times: 3}, {Version: 4, State: order.Received, Times: 1}, {Version: 5, State: order.Accepted, Times: 1}}
	if got := drafted(all); !slices.Equal(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}
