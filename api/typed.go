package api

import "encoding/json"

// agreedEntry is a ship date that was agreed, and why.
type agreedEntry struct {
	Date   textEntry `json:"date" required:"false" doc:"A working day of the plant, such as 2026-11-25."`
	Reason textEntry `json:"reason" required:"false" doc:"Why, at most 300 characters; the dealer reads it."`
}

// priceEntry is a price that was typed, and why.
type priceEntry struct {
	Net    textEntry `json:"net" required:"false" doc:"What the dealer pays for one unit, such as 1240.00: no discount comes off it and no surcharge on top."`
	Reason textEntry `json:"reason" required:"false" doc:"Why, at most 300 characters; the dealer reads it."`
}

// agreedChange is a ship date that a change agrees, or takes back.
type agreedChange struct {
	Date   string `json:"date" maxLength:"40" doc:"A working day of the plant, or an empty text."`
	Reason string `json:"reason,omitempty" required:"false" maxLength:"300" doc:"Why; needed with a date. The dealer reads it."`
}

// typedChange is a price that a change types for a line.
type typedChange struct {
	Net    string `json:"net" maxLength:"40" doc:"What the dealer pays for one unit, such as 1240.00."`
	Reason string `json:"reason" maxLength:"300" doc:"Why; the dealer reads it."`
}

// given are two members of an object, those left out that nobody gave.
func given(name string, value textEntry, second string, other textEntry) map[string]json.RawMessage {
	members := map[string]json.RawMessage{}
	if value != nil {
		members[name] = json.RawMessage(value)
	}
	if other != nil {
		members[second] = json.RawMessage(other)
	}
	return members
}
