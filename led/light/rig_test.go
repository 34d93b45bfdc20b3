package light

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// dragged is a panel of 200 × 120 mm with 60 LEDs under lettering, bodies and openings between them: the size for which LEDs are to
// follow a hand.
func dragged() (panel.Panel, led.Wiring) {
	var at []geom.Pt
	for i := range 60 {
		at = append(at, geom.PtMM(12+float64(i%10)*19.5, 10+float64(i/10)*20))
	}
	p, w := desk(slew(), at...)
	p.Outline, p.Lettering = geom.Rect(geom.Box{Max: geom.PtMM(200, 120)}), nil
	for i := range 24 {
		t := slew()
		t.At = geom.PtMM(20+float64(i%6)*32, 20+float64(i/6)*26)
		p.Lettering = append(p.Lettering, t)
	}
	for i := range 6 {
		p.Openings = append(p.Openings, panel.Opening{Contour: geom.Circle(geom.PtMM(36+float64(i%3)*64, 34+float64(i/3)*52), geom.MM(12))})
	}
	return p, w
}

// However LEDs came to stand where they are, a rig's light is that of Evaluate: moved, gone and added ones, of two colours, behind
// walls, through sheets of all kinds. A millionth is what sums of whole numbers lose; and none of it depends on the way there.
func TestRigIsEvaluate(t *testing.T) {
	red := part.LED{Name: "red", Curve: []part.VfPoint{{I: 0.020, V: 2}}, HalfAngle: 20, Candela: 0.2, RGB: [3]uint8{255, 0, 0}}
	clear := UsualStack()
	clear.Finish = Clear
	bare := UsualStack()
	bare.Diffuser = 0
	sunk := UsualStack().WithSheet("black")
	sunk.Sunk = geom.MM(2)
	for name, s := range map[string]Stack{"usual": UsualStack(), "clear": clear, "bare": bare, "sunk": sunk} {
		p, w := shaded()
		seed := rand.New(rand.NewPCG(7, 1))
		r := NewRig(context.Background(), p, nil, s)
		for step := range 3 {
			switch step {
			case 0:
				k := seed.IntN(len(p.LEDs))
				p.LEDs[k].At = geom.PtMM(2+76*seed.Float64(), 2+36*seed.Float64())
			case 1:
				p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(2+76*seed.Float64(), 2+36*seed.Float64()), D: geom.MM(5)})
				n := len(p.LEDs) - 1
				w.LEDs = append(w.LEDs, led.LED{Hole: n, Kind: red, String: led.StringID(n)})
				w.Strings = append(w.Strings, led.String{LEDs: []int{n}, Nominal: 0.010})
			case 2:
				w.LEDs = w.LEDs[1:]
			}
			sets := []Set{{"red", red.RGB}, {"other", [3]uint8{}}}
			want := BySet(context.Background(), p, nil, Evaluate(context.Background(), p, nil, w, s), s, sets)
			got := r.Field(context.Background(), p.LEDs, w, sets)
			same(t, want, got, 1e-6)
			if step == 2 {
				fresh := NewRig(context.Background(), p, nil, s).Field(context.Background(), p.LEDs, w, sets)
				require.Equal(t, fresh, got, name)
			}
		}
	}
}

// same holds two fields against each other, to a part of each value.
func same(t *testing.T, want, got Field, part float64) {
	t.Helper()
	near := func(a, b Figures) {
		t.Helper()
		for _, v := range [][2]float64{{a.Mean, b.Mean}, {a.Min, b.Min}, {a.Max, b.Max}, {a.AreaMM2, b.AreaMM2}, {a.MinToMean, b.MinToMean}} {
			require.InDelta(t, v[0], v[1], part*a.Mean)
		}
	}
	near(want.Figures, got.Figures)
	require.Len(t, got.Words, len(want.Words))
	for i := range want.Words {
		require.Equal(t, want.Words[i].Text, got.Words[i].Text)
		near(want.Words[i].Figures, got.Words[i].Figures)
	}
	require.Len(t, got.Layers, len(want.Layers))
	for i := range want.Layers {
		require.Equal(t, want.Layers[i].RGB, got.Layers[i].RGB)
		require.Len(t, got.Layers[i].V, len(want.Layers[i].V))
		worst := 0.0
		for k, v := range want.Layers[i].V {
			worst = max(worst, math.Abs(v-got.Layers[i].V[k]))
		}
		require.LessOrEqual(t, worst, part*want.Layers[i].Max())
	}
	require.Len(t, got.Sets, len(want.Sets))
	for i := range want.Sets {
		near(want.Sets[i].Figures, got.Sets[i].Figures)
	}
	if want.Spot < 1e9 {
		require.InDelta(t, want.Spot, got.Spot, part*want.Spot)
	}
	require.InDelta(t, want.Ground, got.Ground, part*want.Ground)
}

// Who waits no longer leaves the rig as good as it was.
func TestRigLeftOff(t *testing.T) {
	p, w := shaded()
	r := NewRig(context.Background(), p, nil, UsualStack())
	for range 5 {
		ctx, stop := context.WithCancel(context.Background())
		go stop()
		p.LEDs[0].At.X += geom.Millimetre
		r.Field(ctx, p.LEDs, w, nil)
	}
	same(t, Evaluate(context.Background(), p, nil, w, UsualStack()), r.Field(context.Background(), p.LEDs, w, nil), 1e-6)
}

// The word that gets least: the one far from all LEDs.
func TestDimmest(t *testing.T) {
	p, w := shaded()
	far := slew()
	far.Text, far.At = "PARK", geom.PtMM(70, 34)
	p.Lettering = append(p.Lettering, far)
	l, share, ok := Evaluate(context.Background(), p, nil, w, UsualStack()).Dimmest()
	require.True(t, ok)
	require.Equal(t, `"PARK"`, l.Said())
	require.Less(t, share, 1.0)
	_, _, ok = Field{}.Dimmest()
	require.False(t, ok)
}

// One of 60 LEDs goes half a millimetre on.
func BenchmarkRig(b *testing.B) {
	p, w := dragged()
	r := NewRig(context.Background(), p, nil, UsualStack())
	r.Field(context.Background(), p.LEDs, w, nil)
	b.ResetTimer()
	for i := 0; b.Loop(); i++ {
		p.LEDs[17].At.X += geom.Millimetre / 2 * geom.Nm(1-2*(i/8%2))
		r.Field(context.Background(), p.LEDs, w, nil)
	}
}
