package desk

import (
	"strconv"
	"strings"
	"time"
)

// months are matched by their first three letters.
var months = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// dayTyped reads a day as people say it, "12 feb", "Fri 12 Feb 2027" or
// "feb 12", and writes it as 2027-02-12. Without a year it is the next such day
// after today. What is not understood stays as it is: the interface tells what
// would do. Days in figures alone are not guessed at, but for the form above.
func dayTyped(text string, today time.Time) string {
	var day, year int
	var month time.Month
	for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ' ' || r == ',' || r == '.' }) {
		n, err := strconv.Atoi(word)
		switch {
		case err == nil && n >= 1 && n <= 31 && day == 0:
			day = n
		case err == nil && n >= 1000 && n <= 9999 && year == 0:
			year = n
		case err != nil && len(word) >= 3 && month == 0 && monthOf(word) > 0:
			month = monthOf(word)
		case err != nil && month == 0 && isWeekday(word):
		default:
			return text
		}
	}
	if day == 0 || month == 0 {
		return text
	}
	open := year == 0
	if open {
		year = today.Year()
	}
	date := time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	if open && date.Before(time.Date(today.Year(), today.Month(), today.Day(), 0, 0, 0, 0, time.UTC)) {
		date = time.Date(year+1, month, day, 0, 0, 0, 0, time.UTC)
	}
	if date.Day() != day { // 31 feb
		return text
	}
	return date.Format(time.DateOnly)
}

func monthOf(word string) time.Month {
	for i, name := range months {
		if strings.HasPrefix(word, name) && strings.HasPrefix(strings.ToLower(time.Month(i+1).String()), word) {
			return time.Month(i + 1)
		}
	}
	return 0
}

func isWeekday(word string) bool {
	for d := time.Sunday; d <= time.Saturday; d++ {
		if len(word) >= 2 && strings.HasPrefix(strings.ToLower(d.String()), word) {
			return true
		}
	}
	return false
}
