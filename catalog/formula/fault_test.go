package formula

import (
	"errors"
	"regexp"
	"strings"
	"testing"
)

// The whole sentence an engineer reads, for everything known to go wrong.
func TestFaults(t *testing.T) {
	s := newShop(t)
	tests := []struct{ text, want string }{
		{"length + 15", "column 10: length + number: a bare number has no unit; write len('15 in')"},
		{"15 + length", "column 1: number + length: a bare number has no unit; write len('15 in')"},
		{"length - -15", "column 10: length - number: a bare number has no unit; write -len('15 in')"},
		{"length + legs", "column 8: length + number: a bare number has no unit; give it a unit, as in legs * len('1 in')"},
		{"length + frac('1/2')", "column 8: length + number: a bare number has no unit; give it a unit, as in n * len('1 in')"},
		{"length + panel", "column 8: length + area: only like can be added; an area divided by a length is a length; a length times a length is an area"},
		{"panel + 3", "column 9: area + number: a bare number has no unit; an area is a length times a length, as in len('12 in') * len('12 in')"},
		{"length + species", "column 8: length + text: text cannot be added; compare it, as in species == 'oak'"},
		{"glass + 1", "column 7: yes/no + number: a condition cannot be added; turn it into a value, as in c ? 1 : 0"},
		{"length - 0.5", "column 10: length - number: a bare number has no unit; write len('0.5 in')"},
		{"length + (1 + 2)", "column 8: length + number: a bare number has no unit; give it a unit, as in n * len('1 in')"},
		{"3 / 4", "column 1: 3 / 4: bare integer division; write frac('3/4')"},
		{"-3 / 4", "column 1: -3 / 4: bare integer division; write frac('-3/4')"},
		{"(1 + 2) / 4", "column 9: bare integer division; write it as one frac('..')"},
		{"length * (3 / 4)", "column 11: 3 / 4: bare integer division; write frac('3/4')"},
		{"length / 0", "column 8: division by zero; write what it should be divided by"},
		{"legs / 0", "column 6: division by zero; write what it should be divided by"},
		{"length / frac('0')", "column 8: division by zero; write what it should be divided by"},
		{"frac('1') / (1 - 1)", "column 11: division by zero; write what it should be divided by"},
		{"up(length, len('0 in'))", "column 1: up: the step to round to is not greater than zero; write a step such as len('1/16 in')"},
		{"down(length, -len('1 in'))", "column 1: down: the step to round to is not greater than zero; write a step such as len('1/16 in')"},
		{"length * panel", "column 8: length * area: a formula has no volumes; leave the volume to the bill, and give it the area or the length"},
		{"panel * panel", "column 7: area * area: a formula has no volumes; leave the volume to the bill, and give it the area or the length"},
		{"legs / length", "column 6: number / length: cannot be divided this way round; did you mean length / number?"},
		{"length / panel", "column 8: length / area: cannot be divided this way round; did you mean area / length?"},
		{"glass * 2", "column 7: yes/no * number: only numbers, lengths and areas can be multiplied; turn a condition into a value, as in c ? 2 : 1"},
		{"species / 2", "column 9: text / number: only numbers, lengths and areas can be divided; compare a text, as in species == 'oak'"},
		{"length < 60", "column 10: length < number: a bare number has no unit; write len('60 in')"},
		{"length == legs", "column 8: length == number: a bare number has no unit; give it a unit, as in legs * len('1 in')"},
		{"species < 'ash'", "column 9: text < text: a text is not less or more than another; write ==, != or in ['a', 'b']"},
		{"glass < true", "column 7: yes/no < yes/no: conditions have no order; write == or !="},
		{"species == 3", "column 9: text == number: different kinds can never be compared; compare text with text"},
		{"length == panel", "column 8: length == area: different kinds can never be compared; compare a length with a length"},
		{"length > width > thickness", "column 16: two comparisons in a row; write a < b && b < c"},
		{"len('1 in') < length < len('2 in')", "column 22: two comparisons in a row; write a < b && b < c"},
		{"length && glass", "column 1: && and || join conditions, and this is a length; compare it with something, as in length > len('60 in')"},
		{"glass || 3", "column 10: && and || join conditions, and this is a number; compare it with something, as in legs > 3"},
		{"!length", "column 1: ! turns a condition round, and this is a length; compare it with something, as in length > len('60 in')"},
		{"-species", "column 1: - stands before text: only numbers, lengths and areas have a sign; leave the - out, or write ! to turn a condition round"},
		{"-glass", "column 1: - stands before yes/no: only numbers, lengths and areas have a sign; leave the - out, or write ! to turn a condition round"},
		{"length ? 1 : 2", "column 1: before ? stands a condition, and this is a length; compare it with something, as in length > len('60 in')"},
		{"glass ? 1 : length", "column 7: the two sides of : differ: a number when yes, a length when no; write len('1 in')"},
		{"glass ? 'a' : 3", "column 7: the two sides of : differ: text when yes, a number when no; write the same kind on both sides of :"},
		{"glass ? panel : length", "column 7: the two sides of : differ: an area when yes, a length when no; write the same kind on both sides of :"},
		{"species in ['ash', 'elm']", "column 20: species is never 'elm'; it is one of white-oak, walnut, ash"},
		{"species in ['ash', 3]", "column 20: the list mixes text and number; write values of one kind"},
		{"species in []", "column 12: the list after in is empty; write the values it may have, as in ['a', 'b']"},
		{"species in species", "column 9: in needs a list written out after it; write x in ['a', 'b']"},
		{"length in [60, 72]", "column 8: a length is never in a list of numbers; write len('60 in') in the list"},
		{"legs in ['3']", "column 6: a number is never in a list of texts; write a number in the list"},
		{"legs in [legs]", "column 10: a list holds only written values; compare names with == and ||"},
		{"legs in [1, 2 + 3]", "column 15: a list holds only written values; compare names with == and ||"},
		{"species == 'wite-oak'", "column 12: species is never 'wite-oak'; did you mean white-oak?"},
		{"'ahs' != species", "column 1: species is never 'ahs'; did you mean ash?"},
		{"species == 'purpleheart'", "column 12: species is never 'purpleheart'; it is one of white-oak, walnut, ash"},
		{"species == white-oak", "column 12: white-oak is a value of species: a text is written in quotes; write 'white-oak'"},
		{"species == walnut", "column 12: walnut is a value of species: a text is written in quotes; write 'walnut'"},
		{"edge in ['live', 'eazed']", "column 18: edge is never 'eazed'; did you mean eased?"},
		{"species == 'White-Oak'", "column 12: species is never 'White-Oak'; did you mean white-oak?"},
		{"lenth", "column 1: unknown name lenth; did you mean length?"},
		{"lenght + widht", "column 1: unknown name lenght; did you mean length?\ncolumn 10: unknown name widht; did you mean width?"},
		{"seam", "column 1: unknown name seam; did you mean standard.seam?"},
		{"standard.seem", "column 1: unknown name standard.seem; did you mean standard.seam?"},
		{"length.top", "column 1: unknown name length.top; the names here are edge, glass, legs, length, loss, note, panel, species and 4 more"},
		{"zzz", "column 1: unknown name zzz; the names here are edge, glass, legs, length, loss, note, panel, species and 4 more"},
		{"min", "column 1: min is a function and takes its values in brackets; write min(a, b)"},
		{"band", "column 1: band is a function and takes its values in brackets; write band('table', x)"},
		{"species == white", "column 12: unknown name white; the names here are edge, glass, legs, length, loss, note, panel, species and 4 more"},
		{"x.y.z", "column 1: unknown name x.y.z; the names here are edge, glass, legs, length, loss, note, panel, species and 4 more"},
		{"round(length)", "column 1: unknown function round; write nearest(x, len('1/16 in')), or up or down"},
		{"sqrt(panel)", "column 1: unknown function sqrt; the functions are abs, band, ceil, down, floor, frac, len, max, min, nearest, up"},
		{"mim(length, width)", "column 1: unknown function mim; did you mean min?"},
		{"length(3)", "column 1: length is a name, not a function; write a sign between it and the bracket, such as length * (..)"},
		{"foo.bar(3)", "column 1: foo.bar is not a function; functions are written like min(a, b)"},
		{"length.up(width)", "column 1: length.up is not a function; functions are written like min(a, b)"},
		{"'a'.len()", "column 4: . is not a sign of a formula; leave it out"},
		{"ceil(zzz, 1)", "column 1: ceil takes one number, and was given something faulty and a number; write ceil(n)\ncolumn 6: unknown name zzz; the names here are edge, glass, legs, length, loss, note, panel, species and 4 more"},
		{"up(1, 1, 1, 1, 1)", "column 1: up takes a length and the step to round it to, and was given a number, a number, a number, a number and more; write up(x, len('1/16 in'))"},
		{"panel && glass", "column 1: && and || join conditions, and this is an area; compare it with something, as in a > b"},
		{"glass ?\n  length", "line 2, column 9: the ? has no : after it; write condition ? value when yes : value when no"},
		{"note == 'Öl' ? 1 : lenth", "column 20: unknown name lenth; did you mean length?"},
		{"note == '🪵' && 3", "column 16: && and || join conditions, and this is a number; compare it with something, as in legs > 3"},
		{"length - 1/2\" + '🪵'", "column 10: 1/2\": a length cannot be written bare; write len('1/2 in')\ncolumn 15: length + text: text cannot be added; compare it, as in species == 'oak'"},
		{"note == 'a' ? species == oak : glass", "column 26: unknown name oak; the names here are edge, glass, legs, length, loss, note, panel, species and 4 more"},
		{"min(length)", "column 1: min compares two values or more, and was given a length; write min(a, b)"},
		{"min()", "column 1: min compares two values or more, and was given nothing; write min(a, b)"},
		{"min(length, 3)", "column 1: min takes values of one kind, and was given a length and a number; write len('3 in')"},
		{"max(length, legs)", "column 1: max takes values of one kind, and was given a length and a number; give it a unit, as in legs * len('1 in')"},
		{"max(length, panel)", "column 1: max takes numbers, lengths or areas, all of one kind, and was given a length and an area"},
		{"min(1,2,3,4,5,6,7,8,9,10,11)", "column 1: min takes up to ten values; put one min inside another"},
		{"min('a', 'b')", "column 1: min takes numbers, lengths or areas, all of one kind, and was given text and text"},
		{"abs(glass)", "column 1: abs takes one number, length or area, and was given yes/no; write abs(x)"},
		{"abs()", "column 1: abs takes one number, length or area, and was given nothing; write abs(x)"},
		{"abs(1, 2)", "column 1: abs takes one number, length or area, and was given a number and a number; write abs(x)"},
		{"ceil(length)", "column 1: ceil takes one number, and was given a length; a length is rounded with up(x, len('1/16 in'))"},
		{"floor(length, len('1 in'))", "column 1: floor takes one number, and was given a length and a length; write floor(n)"},
		{"ceil()", "column 1: ceil takes one number, and was given nothing; write ceil(n)"},
		{"up(length)", "column 1: up takes a length and the step to round it to, and was given a length; write up(x, len('1/16 in'))"},
		{"up(length, 1)", "column 1: up: the step to round to is a length, not a number; write len('1 in')"},
		{"up(length, 0.5)", "column 1: up: the step to round to is a length, not a number; write len('0.5 in')"},
		{"up(legs, len('1 in'))", "column 1: up rounds a length, not a number; a number is rounded with ceil(n) or floor(n)"},
		{"up(legs, 1)", "column 1: up takes a length and the step to round it to, and was given a number and a number; write up(x, len('1/16 in'))"},
		{"nearest()", "column 1: nearest takes a length and the step to round it to, and was given nothing; write nearest(x, len('1/16 in'))"},
		{"up(panel, panel)", "column 1: up takes a length and the step to round it to, and was given an area and an area; write up(x, len('1/16 in'))"},
		{"len(15)", "column 1: len reads a text in quotes, not a calculation; write len('15 in')"},
		{"len(0.5)", "column 1: len reads a text in quotes, not a calculation; write len('0.5 in')"},
		{"len(length)", "column 1: len reads a text in quotes, not a calculation; write len('15 in')"},
		{"len('15')", "column 5: len('15'): no unit; write 15 in or 15 mm"},
		{"len('15', 'in')", "column 1: len takes one text; write len('15 in')"},
		{"len('')", "column 5: len(''): nothing written; write a number"},
		{"len('1/3 in')", "column 5: len('1/3 in'): not a whole nanometre; the nearest 1/64 is 21/64 in"},
		{"len('-3 in')", "column 5: len('-3 in'): a length cannot be negative; write it without the minus"},
		{"len('1,500 mm')", "column 5: len('1,500 mm'): a comma may mean thousands or decimals; write 1500 mm, or 1.5 mm with a decimal point"},
		{"frac('x')", "column 6: frac('x'): no number at the start; write the number first, then its unit"},
		{"frac('1/0')", "column 6: frac('1/0'): a fraction cannot be over zero; write 1/2"},
		{"frac(3)", "column 1: frac reads a text in quotes, not a calculation; write frac('3')"},
		{"frac(0.5)", "column 1: frac reads a text in quotes, not a calculation; write frac('0.5')"},
		{"frac(legs)", "column 1: frac reads a text in quotes, not a calculation; write frac('3/4')"},
		{"frac('15 in')", "column 6: frac('15 in'): unexpected \"in\"; write a bare number such as 3, 0.7, 70 % or 2 1/2"},
		{"band('sprngs', width)", "column 6: unknown table 'sprngs'; did you mean springs?"},
		{"band(springs, width)", "column 6: springs is a table: its name is written in quotes; write 'springs'"},
		{"band(length, width)", "column 1: the first part of band is the name of a table, in quotes; write band('table', x)"},
		{"band('springs')", "column 1: band takes a table's name and a value; write band('table', x)"},
		{"band('springs', 30)", "column 17: table 'springs' is looked up by a length, and this is a number; write len('30 in')"},
		{"band('springs', legs)", "column 17: table 'springs' is looked up by a length, and this is a number; give it a unit, as in legs * len('1 in')"},
		{"band('grade', length)", "column 15: table 'grade' is looked up by a number, and this is a length; give it a number"},
		{"band('nothing like it', width)", "column 6: unknown table 'nothing like it'; the tables here are braced, grade, leg stock, springs"},
		{"band('springs', length, width)", "column 1: band takes a table's name and a value; write band('table', x)"},
		{"0.5", "column 1: 0.5: decimals are written as exact fractions; write frac('0.5')"},
		{"length * 1.25", "column 10: 1.25: decimals are written as exact fractions; write frac('1.25')"},
		{"length * .5", "column 10: .5: decimals are written as exact fractions; write frac('.5')"},
		{"length + 0.5 + wdth", "column 10: length + number: a bare number has no unit; write len('0.5 in')\ncolumn 16: unknown name wdth; did you mean width?"},
		{"15 in", "column 1: 15 in: a length cannot be written bare; write len('15 in')"},
		{"length - 15 in", "column 10: 15 in: a length cannot be written bare; write len('15 in')"},
		{"length - 72 1/2 in", "column 10: 72 1/2 in: a length cannot be written bare; write len('72 1/2 in')"},
		{"length - 72-1/2 in", "column 10: 72-1/2 in: a length cannot be written bare; write len('72-1/2 in')"},
		{"length - 15\"", "column 10: 15\": a length cannot be written bare; write len('15 in')"},
		{"length - 6' 0 1/2\"", "column 10: 6' 0 1/2\": a length cannot be written bare; write len('6 ft 0 1/2 in')"},
		{"length - 6'", "column 10: 6': a length cannot be written bare; write len('6 ft')"},
		{"length - 20mm", "column 10: 20mm: a length cannot be written bare; write len('20 mm')"},
		{"length - 2 feet", "column 10: 2 feet: a length cannot be written bare; write len('2 ft')"},
		{"3 legs", "column 3: a sign is missing between 3 and legs; write the sign between them, such as 3 * legs"},
		{"3 x", "column 3: a sign is missing between 3 and x; write the sign between them, such as 3 * x"},
		{"length = width", "column 8: = is not a sign of a formula; write == to compare"},
		{"length === width", "column 8: === is not a sign of a formula; write =="},
		{"length <> width", "column 8: <> is not a sign of a formula; write !="},
		{"length => width", "column 8: => is not a sign of a formula; write >="},
		{"length =< width", "column 8: =< is not a sign of a formula; write <="},
		{"length ≤ width", "column 8: ≤ is not a sign of a formula; write <="},
		{"length ≥ width", "column 8: ≥ is not a sign of a formula; write >="},
		{"length ≠ width", "column 8: ≠ is not a sign of a formula; write !="},
		{"length × 2", "column 8: × is not a sign of a formula; write *"},
		{"length · 2", "column 8: · is not a sign of a formula; write *"},
		{"panel ÷ 2", "column 7: ÷ is not a sign of a formula; write /"},
		{"length − width", "column 8: − is not a sign of a formula; write the plain - of the keyboard"},
		{"length – width", "column 8: – is not a sign of a formula; write the plain - of the keyboard"},
		{"length ^ 2", "column 8: ^ is not a sign of a formula; there are no powers; write x * x"},
		{"length ** 2", "column 8: ** is not a sign of a formula; there are no powers; write x * x"},
		{"length % 2", "column 8: % is not a sign of a formula; there is no remainder; a percentage is written frac('70 %')"},
		{"length // 2", "column 8: // is not a sign of a formula; write / to divide; a formula has no remarks"},
		{"glass & glass", "column 7: & is not a sign of a formula; write &&"},
		{"glass | glass", "column 7: | is not a sign of a formula; write ||"},
		{"length\u00a0+ width", "column 7: a space of another kind stands here; write the plain space of the keyboard"},
		{"glass and glass", "column 7: and is not a word of a formula; write &&"},
		{"glass or not glass", "column 7: or is not a word of a formula; write ||\ncolumn 10: not is not a word of a formula; write !"},
		{"if glass then 1 else 2", "column 1: if is not a word of a formula; write condition ? value when yes : value when no"},
		{"length; width", "column 7: ; is not a sign of a formula; leave it out"},
		{"{1: 2}", "column 1: { is not a sign of a formula; leave it out"},
		{"length + ½", "column 10: ½ is not a sign of a formula; write frac('½')"},
		{"länge", "column 2: ä is not a letter of a formula: names are written with a to z, A to Z, 0 to 9, _ and dots; leave it out"},
		{"length$", "column 7: $ is not a sign of a formula; leave it out"},
		{"@length", "column 1: @ is not a sign of a formula; leave it out"},
		{"a\x00b", "column 2: a character that cannot be shown stands here; leave it out"},
		{"a\xffb", "column 1: the formula holds bytes that are not UTF-8 text; save the file as UTF-8"},
		{"species == ‘ash’", "column 12: ‘ is not the quote of a formula; write the plain ' of the keyboard before and after a text"},
		{"species == `ash`", "column 12: ` is not the quote of a formula; write the plain ' of the keyboard before and after a text"},
		{"'ash", "column 1: the text that begins here has no closing '; write ' at its end"},
		{"'as\\'h'", "column 4: \\ cannot be used inside a text; write the text without it"},
		{"\"ash\nb\"", "line 1, column 1: the text that begins here has no closing \"; write \" at its end"},
		{"", "column 1: the formula is empty; write a value, a name or a calculation"},
		{"   ", "column 1: the formula is empty; write a value, a name or a calculation"},
		{"length +", "column 8: the formula ends with +; write a value after it"},
		{"* length", "column 1: a formula cannot begin with *; write a value before it"},
		{"length + * width", "column 10: a value is missing between + and *; write it, or leave one of them out"},
		{"length + )", "column 10: ) closes a bracket that was never opened; leave it out, or open it before"},
		{"(length", "column 1: the ( that stands here is never closed; write ) where it ends"},
		{"length)", "column 7: ) closes a bracket that was never opened; leave it out, or open it before"},
		{"(length]", "column 8: ] does not close the ( before it; write )"},
		{"((length)", "column 1: the ( that stands here is never closed; write ) where it ends"},
		{"min(length, )", "column 13: a value is missing between , and ); write it, or leave , out"},
		{"min(, length)", "column 5: a value is missing between ( and ,; write it, or leave one of them out"},
		{"()", "column 1: nothing stands between ( and ); write a value there, or leave them out"},
		{"length width", "column 8: a sign is missing between length and width; write the sign between them, such as length * width"},
		{"length 'a'", "column 8: a sign is missing between length and 'a'; write the sign between them, such as length * 'a'"},
		{"(length)(width)", "column 9: a sign is missing between ) and (; write the sign between them, such as *"},
		{"length[0]", "column 7: [ ] only stands after in; write x in ['a', 'b']"},
		{"[1, 2]", "column 1: a list only stands after in; write x in ['a', 'b']"},
		{"length ! width", "column 8: ! stands before a condition, not after length; write && or || between two conditions, != to compare"},
		{"1,500", "column 2: a comma only separates values inside brackets, as in min(a, b); write 1500 for thousands, frac('1.500') for decimals"},
		{"length, width", "column 7: a comma only separates values inside brackets, as in min(a, b); leave it out"},
		{"1,5 + lenth", "column 2: a comma only separates values inside brackets, as in min(a, b); write 15 for thousands, frac('1.5') for decimals\ncolumn 7: unknown name lenth; did you mean length?"},
		{"glass ? length", "column 15: the ? has no : after it; write condition ? value when yes : value when no"},
		{"glass : length", "column 7: the : has no ? before it; write condition ? value when yes : value when no"},
		{"glass ? : length", "column 9: a value is missing between ? and :; write it, or leave one of them out"},
		{"99999999999999999999", "column 1: a whole number here has too many digits; numbers go up to 9223372036854775807"},
		{"1.2.3", "column 1: 1.2.3 is not a number; write it with one decimal point and a digit behind it, as in frac('0.5')"},
		{"null", "column 1: null is not a value of a formula"},
		{"for", "column 1: for is a reserved word and cannot be a name; use one of the declared names"},
		{"package", "column 1: package is a reserved word and cannot be a name; use one of the declared names"},
		{"true.x", "column 1: a dot only stands inside a name, as in standard.seam"},
		{"in", "column 1: a formula cannot begin with in; write a value before it"},
		{"length in", "column 8: the formula ends with in; write a value after it"},
		{"1..2", "column 1: 1..2 is not a number; write it with one decimal point and a digit behind it, as in frac('0.5')"},
		{"2 * (lenght +", "column 5: the ( that stands here is never closed; write ) where it ends\ncolumn 6: unknown name lenght; did you mean length?"},
	}
	for _, tt := range tests {
		f, err := s.Compile(tt.text, 0)
		if err == nil {
			t.Errorf("%q compiled to %v, want a fault", tt.text, f.Kind())
		} else if err.Error() != tt.want {
			t.Errorf("%q\n got %s\nwant %s", tt.text, err, tt.want)
		}
	}
}

