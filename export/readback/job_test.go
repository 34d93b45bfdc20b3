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

// What is wrong with a job file's JSON is told in plain words, with its line.
func TestJobFaults(t *testing.T) {
	for text, want := range map[string]struct {
		line int
		what string
	}{
		"{\n\"GeneralSpecs\": {":                              {2, "its JSON breaks off"},
		"{\n\"GeneralSpecs\": }\n}":                           {2, "its JSON is wrong here"},
		"{\"GeneralSpecs\": {\n\n\"BoardThickness\": \"x\"}}": {3, "GeneralSpecs.BoardThickness holds a string"},
		"": {1, "its JSON breaks off"},
	} {
		_, l := readback.Job([]byte(text), "a.gbrjob")
		require.Len(t, l, 1, text)
		require.Equal(t, "a.gbrjob is no Gerber job file: "+want.what, l[0].Text)
		require.Equal(t, want.line, l[0].Place.Line, text)
	}
}
