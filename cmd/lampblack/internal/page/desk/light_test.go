package desk

import (
	"encoding/json"
	"image"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/page/talk"
	"lampblack/panel/dxf"
)

// tells asks and returns the whole answer, with the contents of its files.
func tells(t *testing.T, e *Engine, do string, d talk.Desk, with any) (a talk.Answer, bodies [][]byte) {
	t.Helper()
	w, err := json.Marshal(with)
	require.NoError(t, err)
	head, err := json.Marshal(talk.Ask{Do: do, Desk: d, With: w})
	require.NoError(t, err)
	var last talk.Frame
	e.Answer(t.Context(), talk.Frame{Head: head}, func(f talk.Frame) { last = f })
	require.NoError(t, json.Unmarshal(last.Head, &a))
	rest := last.Body
	for _, f := range a.Files {
		bodies, rest = append(bodies, rest[:f.Size]), rest[f.Size:]
	}
	require.Empty(t, rest)
	return a, bodies
}

// laid returns the desk with the files of an answer on it.
func laid(d talk.Desk, a talk.Answer) talk.Desk {
	out := talk.Desk{}
	for p, id := range d {
		out[p] = id
	}
	for _, f := range a.Files {
		out[f.Path] = f.ID
	}
	return out
}

// While LEDs are moved the light is that of a build: as they are, and once they are where they were dragged to. The drawing read back
// has them there to 1e-6 mm, everything else in it is as it was, and so are the user's own drawing and the project's comments.
func TestMovedLEDs(t *testing.T) {
	e := New("test")
	d := put(t, e, "empty")
	var before Unlit
	gives(t, e, "unlit", d, BoardOf{"shutter"}, &before)
	require.NotEmpty(t, before.LEDs)
	require.NotEmpty(t, before.Kinds[0].Room)
	var built Made
	gives(t, e, "build", d, struct{}{}, &built)
	var drawn Lit
	gives(t, e, "light", d, Lighting{Panel: "shutter"}, &drawn)
	agree := func(got Lit, want Made, part float64) {
		t.Helper()
		l := want.Result.Panels[0].Light
		require.InEpsilon(t, l.Mean, got.Figures.Mean, part)
		require.InEpsilon(t, l.MinToMean, got.Figures.MinToMean, part)
		require.InEpsilon(t, l.MaxToMin, got.Figures.MaxToMin, part)
	}
	agree(drawn, built, 1e-3) // as many digits as result.json has

	leds := slices.Clone(before.LEDs)
	leds[0].X += 1.2345678
	leds[1].Y -= 0.75
	var dragged Lit
	gives(t, e, "light", d, Lighting{Panel: "shutter", LEDs: leds}, &dragged)
	require.NotEqual(t, drawn.Figures, dragged.Figures)
	a, bodies := tells(t, e, "leds", d, Moving{Panel: "shutter", LEDs: leds, Words: "an LED moved"})
	require.Empty(t, a.Wrong)
	require.Equal(t, []string{"shutter-leds.dxf", "lampblack.yaml"}, []string{a.Files[0].Path, a.Files[1].Path})
	after := laid(d, a)
	require.Equal(t, d["shutter.dxf"], after["shutter.dxf"])
	yaml := func(d talk.Desk) string { return string(e.contents[d["lampblack.yaml"]]) }
	require.Equal(t, strings.Replace(yaml(d), "shutter.dxf", "shutter-leds.dxf", 1), yaml(after))

	var now Unlit
	gives(t, e, "unlit", after, BoardOf{"shutter"}, &now)
	require.Len(t, now.LEDs, len(leds))
	for _, want := range leds {
		require.True(t, slices.ContainsFunc(now.LEDs, func(l Lamp) bool { return math.Hypot(l.X-want.X, l.Y-want.Y) < 1e-6 }), "no LED at %v", want)
	}
	require.Equal(t, before.Outline+before.Openings+before.Lettering, now.Outline+now.Openings+now.Lettering)
	var rebuilt Made
	gives(t, e, "build", after, struct{}{}, &rebuilt)
	require.Equal(t, built.Packs, rebuilt.Packs)
	var exact Lit
	gives(t, e, "light", after, Lighting{Panel: "shutter"}, &exact)
	agree(exact, rebuilt, 1e-3)
	agree(dragged, rebuilt, 0.02) // strings may be others now, and currents by a little

	// Line by line, but for circles of LEDs: what is not of them is the same entity.
	old, _ := dxf.Read(t.Context(), e.contents[d["shutter.dxf"]], "shutter.dxf")
	fresh, _ := dxf.Read(t.Context(), bodies[0], "shutter-leds.dxf")
	others := func(d dxf.Drawing) (out []dxf.Entity) {
		for _, x := range d.Entities {
			if !strings.EqualFold(x.Layer, "led") {
				x.Line, x.Handle = 0, ""
				out = append(out, x)
			}
		}
		return out
	}
	require.Equal(t, others(old), others(fresh))

	// Once more: into the same drawing.
	leds = now.LEDs[1:]
	a, _ = tells(t, e, "leds", after, Moving{Panel: "shutter", LEDs: leds})
	require.Empty(t, a.Wrong)
	require.Len(t, a.Files, 1)
	require.Equal(t, "shutter-leds.dxf", a.Files[0].Path)
	gives(t, e, "unlit", laid(after, a), BoardOf{"shutter"}, &now)
	require.Len(t, now.LEDs, len(leds))
}

