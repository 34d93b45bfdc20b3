package light

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// A body between an LED and a word is in the light's way where it stands in the gap, and is as if it were not there where it begins
// behind the LED sheet. Over a body that begins behind the face there is no diffuser, so that nothing glows.
func TestBodyDepth(t *testing.T) {
	over := panel.Text{Text: "RAIN", At: geom.PtMM(40, 22), Height: geom.MM(3), Width: 1, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}}
	p, w := desk(over, geom.PtMM(20, 20), geom.PtMM(28, 30))
	beyond := over
	beyond.Text, beyond.At = "WIND", geom.PtMM(60, 20)
	p.Lettering = append(p.Lettering, beyond)
	bare := Stack{Gap: geom.MM(10), Transmission: 0.5, Absorption: 0.5, FaceTransmission: 1} // nothing blurs, nothing bounces
	light := func(s Stack) (rain, wind float64, f Field) {
		f = Evaluate(context.Background(), p, nil, w, s)
		return f.Texts[0].Mean, f.Texts[1].Mean, f
	}
	rain, wind, _ := light(bare)
	require.Positive(t, rain)
	require.Positive(t, wind)
	p.Bodies = []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(33, 0), Max: geom.PtMM(47, 40)})}
	r, v, _ := light(bare)
	require.Equal(t, []float64{rain, wind}, []float64{r, v}, "behind the LED sheet")
	p.BodyDepth = panel.BehindDiffuser
	r, v, _ = light(bare)
	require.InDelta(t, 0, r+v, 1e-9, "in the body's shadow")
	usual := UsualStack()
	r, _, _ = light(usual)
	require.Positive(t, r, "over the body light comes through the diffuser")
	p.BodyDepth = panel.BehindFace
	r, v, f := light(usual)
	require.Zero(t, r)
	require.Positive(t, v)
	var advice string
	for _, g := range Judge(nil, p, nil, f, usual, UsualLimits()) {
		if g.Severity == diag.Warning && g.Code == "light-dark-word" && strings.Contains(g.Text, `"RAIN"`) {
			advice = g.Advice
		}
	}
	require.Contains(t, advice, "move it off the body")
}
