package diag

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The counts follow from the definition: one change, one swap of neighbours, one letter more. "kitten" and "sitting" are
// Levenshtein's usual example; "ca" and "abc" tell optimal string alignment (3) from the unrestricted distance (2).
func TestSlips(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"supply", "suply", 1}, {"volts", "vlots", 1}, {"led", "lad", 1}, {"", "abc", 3}, {"chain", "chains", 1}, {"abc", "abc", 0},
		{"kitten", "sitting", 3}, {"ca", "abc", 3}, {"weiß", "weiss", 2},
	} {
		require.Equal(t, c.want, slips([]rune(c.a), []rune(c.b)), c)
		require.Equal(t, c.want, slips([]rune(c.b), []rune(c.a)), c)
	}
}

func TestNearest(t *testing.T) {
	for _, c := range []struct {
		word string
		of   []string
		want string // "" for none
	}{
		{"muont", []string{"dome", "mount"}, "mount"},
		{"guide", []string{"dome", "mount"}, ""},
		{"VOLT", []string{"amps", "volts"}, "volts"},
		{"ld", []string{"lid", "led"}, "lid"}, // equally near: the first
		{"x", []string{"led"}, ""},
		{"rde-3mm", []string{"red-5mm", "red-3mm"}, "red-3mm"},
		{"dome", nil, ""},
		{strings.Repeat("x", 65), []string{strings.Repeat("x", 65)}, ""},
	} {
		got, ok := Nearest(c.word, c.of)
		require.Equal(t, c.want, got, c.word)
		require.Equal(t, c.want != "", ok, c.word)
	}
}