func TestWrongResultFaults(t *testing.T) {
	s := newShop(t)
	tests := []struct {
		text string
		want Kind
		says string
	}{
		{"3", Length, "column 1: the formula gives a number, and a length is needed here; multiply it by a length, as in n * len('1 in')"},
		{"length", Number, "column 1: the formula gives a length, and a number is needed here; divide it by a length, as in x / len('1 in')"},
		{"panel", Length, "column 1: the formula gives an area, and a length is needed here; divide it by a length"},
		{"length", Area, "column 1: the formula gives a length, and an area is needed here; multiply it by a length"},
		{"legs", Bool, "column 1: the formula gives a number, and yes/no is needed here; compare it, as in legs > 3"},
		{"length", Bool, "column 1: the formula gives a length, and yes/no is needed here; compare it, as in length > len('60 in')"},
		{"species", Bool, "column 1: the formula gives text, and yes/no is needed here; compare it, as in species == 'oak'"},
		{"glass", Number, "column 1: the formula gives yes/no, and a number is needed here; write c ? 1 : 0"},
		{"glass", Length, "column 1: the formula gives yes/no, and a length is needed here; write c ? len('1 in') : len('0 in')"},
		{"species", Length, "column 1: the formula gives text, and a length is needed here"},
		{"glass", Text, "column 1: the formula gives yes/no, and text is needed here"},
	}
	for _, tt := range tests {
		if _, err := s.Compile(tt.text, tt.want); err == nil || err.Error() != tt.says {
			t.Errorf("%q as %v\n got %v\nwant %s", tt.text, tt.want, err, tt.says)
		}
	}
}

