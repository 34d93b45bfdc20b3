package png

import (
	"bytes"
	"image"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// shown returns the picture of a page of 10 by 8 mm at ten pixels a millimetre.
func shown(t *testing.T, items ...scene.Item) image.Image {
	t.Helper()
	p := scene.Page{W: geom.MM(10), H: geom.MM(8), Body: scene.Group{Items: items}}
	src := Encode(p, 10)
	require.Equal(t, src, Encode(p, 10))
	img, err := png.Decode(bytes.NewReader(src))
	require.NoError(t, err)
	require.Equal(t, image.Pt(100, 80), img.Bounds().Size())
	return img
}

// at returns the colour at a place of the page, in mm, as 0xRRGGBB.
func at(img image.Image, x, y float64) uint32 {
	r, g, b, _ := img.At(int(x*10), int(y*10)).RGBA()
	return r>>8<<16 | g>>8<<8 | b>>8
}

func square(x, y, w float64) []geom.Contour {
	return []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(x, y), Max: geom.PtMM(x+w, y+w)})}
}

const white = 0xffffff

// Areas are where they should be, by the rule that they have, and cover as much as their paint does.
func TestAreas(t *testing.T) {
	both := append(square(1, 1, 4), square(2, 2, 2)...)
	img := shown(t, &scene.Path{Shapes: both, EvenOdd: true, Fill: scene.Solid(0x204060)}, &scene.Path{Shapes: square(6, 1, 2), Fill: scene.Paint{Colour: 0, Percent: 20}})
	require.EqualValues(t, 0x204060, at(img, 1.5, 1.5))
	require.EqualValues(t, white, at(img, 3, 3), "the hole")
	require.EqualValues(t, white, at(img, 1.5, 5.2), "Y runs down from the top")
	require.EqualValues(t, 0xcccccc, at(img, 7, 2), "a fifth of black on white")
	img = shown(t, &scene.Path{Shapes: both, Fill: scene.Solid(0x204060)})
	require.EqualValues(t, 0x204060, at(img, 3, 3))
}

// A group's clip hides what is outside it, and a clip within a clip what is outside either.
func TestClips(t *testing.T) {
	inner := &scene.Group{Clip: square(3, 0, 6), Items: []scene.Item{&scene.Path{Shapes: square(0, 0, 8), Fill: scene.Solid(0)}}}
	img := shown(t, &scene.Group{Clip: square(1, 1, 4), Items: []scene.Item{inner}}, &scene.Path{Shapes: square(8, 6, 1), Fill: scene.Solid(0xff0000)})
	require.EqualValues(t, 0, at(img, 4, 3))
	for _, p := range [][2]float64{{2, 3}, {6, 3}, {4, 0.5}, {4, 5.5}} {
		require.EqualValues(t, white, at(img, p[0], p[1]), "%v", p)
	}
	require.EqualValues(t, 0xff0000, at(img, 8.5, 6.5), "what comes after the group is not clipped")
}

// Lines are as wide as they are, end plainly or round, and closed ones come back; dashes have gaps.
func TestLines(t *testing.T) {
	line := []geom.Contour{geom.Straight(geom.PtMM(2, 4), geom.PtMM(6, 4))}
	pen := scene.Line(0, geom.MM(2))
	img := shown(t, &scene.Path{Shapes: line, Open: true, Stroke: pen})
	require.EqualValues(t, 0, at(img, 4, 3.1))
	require.EqualValues(t, white, at(img, 4, 2.9))
	require.EqualValues(t, white, at(img, 6.5, 4), "a plain end")
	img = shown(t, &scene.Path{Shapes: line, Open: true, Stroke: pen.Round()})
	require.EqualValues(t, 0, at(img, 6.5, 4), "a round end")
	require.EqualValues(t, white, at(img, 6.9, 3.1), "not a square one")
	img = shown(t, &scene.Path{Shapes: square(2, 2, 4), Stroke: scene.Line(0, geom.MM(0.6))})
	for _, p := range [][2]float64{{2, 4}, {6, 4}, {4, 2}, {4, 6}, {2, 2}} {
		require.EqualValues(t, 0, at(img, p[0], p[1]), "%v", p)
	}
	require.EqualValues(t, white, at(img, 4, 4))
	img = shown(t, &scene.Path{Shapes: line, Open: true, Stroke: pen.Dashed(geom.MM(1), geom.MM(0.5))})
	for x, want := range map[float64]int{2.5: 0, 3.25: white, 4: 0, 4.75: white, 5.5: 0} {
		require.EqualValues(t, want, at(img, x, 4), "%v", x)
	}
	dot := []geom.Contour{geom.Straight(geom.PtMM(3, 3))}
	require.EqualValues(t, 0, at(shown(t, &scene.Path{Shapes: dot, Open: true, Stroke: pen.Round()}), 3.5, 3))
	ring := []geom.Contour{geom.Circle(geom.PtMM(5, 4), geom.MM(6))}
	img = shown(t, &scene.Path{Shapes: ring, Stroke: scene.Line(0, geom.MM(0.4))})
	require.EqualValues(t, 0, at(img, 5, 1))
	require.EqualValues(t, 0, at(img, 8, 4))
	require.EqualValues(t, white, at(img, 5, 4))
}

// A large page has fewer pixels a millimetre, and one without size is still a picture.
func TestSizes(t *testing.T) {
	for _, p := range []scene.Page{{}, {W: geom.MM(1000), H: geom.MM(900)}} {
		img, err := png.Decode(bytes.NewReader(Encode(p, 40)))
		require.NoError(t, err)
		require.LessOrEqual(t, img.Bounds().Dx()*img.Bounds().Dy(), Most+Most/100)
	}
}
