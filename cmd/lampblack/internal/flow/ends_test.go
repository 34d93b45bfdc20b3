package flow

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/material"
)

// Evenness that was asked for and is lost with thin sheets is told; what was not asked for, or falls short as it is, is not.
func TestEvennessLostInThinSheets(t *testing.T) {
	q := panel.Panel{Name: "dome", Drawing: "dome.dxf"}
	of := func(want, as, thin, thick float64) []string {
		entry := project.Panel{Name: "dome", Drawing: "dome.dxf"}
		entry.Place.Even = want
		s := &session{project: project.New("desk"), drawings: []Drawing{{Entry: entry, Panels: []panel.Panel{q}}}}
		b := Built{Panel: q, Field: light.Field{Figures: light.Figures{Mean: 1, MinToMean: as}}}
		var texts []string
		for _, f := range s.judgeEnds(&b, [2]light.Figures{{MinToMean: thin}, {MinToMean: thick}}) {
			require.Equal(t, "light-thickness", f.Code)
			require.NotEmpty(t, f.Subject.Keys)
			texts = append(texts, f.Text)
		}
		return texts
	}
	require.Empty(t, of(0, 0.6, 0.4, 0.7))
	require.Empty(t, of(0.7, 0.72, 0.695, 0.75))
	require.Empty(t, of(0.7, 0.6, 0.5, 0.6), "told as such")
	require.Contains(t, of(0.7, 0.72, 0.65, 0.75)[0], "thin, as an LED sheet of 2.3 mm, the darkest lettering has 65 %")
	require.Contains(t, of(0.7, 0.72, 0.75, 0.65)[0], "thick, as an LED sheet of 3.7 mm")
}

// A range of temperatures that is told takes the place of the usual one; panels are put together at 20 °C.
func TestClimate(t *testing.T) {
	of := func(a led.Celsius) material.Climate {
		p := project.New("desk")
		p.Ambient = a
		return (&session{project: p}).climate()
	}
	require.Equal(t, material.UsualClimate(), of(project.New("desk").Ambient))
	got := of(led.Celsius{Min: -10, Nominal: 0, Max: 10})
	require.InDelta(t, -10, got.Coldest, 0)
	require.InDelta(t, 20, got.Warmest, 0)
}