// All faults of one formula come at once, in the order of its text.
func TestAllFaultsAtOnce(t *testing.T) {
	s := newShop(t)
	text := "lenght - 15 in +\n  (species = 'wite-oak' ? wdth : 3 / 4) and up(length, 0.5)"
	want := []string{
		"line 1, column 1: unknown name lenght; did you mean length?",
		"line 1, column 10: 15 in: a length cannot be written bare; write len('15 in')",
		"line 1, column 16: length + number: a bare number has no unit; give it a unit, as in n * len('1 in')",
		"line 2, column 12: = is not a sign of a formula; write == to compare",
		"line 2, column 14: species is never 'wite-oak'; did you mean white-oak?",
		"line 2, column 27: unknown name wdth; did you mean width?",
		"line 2, column 34: 3 / 4: bare integer division; write frac('3/4')",
		"line 2, column 41: and is not a word of a formula; write &&",
		"line 2, column 45: up: the step to round to is a length, not a number; write len('0.5 in')",
	}
	_, err := s.Compile(text, Length)
	if err == nil || err.Error() != strings.Join(want, "\n") {
		t.Errorf("got\n%v\nwant\n%s", err, strings.Join(want, "\n"))
	}
	all, ok := errors.AsType[Faults](err)
	if !ok || len(all) != len(want) {
		t.Fatalf("got %d faults, want %d", len(all), len(want))
	}
	first, ok := errors.AsType[*Fault](err)
	if !ok || first != all[0] || first.Text != text || first.Line != 1 || first.Column != 1 ||
		first.Message != "unknown name lenght" || first.Hint != "did you mean length?" {
		t.Errorf("first fault: %+v", first)
	}
}