// What cannot be is refused in words, and nothing is written.
func TestMovedLEDsRefused(t *testing.T) {
	e := New("test")
	d := put(t, e, "empty")
	var p Unlit
	gives(t, e, "unlit", d, BoardOf{"shutter"}, &p)
	for _, c := range []struct {
		leds []Lamp
		says string
	}{
		{[]Lamp{{X: p.Box[0], Y: p.Box[1]}}, "through an edge or into an opening"},
		{[]Lamp{p.LEDs[0], {X: p.LEDs[0].X + 0.5, Y: p.LEDs[0].Y}}, "would meet that of another one"},
		{[]Lamp{{X: 1e9}}, "nowhere near the panel"},
		{[]Lamp{{X: p.LEDs[0].X, Y: p.LEDs[0].Y, Kind: "lantern"}}, `no LEDs of the kind "lantern"`},
		{[]Lamp{}, "no LED left"},
	} {
		a, _ := tells(t, e, "leds", d, Moving{Panel: "shutter", LEDs: c.leds})
		require.Contains(t, a.Wrong, c.says)
		require.Empty(t, a.Files)
	}
	a, _ := tells(t, e, "light", d, Lighting{Panel: "cellar"})
	require.Equal(t, "there is no panel named cellar", a.Wrong)
}

// The page's picture is glow.png's: of a pixel that is all lettering the second picture, of one without any the first.
func TestLightIsGlow(t *testing.T) {
	e := New("test")
	d := put(t, e, "empty")
	a, pics := tells(t, e, "light", d, Lighting{Panel: "shutter", Scale: 2})
	require.Empty(t, a.Wrong)
	require.Len(t, pics, 2)
	require.Empty(t, a.Files[0].ID, "a picture that is shown once is not kept")
	var l Lit
	gives(t, e, "light", d, Lighting{Panel: "shutter", Scale: 2}, &l)
	r := image.Rect(0, 0, l.W, l.H)
	ground, letters := image.RGBA{Pix: pics[0], Stride: 4 * l.W, Rect: r}, image.RGBA{Pix: pics[1], Stride: 4 * l.W, Rect: r}
	require.Len(t, pics[0], 4*l.W*l.H)
	require.Len(t, pics[1], 4*l.W*l.H)
	require.InDelta(t, float64(l.W)/2, l.Box[2]-l.Box[0], 1e-6)
	bright := 0
	for y := range l.H {
		for x := range l.W {
			if letters.RGBAAt(x, y).R > 100 {
				bright++
			}
			require.LessOrEqual(t, ground.RGBAAt(x, y).R, max(letters.RGBAAt(x, y).R, 60))
		}
	}
	require.Greater(t, bright, l.W*l.H/20, "lettering would be lit round each LED")
}

// LEDs are placed by a number, with a board proven, into a drawing of their own.
func TestPlaced(t *testing.T) {
	e := New("test")
	d := put(t, e, "empty")
	var p Unlit
	gives(t, e, "unlit", d, BoardOf{"shutter"}, &p)
	a, _ := tells(t, e, "place", d, Placing{Panel: "shutter", Count: len(p.LEDs) - 1})
	require.Empty(t, a.Wrong)
	gives(t, e, "unlit", laid(d, a), BoardOf{"shutter"}, &p)
	n := len(p.LEDs)
	again, _ := tells(t, e, "place", d, Placing{Panel: "shutter", Count: 2000})
	require.Contains(t, again.Wrong, "more than one panel can be given")
	m, err := json.Marshal(a.Gives)
	require.NoError(t, err)
	var moved Moved
	require.NoError(t, json.Unmarshal(m, &moved))
	require.Len(t, moved.LEDs, n)
	require.Greater(t, moved.After.MinToMean, 0.0)
}

func TestOwnName(t *testing.T) {
	there := map[string]bool{"dome.dxf": true, "mine-leds.dxf": true, "sub/a.dxf": true}
	has := func(n string) bool { return there[n] }
	require.Equal(t, "dome-leds.dxf", ownName("dome.dxf", has))
	there["dome-leds.dxf"] = true
	require.Equal(t, "dome-leds.dxf", ownName("dome-leds.dxf", has), "ours: dome.dxf lies beside it")
	require.Equal(t, "dome-leds-2.dxf", ownName("dome.dxf", has), "another panel has that one")
	require.Equal(t, "mine-leds-leds.dxf", ownName("mine-leds.dxf", has), "the user's own")
	require.Equal(t, "sub/a-leds.dxf", ownName("sub/a.dxf", has))
	require.Equal(t, "sub/a-b-leds.dxf", ownName("sub/a:b.dxf", has), "for any system")
}
