package light

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// mixed returns a panel of three words, red LEDs behind the first and white ones of four times their intensity behind the
// others, far apart.
func mixed(red, white float64) (panel.Panel, led.Wiring) {
	word := func(s string, x float64) panel.Text {
		return panel.Text{Text: s, At: geom.PtMM(x, 20), Height: geom.MM(4), Width: 1, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}}
	}
	p := panel.Panel{Name: "desk", Outline: geom.Rect(geom.Box{Max: geom.PtMM(280, 40)}), Lettering: []panel.Text{word("FROST", 30), word("MIST", 150), word("SHADE", 250)}}
	w := led.Wiring{Panel: "desk"}
	add := func(name string, rgb [3]uint8, cd, x float64) {
		k := part.LED{Name: name + "-3mm", Colour: name, RGB: rgb, Curve: []part.VfPoint{{I: 0.020, V: 2}}, HalfAngle: 30, Candela: cd}
		i := len(w.LEDs)
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, 20), D: geom.MM(3)})
		w.LEDs = append(w.LEDs, led.LED{Hole: i, Kind: k, String: led.StringID(i)})
		w.Strings = append(w.Strings, led.String{LEDs: []int{i}, Nominal: 0.020})
	}
	for _, dx := range []float64{-6, 0, 6} {
		add("red", [3]uint8{255, 0, 0}, red, 30+dx)
		add("white", [3]uint8{255, 255, 255}, white, 150+dx)
		add("white", [3]uint8{255, 255, 255}, white, 250+dx)
	}
	return p, w
}

// Each colour has the figures of its own words, those that it would have alone; a word is dark or bright by its own colour's.
func TestColoursApart(t *testing.T) {
	s := UsualStack()
	p, w := mixed(0.2, 2)
	f := Evaluate(context.Background(), p, nil, w, s)
	require.Len(t, f.Colours, 2)
	red, white := f.Colours[0], f.Colours[1]
	require.Equal(t, "red", red.Name)
	require.Equal(t, "white", white.Name)
	require.Equal(t, 1, red.Lettering)
	require.Equal(t, 2, white.Lettering)
	// The oracle: the panel with the red LEDs and their word alone.
	alone := p
	alone.Lettering = p.Lettering[:1]
	only := w
	only.LEDs = nil
	for _, l := range w.LEDs {
		if l.Kind.Colour == "red" {
			only.LEDs = append(only.LEDs, l)
		}
	}
	want := Evaluate(context.Background(), alone, nil, only, s)
	require.Empty(t, want.Colours, "one colour has nothing of its own")
	require.InEpsilon(t, want.Mean, red.Mean, 1e-9)
	require.InEpsilon(t, want.MinToMean, red.MinToMean, 1e-9)
	require.Less(t, f.MinToMean, 0.5*red.MinToMean, "of all lettering together the red word is the dark one")
	c := codes(Judge(nil, p, nil, f, s, UsualLimits()))
	require.Zero(t, c["light-dark-word"], "the red word is as bright as red LEDs make it")
	require.Equal(t, 1, c["light-colours-apart"])
	require.Zero(t, c["light-colour-unused"])

	// Without the LEDs of its right half a white word is dark, by the white ones' light.
	w.LEDs[5].Kind.Candela, w.LEDs[8].Kind.Candela, w.LEDs[2].Kind.Candela = 0.1, 0.1, 0.1
	f = Evaluate(context.Background(), p, nil, w, s)
	c = codes(Judge(nil, p, nil, f, s, UsualLimits()))
	require.Equal(t, 1, c["light-dark-word"])
	require.Equal(t, 2, f.Colours[1].Lettering, "it stays theirs, since none gives it more")
}

// Colours that change over behind the same words have the same ones.
func TestColoursTogether(t *testing.T) {
	p, w := mixed(0.2, 2)
	for i, h := range p.LEDs { // each white LED beside a red one, and the other way round
		k := w.LEDs[0].Kind
		if w.LEDs[i].Kind.Colour == "red" {
			k = w.LEDs[1].Kind
		}
		p.LEDs = append(p.LEDs, panel.Hole{At: h.At.Add(geom.Vec{Y: geom.MM(5)}), D: h.D})
		w.LEDs = append(w.LEDs, led.LED{Hole: len(w.LEDs), Kind: k, String: led.StringID(len(w.Strings))})
		w.Strings = append(w.Strings, led.String{LEDs: []int{len(w.LEDs) - 1}, Nominal: 0.020})
	}
	f := Evaluate(context.Background(), p, nil, w, UsualStack())
	require.Equal(t, 3, f.Colours[0].Lettering)
	require.Zero(t, f.Colours[0].Leads)
	require.Equal(t, 3, f.Colours[1].Lettering)
	require.Equal(t, 3, f.Colours[1].Leads)
	c := codes(Judge(nil, p, nil, f, UsualStack(), UsualLimits()))
	require.Zero(t, c["light-colours-apart"], "none is darker than another, where both shine")
}
