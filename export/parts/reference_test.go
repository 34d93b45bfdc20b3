package parts

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
)

func TestRanges(t *testing.T) {
	for want, refs := range map[string][]string{
		"D1-D4, D7":        {"D4", "D7", "D2", "D1", "D3"},
		"D9, D10":          {"D10", "D9"},
		"D9-D11":           {"D10", "D9", "D11"},
		"D1, D1, D2":       {"D1", "D2", "D1"},
		"D2, D3, D01":      {"D2", "D01", "D3"},
		"IN":               {"IN"},
		"":                 nil,
		"A1-A3, B1, B2, C": {"C", "B2", "B1", "A3", "A2", "A1"},
	} {
		require.Equal(t, want, Ranges(refs))
	}
}

func TestWatts(t *testing.T) {
	for want, w := range map[string]part.Watt{"1/4 W": 0.25, "1/8 W": 0.125, "1/10 W": 0.1, "1/16 W": 0.0625, "1/2 W": 0.5,
		"1 W": 1, "2 W": 2, "0.3 W": 0.3} {
		require.Equal(t, want, watts(w))
	}
}
