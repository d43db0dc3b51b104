package order

import (
	"strings"
	"testing"

	"github.com/google/uuid"
	"pgregory.net/rapid"
)

func numberOfAny(t *rapid.T) string {
	var id uuid.UUID
	copy(id[:], rapid.SliceOfN(rapid.Byte(), 16, 16).Draw(t, "uuid"))
	return NumberOf(id)
}

func TestNumberReadsBackHoweverWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := numberOfAny(t)
		heard := strings.NewReplacer("1", "l", "0", "o", "-", " ").Replace(strings.ToLower(number))
		for _, text := range []string{number, heard, strings.ReplaceAll(number, "-", "")} {
			got, err := ParseNumber(text)
			if err != nil || got != number {
				t.Fatalf("ParseNumber(%q) = %q, %v; want %q", text, got, err, number)
			}
		}
	})
}

func TestNumberFindsOneWrongSign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := []byte(numberOfAny(t))
		at := rapid.SampledFrom([]int{0, 1, 2, 3, 5, 6, 7, 8}).Draw(t, "place")
		wrong := signs[rapid.IntRange(0, 31).Draw(t, "sign")]
		if wrong == number[at] {
			t.Skip("the same sign")
		}
		number[at] = wrong
		if got, err := ParseNumber(string(number)); err == nil {
			t.Fatalf("%s was taken as %s", number, got)
		}
	})
}

func TestNumberFindsTwoExchangedSigns(t *testing.T) {
	places := []int{0, 1, 2, 3, 5, 6, 7}
	rapid.Check(t, func(t *rapid.T) {
		number := []byte(numberOfAny(t))
		i := places[rapid.IntRange(0, 6).Draw(t, "first")]
		j := places[rapid.IntRange(0, 6).Draw(t, "second")]
		if number[i] == number[j] {
			t.Skip("equal signs")
		}
		number[i], number[j] = number[j], number[i]
		if got, err := ParseNumber(string(number)); err == nil {
			t.Fatalf("%s was taken as %s", number, got)
		}
	})
}

// Worked by hand: every random bit 0 gives the digits 0000000, whose check is
// 0. With only the first digit 1, the check is its weight, 2.
func TestNumberByHand(t *testing.T) {
	if got := NumberOf(uuid.UUID{}); got != "0000-0000" {
		t.Errorf("all bits nought: %s", got)
	}
	if got := NumberOf(uuid.UUID{15: 1}); got != "1000-0002" {
		t.Errorf("first digit one: %s", got)
	}
}

func TestNumberRefused(t *testing.T) {
	for _, text := range []string{"", "7K3M", "7K3M-9QXDD", "UUUU-UUUU", "%_'--", "１０００-0002", strings.Repeat("0", 10_000)} {
		if got, err := ParseNumber(text); err == nil {
			t.Errorf("%.20q was taken as %s", text, got)
		}
	}
}
