package picture

import (
	"bytes"
	"context"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

// litPanel reads one of led/light's test panels, every other LED amber if mixed.
func litPanel(t testing.TB, name string, mixed bool) (panel.Panel, led.Wiring, light.Field) {
	t.Helper()
	file := filepath.Join("..", "..", "led", "light", "testdata", name+".dxf")
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	d, l := dxf.Read(t.Context(), src, file)
	require.False(t, l.HasErrors())
	ps, l := read.Panels(t.Context(), d, read.Options{Name: name})
	require.False(t, l.HasErrors())
	p := ps[0]
	w := led.Wiring{Panel: name, Strings: []led.String{{Nominal: 0.008}}}
	for i := range p.LEDs {
		k, ok := part.Find("red-3mm")
		if mixed && i%2 == 1 {
			k, ok = part.Find("amber-3mm")
		}
		require.True(t, ok)
		w.LEDs = append(w.LEDs, led.LED{Hole: i, Kind: k})
	}
	return p, w, light.Evaluate(context.Background(), p, nil, w, light.UsualStack())
}

// The picture is lit where the lettering is and dark where nothing is, in the LEDs' colour, at eight pixels a millimetre.
func TestGlow(t *testing.T) {
	p, _, f := litPanel(t, "shutter", false)
	data := Glow(t.Context(), p, nil, f)
	if d := os.Getenv("PICTURES"); d != "" {
		require.NoError(t, os.WriteFile(filepath.Join(d, "glow.png"), data, 0o644))
	}
	require.Equal(t, data, Glow(t.Context(), p, nil, f), "the same bytes again")
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	require.Equal(t, (90+4)*GlowScale, img.Bounds().Dx())
	require.Equal(t, (40+4)*GlowScale, img.Bounds().Dy())
	red := func(x, y float64) (r, g uint32) { // in the panel's millimetres
		r, g, _, _ = img.At(int((x+2)*GlowScale), int((42-y)*GlowScale)).RGBA()
		return r >> 8, g >> 8
	}
	bright := f.Chars[3].Brightest // the second T of SHUTTER, in its middle
	r, g := red(bright.X.MM(), bright.Y.MM())
	require.Greater(t, r, uint32(140))
	require.Less(t, g, r*3/4)
	face, _ := red(80, 10)
	hole, _ := red(5, 5)
	room, _ := red(-1.5, -1.5)
	require.True(t, face > room && room > hole && face < 60, "face %d, room %d, hole %d", face, room, hole)
	// Nothing lit: no letter shows.
	off, err := png.Decode(bytes.NewReader(Glow(t.Context(), p, nil, light.Field{})))
	require.NoError(t, err)
	for y := range off.Bounds().Dy() {
		for x := range off.Bounds().Dx() {
			r, _, _, _ := off.At(x, y).RGBA()
			require.Less(t, r>>8, uint32(60))
		}
	}
	// Nothing at all is still a picture.
	_, err = png.Decode(bytes.NewReader(Glow(t.Context(), panel.Panel{}, nil, light.Field{})))
	require.NoError(t, err)
}

func TestConsole(t *testing.T) {
	var all []Placed
	for i, n := range []string{"azimuth", "sky", "status", "filter", "modes"} {
		p, _, f := litPanel(t, n, i == 1)
		all = append(all, Placed{Panel: p, Field: f})
	}
	all[0].At, all[0].Set = geom.PtMM(200, 100), true
	all[3].At, all[3].Set = geom.PtMM(40, 100), true
	data := Console(t.Context(), all)
	if d := os.Getenv("PICTURES"); d != "" {
		require.NoError(t, os.WriteFile(filepath.Join(d, "console.png"), data, 0o644))
	}
	_, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	_, err = png.Decode(bytes.NewReader(Console(t.Context(), nil)))
	require.NoError(t, err)
}

func BenchmarkGlow(b *testing.B) {
	p, _, f := litPanel(b, "desk", false)
	for b.Loop() {
		Glow(b.Context(), p, nil, f)
	}
}
