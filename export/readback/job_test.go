package readback_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// The shape of the file is that of the Gerber Job Format Specification 2020.08; the numbers are made up.
func TestJob(t *testing.T) {
	for src, want := range map[string]board.Laminate{
		`{"GeneralSpecs":{"BoardThickness":0.8},"MaterialStackup":[{"Type":"Legend"},{"Type":"Copper","Thickness":0.07},{"Type":"Dielectric","Thickness":0.66},{"Type":"Copper","Thickness":0.07}]}`: {Thickness: geom.MM(0.8), Copper: geom.MM(0.07)},
		`{"FilesAttributes":[]}`: {},
	} {
		m, l := readback.Job([]byte(src), "x.gbrjob")
		require.Empty(t, l)
		require.Equal(t, want, m)
	}
	for _, src := range []string{``, `{`, `{"GeneralSpecs":7}`, `{"GeneralSpecs":{"BoardThickness":-1}}`, `{"GeneralSpecs":{"BoardThickness":1e300}}`} {
		_, l := readback.Job([]byte(src), "x.gbrjob")
		require.True(t, l.HasErrors(), src)
		require.NotEmpty(t, l[0].Advice)
	}
	m, l := readback.Job([]byte(`{"MaterialStackup":[{"Type":"Copper","Thickness":0.07},{"Type":"Copper","Thickness":0.035}]}`), "x.gbrjob")
	require.Len(t, l, 1)
	require.False(t, l.HasErrors())
	require.Equal(t, board.Ounce, m.Copper)
}
