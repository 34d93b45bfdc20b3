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

// Bold letters that are asked of a face without a bold cut are told, once a style; where the face has one, and where nobody asks, not.
func TestNoBoldCut(t *testing.T) {
	font := func(style string, bold bool) writing.Font { return writing.Font{Style: style, Bold: bold} }
	faces := lettering.Faces{Asked: map[writing.Font]*lettering.Face{
		font("LINES", true): lettering.Named(lettering.SingleLine), font("LINES", false): lettering.Named(lettering.SingleLine), font("NAMES", true): lettering.Named(lettering.Plain)}}
	require.False(t, faces.Bold(font("LINES", true)))
	require.False(t, faces.Bold(font("NAMES", false)))
	require.True(t, faces.Bold(font("NAMES", true)))
	text := panel.Text{Text: "DOME", At: geom.PtMM(3, 4), Height: geom.MM(4), Font: font("LINES", true)}
	var l diag.List
	tellBold(&l, text.Font, lettering.SingleLine, []panel.Panel{{Name: "mount"}, {Name: "dome", Lettering: []panel.Text{text, text, {Font: font("LINES", false)}}}})
	require.Len(t, l, 1)
	require.Equal(t, "font-no-bold", l[0].Code)
	require.Contains(t, l[0].Text, "the style LINES asks for bold letters, and single-line has no bold cut: 2 texts are")
	require.Equal(t, &diag.Point{X: 3, Y: 4}, l[0].Place.At)
	require.Contains(t, l[0].Advice, "fonts: {LINES: FILE.ttf}")
}
