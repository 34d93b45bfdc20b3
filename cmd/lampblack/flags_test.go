package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestShare(t *testing.T) {
	for text, want := range map[string]float64{
		"0.7": 0.7, "0,7": 0.7, "70%": 0.7, "70 %": 0.7, " 70 percent ": 0.7, "2.5%": 0.025, ".5": 0.5,
		"70": 0, "1": 0, "0": 0, "100%": 0, "-5%": 0, "NaN": 0, "x": 0, "": 0, "%": 0, "0.7 mm": 0, "1e-400": 0,
	} {
		var s share
		err := s.Set(text)
		require.Equal(t, want == 0, err != nil, "%q: %v", text, err)
		require.InDelta(t, want, float64(s), 1e-12, text)
	}
}
