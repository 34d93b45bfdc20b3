package part

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Source: IEC 60115-1 derating curve, references.md section 17.
func TestResistorsUnderHeat(t *testing.T) {
	for celsius, want := range map[float64]float64{-40: 1, 25: 1, 70: 1, 85: 0.8235, 100: 0.6471, 120: 0.4118, 125: 0.3529, 140: 0.1765, 155: 0, 170: 0} {
		require.InDelta(t, want, ResistorShare(celsius), 5e-5, celsius)
	}
}

// Source: makers' data sheets, references.md section 17, at 60 and at 85 °C.
func TestLEDsUnderHeat(t *testing.T) {
	for _, c := range []struct {
		most, by   Amp
		from       float64
		at60, at85 Amp
	}{
		{0.030, 0.0005, 50, 0.025, 0.0125},
		{0.020, 0.0002, 50, 0.018, 0.013},
		{0.030, 0.0004, 25, 0.016, 0.006},
	} {
		k := LED{IMax: c.most, DeratedFrom: c.from, DeratedBy: c.by}
		require.Equal(t, c.most, k.Stands(c.from))
		require.InDelta(t, float64(c.at60), float64(k.Stands(60)), 1e-9)
		require.InDelta(t, float64(c.at85), float64(k.Stands(85)), 1e-9)
		require.InDelta(t, 60, k.Cool(c.at60), 1e-9)
	}
	// What nothing is told of derates as the first of these does.
	require.InDelta(t, 0.0125, float64(LED{IMax: 0.030}.Stands(85)), 1e-9)
	require.Equal(t, Amp(0), LED{IMax: 0.030}.Stands(120))
}
