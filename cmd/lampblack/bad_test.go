package main

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/paneltest"
)

// TestBadDrawings checks whole drawings that no board can be made of: the errors told are exactly those that the
// drawing's WANT lines state, with code and place in the drawing's own millimetres.
func TestBadDrawings(t *testing.T) {
	for _, f := range paneltest.Files(t, "../../testdata/bad/*.dxf") {
		t.Run(f.Name, func(t *testing.T) {
			var out, errw bytes.Buffer
			status := run([]string{"check", "--json", "../../testdata/bad/" + f.Name}, nil, &out, &errw)
			require.Equal(t, 1, status, errw.String())
			var result struct {
				Findings []struct {
					Code, Severity, Text, Advice string
					At                           []float64
				}
			}
			require.NoError(t, json.Unmarshal(out.Bytes(), &result))
			var errors diag.List
			for _, x := range result.Findings {
				if x.Severity != diag.Error.String() {
					continue
				}
				e := errors.Add(diag.Error, x.Code, "%s", x.Text).Fix("%s", x.Advice)
				if len(x.At) == 2 {
					e.At(x.At[0], x.At[1])
				}
			}
			paneltest.Expect(t, f, errors)
		})
	}
}