// A value with several dashes, and scopes with little in them.
func TestFaultsOfSmallScopes(t *testing.T) {
	s := NewScope()
	tests := []struct{ text, want string }{
		{"zzz", "column 1: unknown name zzz; no name is declared here"},
		{"band('t', 3)", "column 6: unknown table 't'; no table is declared here"},
		{"finish == clear-coat-2", "column 11: clear-coat-2 is a value of finish: a text is written in quotes; write 'clear-coat-2'"},
		{"finish == clear-coat", "column 11: unknown name clear; the names here are finish\ncolumn 17: unknown name coat; the names here are finish"},
	}
	for i, tt := range tests {
		if i == 2 {
			if _, err := s.DeclareChoice("finish", []string{"clear-coat-2", "oil"}); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := s.Compile(tt.text, 0); err == nil || err.Error() != tt.want {
			t.Errorf("%q\n got %v\nwant %s", tt.text, err, tt.want)
		}
	}
}

// What a hint says to write can be written.
func TestHintsCompile(t *testing.T) {
	s := newShop(t)
	hint := regexp.MustCompile(`write (-?(?:len|frac)\('[^']*'\))$`)
	seen := 0
	for _, text := range []string{
		"length + 15", "length - -15", "length - 0.5", "3 / 4", "-3 / 4", "0.5", "length * .5", "15 in", "72-1/2 in", "6' 0 1/2\"",
		"length - 20mm", "length - 2 feet", "1 + ½", "len(15)", "len(.5)", "frac(3)", "min(length, 3)", "band('springs', 30)", "up(length, 0.5)",
	} {
		_, err := s.Compile(text, 0)
		all, _ := errors.AsType[Faults](err)
		for _, f := range all {
			m := hint.FindStringSubmatch(f.Hint)
			if m == nil {
				t.Errorf("%q: the hint %q names nothing to write", text, f.Hint)
				continue
			}
			seen++
			if _, err := s.Compile(m[1], 0); err != nil {
				t.Errorf("%q: the hint %q does not compile: %v", text, f.Hint, err)
			}
		}
	}
	if seen < 19 {
		t.Errorf("only %d hints tried", seen)
	}
}
