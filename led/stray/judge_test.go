package stray_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/stray"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// What is seen is told by its LED, with what it is seen through, from where, and by how much to move it.
func TestJudge(t *testing.T) {
	p := panel.Panel{
		Name: "dome", Outline: rect(0, 0, 100, 80),
		Mounts:   []panel.Hole{{At: geom.PtMM(90, 10), D: mm(3.2)}},
		Openings: []panel.Opening{opening(geom.Circle(geom.PtMM(50, 40), mm(12)))},
		LEDs:     leds([2]float64{98.2, 40}, [2]float64{57, 40}, [2]float64{90, 12.5}, [2]float64{20, 20}),
	}
	sights := stray.Seen(nil, p, stack(), stray.UsualEyes(), []int{0})
	l := stray.Judge(p, sights, []string{"D1", "D2", "D3", "D4"})
	require.Len(t, l, 3)
	for i, want := range []struct {
		severity   diag.Severity
		code, text string
		advice     string
	}{
		{diag.Note, "stray-open", "D2 is seen directly through an opening unless what sits there hides it: ", "say under controls what sits there; if that leaves a gap, move it by "},
		{diag.Warning, "stray-led", "D3 is seen directly through a mount that no usual screw closes: ", "or close the hole from the front"},
		{diag.Note, "stray-edge", "D1 is seen directly past the panel's edge, between diffuser and LED sheet, unless the console covers the edge: ", "by black tape or by frame: yes"},
	} {
		require.Equal(t, want.severity, l[i].Severity)
		require.Equal(t, want.code, l[i].Code)
		require.Contains(t, l[i].Text, want.text)
		require.Contains(t, l[i].Text, "mm away")
		require.Contains(t, l[i].Advice, want.advice)
		require.Equal(t, "dome", l[i].Panel)
		require.NotNil(t, l[i].Place.At)
		require.Len(t, l[i].Related, 1)
	}
}
