package read

import (
	"testing"

	"lampblack/panel/dxf"
	"lampblack/panel/paneltest"
)

// TestBadDrawings reads small drawings of a dome shutter's panel, each with one fault, and compares with the WANT
// lines in them.
func TestBadDrawings(t *testing.T) {
	for _, f := range paneltest.Files(t, "testdata/bad/*.dxf") {
		t.Run(f.Name, func(t *testing.T) {
			d, l := dxf.Read(t.Context(), f.Data, f.Name)
			_, more := Panels(t.Context(), d, Options{})
			paneltest.Subjects(t, more)
			paneltest.Expect(t, f, append(l, more...))
		})
	}
}
