package flow

import (
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/go-fonts/latin-modern/lmsansquot8regular"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/writing"
)

// A font file beside the project is taken by its name, or by the family that it or the style tells, in the cut that is asked for;
// each file is read once.
func TestFontsBeside(t *testing.T) {
	files := map[string][]byte{"plate.otf": lmsansquot8regular.TTF, "heavy.ttf": gobold.TTF, "broken.ttf": []byte("no font")}
	p := project.New("Desk")
	p.File = filepath.Join("desk", project.FileName)
	p.Panels = []project.Panel{{Name: "dome", Drawing: "dome.dxf"}}
	s := &session{ctx: t.Context(), engine: NewEngine(1 << 28), project: p, set: Settings{
		Read: func(path string) ([]byte, error) {
			if d, ok := files[filepath.Base(path)]; ok && filepath.Dir(path) == "desk" {
				return d, nil
			}
			return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
		},
		Fonts: func(dir string) []string {
			require.Equal(t, "desk", dir)
			return []string{"broken.ttf", "heavy.ttf", "plate.otf"}
		},
	}}
	of := func(f writing.Font) panel.Text { return panel.Text{Text: "SHUTTER", Height: geom.MM(4), Font: f} }
	asked := []writing.Font{{Style: "A", File: "PLATE.OTF"}, {Style: "B", Family: "Go", Bold: true}, {Style: "plate"}, {Style: "D", File: "other.ttf"}, {Style: "E"}}
	var texts []panel.Text
	for _, f := range asked {
		texts = append(texts, of(f))
	}
	var l diag.List
	s.fonts([]panel.Panel{{Name: "dome", Lettering: texts}}, &l)
	require.Empty(t, l)
	faces := s.lettered.faces(lettering.Stroke)
	for i, want := range []string{"plate.otf", "heavy.ttf", "plate.otf", lettering.Plain, lettering.Plain} {
		require.Equal(t, want, faces.Of(asked[i]).Name(), "%v", asked[i])
	}
	plate, err := lettering.Parse("x", lmsansquot8regular.TTF)
	require.NoError(t, err)
	require.Equal(t, (&lettering.Faces{Usual: plate}).Outline(texts[0]), faces.Outline(texts[0]))

	// A damaged file is told where its name was asked for, once, and nowhere else.
	s.fonts([]panel.Panel{{Lettering: []panel.Text{of(writing.Font{Style: "X", File: "broken.ttf"}), of(writing.Font{Style: "Y", File: "broken.ttf"})}}}, &l)
	require.Len(t, l, 1)
	require.Equal(t, "font-unreadable", l[0].Code)
	require.True(t, l[0].Spares)
	require.Equal(t, filepath.Join("desk", "broken.ttf"), l[0].Place.File)
}
