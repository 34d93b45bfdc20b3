package part

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Source: references.md section 2, two diodes of an academic open model library with their voltages at 300.15 K.
func TestDiodeVolts(t *testing.T) {
	for _, c := range []struct {
		d Diode
		v [4]float64
	}{
		{Diode{1e-10, 4.09, 0.1}, [4]float64{1.7052, 1.8759, 1.9497, 2.0240}},
		{Diode{1e-10, 6.68, 0.1}, [4]float64{2.7849, 3.0634, 3.1837, 3.3044}},
		{Diode{1e-18, 1.8, 0}, [4]float64{1.6080, 1.6829, 1.7152, 1.7475}},
	} {
		for k, i := range []Amp{0.001, 0.005, 0.010, 0.020} {
			require.InDelta(t, c.v[k], float64(c.d.Volts(i)), 6e-5)
		}
	}
	require.InDelta(t, 0.025865, thermalVolt, 5e-7) // the same section
}

func kind(pts ...VfPoint) LED {
	k := LED{Name: "k", Curve: pts, IMax: 0.03}
	return k.Completed()
}

// A fit must give a diode's parameters back from points on its curve.
func TestFitFindsTheDiode(t *testing.T) {
	for _, d := range []Diode{{1e-10, 4.09, 0.1}, {1e-10, 6.68, 0.1}, {1e-18, 1.8, 4}, {2e-14, 2.2, 12}} {
		var pts []VfPoint
		for _, i := range []Amp{0.020, 0.010, 0.005, 0.002, 0.001, 0.0002} {
			pts = append(pts, VfPoint{I: i, V: d.Volts(i)})
		}
		got, off := Fit(kind(pts...))
		require.InEpsilon(t, d.N, got.N, 1e-5)
		require.InEpsilon(t, math.Log(float64(d.IS)), math.Log(float64(got.IS)), 1e-5)
		require.InDelta(t, float64(d.RS), float64(got.RS), 1e-3)
		require.Less(t, float64(off), 1e-7)
	}
}

// Source: references.md section 2, points of a data-sheet curve that another fit used; the bend above 1.7 V needs RS.
func TestFitOfADataSheetCurve(t *testing.T) {
	pts := []VfPoint{{I: 0.020, V: 1.8}, {I: 1e-6, V: 1.3}, {I: 10e-6, V: 1.4}, {I: 80e-6, V: 1.5}, {I: 0.7e-3, V: 1.6}, {I: 5e-3, V: 1.7}, {I: 40e-3, V: 1.9}, {I: 65e-3, V: 2.0}, {I: 80e-3, V: 2.1}}
	d, off := Fit(kind(pts...))
	require.Less(t, float64(off), 0.035)
	require.Greater(t, float64(d.RS), 2.0) // about 4.5 V/A between 20 and 65 mA
	require.Less(t, float64(d.RS), 6.0)
}

func TestFitNeedsNoMoreThanOnePoint(t *testing.T) {
	for _, p := range []VfPoint{{I: 0.020, V: 2.0}, {I: 0.35, V: 3.2}, {I: 0.001, V: 1.6}, {I: 5, V: 100}, {I: 1e-9, V: 0.2}} {
		d, off := Fit(kind(p))
		require.Less(t, float64(off), 1e-8*float64(p.V)) // nine digits
		require.Positive(t, d.N)
		require.Positive(t, float64(d.IS))
		two, off := Fit(kind(p, VfPoint{I: p.I / 2, V: p.V * 0.97}))
		require.Less(t, float64(off), 0.02*float64(p.V))
		require.True(t, two.N > 0 && two.IS > 0 && two.RS >= 0)
	}
}

func TestShiftedMovesTheCurve(t *testing.T) {
	d := Diode{1e-10, 4.09, 0.1}
	for _, i := range []Amp{0.001, 0.02} {
		require.InDelta(t, float64(d.Volts(i))+0.2, float64(d.Shifted(0.2).Volts(i)), 1e-6)
		require.InDelta(t, float64(d.Volts(i))-0.2, float64(d.Shifted(-0.2).Volts(i)), 1e-6)
	}
}
