package catalog_test

import (
	"slices"
	"testing"
)

// An operation's own name goes before its station, that before the hand bench,
// and that before the kind of work; case does not matter.
func TestWhichDepartmentDoesWhat(t *testing.T) {
	c := read(t, edit(t, small(t), change{"dealers:\n", departments("forge: {name: Forge, minutes_a_week: 2400, does: [steel, welding]}",
		"finishing: {name: Finishing, minutes_a_week: 1200, days_before: 5, does: [metal finish, wood finish]}",
		"bench: {name: Hand bench, minutes_a_week: 600, does: [hand finish, Level]}")}))
	for _, test := range []struct {
		words []string
		want  string
	}{
		{[]string{"level", "steel"}, "bench"}, {[]string{"drill", "steel"}, "forge"}, {[]string{"blast", "", "metal finish"}, "finishing"},
		{[]string{"rub on", "", "hand finish", "metal finish"}, "bench"}, {[]string{"", ""}, ""}, {[]string{"sewing"}, ""},
	} {
		d, found := c.Doing(test.words...)
		if found != (test.want != "") || found && d.Code != test.want {
			t.Errorf("%q is done by %v, want %q", test.words, d, test.want)
		}
	}
	if len(c.Warnings()) > len(read(t, small(t)).Warnings()) {
		t.Errorf("%v", c.Warnings())
	}
}

// What has minutes and is done by nobody is warned of, once for each kind of
// work.
func TestWorkThatNobodyDoes(t *testing.T) {
	c := read(t, edit(t, small(t), change{"dealers:\n", departments("bench: {name: Hand bench, minutes_a_week: 600, does: [rub on]}")}))
	before := sentences(read(t, small(t)).Warnings())
	got := slices.DeleteFunc(sentences(c.Warnings()), func(s string) bool { return slices.Contains(before, s) })
	want := []string{
		"workshop.yaml:64:3: departments: no department does metal finish, such as blast, so that its minutes are in no load; name metal finish under does of one",
		"workshop.yaml:64:3: departments: no department does steel, such as level, so that its minutes are in no load; name steel under does of one",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %q\nwant %q", got, want)
	}
}

func TestEachFaultOfADepartmentIsFound(t *testing.T) {
	for _, test := range []struct{ department, fault string }{
		{"forge: {name: Forge, minutes_a_week: 0, does: steel}", "workshop.yaml:64:10: departments › forge › minutes_a_week: 0 minutes a week; write 1 to 1000000, such as 4800 for two people"},
		{"forge: {name: Forge, minutes_a_week: 60, days_before: -1, does: steel}", "workshop.yaml:64:10: departments › forge › days_before: -1 working days; write 0 to 1000"},
		{"forge: {name: Forge, minutes_a_week: 60, does: wieldng}", `workshop.yaml:64:50: departments › forge › does: there is no operation, station or kind of work "wieldng"; did you mean "welding"?`},
		{"forge: {name: Forge, minutes_a_week: 60, does: [steel, steel]}", `workshop.yaml:64:10: departments › forge › does: "steel" is listed twice; leave one out`},
		{"Forge: {name: Forge, minutes_a_week: 60, does: steel}", `workshop.yaml:64:3: departments: "Forge" is not a code; a code is lower-case letters and digits, in parts joined by - _ . or /, such as oak-2.5/left`},
	} {
		checkFaultsOf(t, small(t), []string{test.fault}, change{"dealers:\n", departments(test.department)})
	}
	checkFaultsOf(t, small(t), []string{"workshop.yaml:65:61: departments › weld › does: Steel is done by forge already; let one department do it"},
		change{"dealers:\n", departments("forge: {name: Forge, minutes_a_week: 60, does: steel}", "weld: {name: Welding, minutes_a_week: 60, does: [welding, Steel]}")})
}

// departments is the table of some departments before that of the dealers.
func departments(list ...string) string {
	text := "departments:\n"
	for _, d := range list {
		text += "  " + d + "\n"
	}
	return text + "dealers:\n"
}
