package light

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// dayAndNight is a panel of three words with white LEDs behind each, and red ones beside these behind the first two.
func dayAndNight() (panel.Panel, led.Wiring, []Set) {
	p, w := mixed(0.2, 2)
	white := w.LEDs[1].Kind
	red := w.LEDs[0].Kind
	p.LEDs, w.LEDs, w.Strings = nil, nil, nil
	for _, x := range []float64{30, 150, 250} {
		for _, dx := range []float64{-6, 0, 6} {
			for _, k := range []part.LED{white, red} {
				y := 21.0
				if k.Name == red.Name {
					if y = 17; x == 250 {
						continue
					}
				}
				i := len(w.LEDs)
				p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x+dx, y), D: geom.MM(3)})
				w.LEDs = append(w.LEDs, led.LED{Hole: i, Kind: k, String: led.StringID(i)})
				w.Strings = append(w.Strings, led.String{LEDs: []int{i}, Nominal: 0.020})
			}
		}
	}
	return p, w, []Set{{"day", white.RGB}, {"night", red.RGB}}
}

// Each set has the light that it would have with the other taken out, on all words; a word that one set leaves dark is told of that
// set alone.
func TestSetsAreJudgedAlone(t *testing.T) {
	ctx, s := context.Background(), UsualStack()
	p, w, sets := dayAndNight()
	f := BySet(ctx, p, nil, Evaluate(ctx, p, nil, w, s), s, sets)
	require.Len(t, f.Sets, 2)
	for k, one := range f.Sets {
		only := w
		only.LEDs = slices.DeleteFunc(slices.Clone(w.LEDs), func(d led.LED) bool { return d.Kind.RGB != sets[k].RGB })
		want := Evaluate(ctx, p, nil, only, s)
		require.Equal(t, sets[k].Name, one.Set)
		require.InEpsilon(t, want.Mean, one.Mean, 1e-9)
		require.Len(t, one.Words, 3)
		for i, c := range f.Colours {
			if f.Layers[i].RGB == sets[k].RGB {
				require.Equal(t, one.Figures, c.Figures)
				require.Equal(t, sets[k].Name, c.Set)
				require.Equal(t, 3, c.Lettering)
			}
		}
	}
	for _, g := range Gauge(ctx, p, nil, w, s, sets) { // what currents are chosen by, though SHADE is nearer to white alone
		k := slices.IndexFunc(sets, func(t Set) bool { return t.RGB == g.RGB })
		require.InEpsilon(t, f.Sets[k].Mean, g.Mean, 1e-6, sets[k].Name)
		require.Equal(t, 3, g.Lettering)
	}
	set, own := f.Alone()
	require.Equal(t, "night", set, "SHADE is dark by it")
	require.Equal(t, f.Sets[1].Figures, own.Figures)
	require.Less(t, own.MinToMean, f.MinToMean/2, "together they look even")

	dark := func() (out []string) {
		for _, d := range JudgeSets(nil, p, nil, f, s, UsualLimits()) {
			if d.Code == "light-dark-word" {
				out = append(out, d.Text)
			}
		}
		return out
	}
	require.Len(t, dark(), 1)
	require.Contains(t, dark()[0], `by the LEDs of night alone: "SHADE" is too dark`)
	require.Zero(t, codes(Judge(nil, p, nil, Evaluate(ctx, p, nil, w, s), s, UsualLimits()))["light-dark-word"], "together nothing is dark")

	// What neither lights, but an amber LED of its own, is no business of theirs.
	amber := w.LEDs[0].Kind
	amber.Name, amber.RGB = "amber-3mm", [3]uint8{255, 170, 0}
	p.Symbols = []panel.Symbol{{Closed: true, Filled: true, Window: true, Shape: geom.Circle(geom.PtMM(90, 20), geom.MM(5))}}
	p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(90, 20), D: geom.MM(3)})
	w.LEDs = append(w.LEDs, led.LED{Hole: len(p.LEDs) - 1, Kind: amber})
	f = BySet(ctx, p, nil, Evaluate(ctx, p, nil, w, s), s, sets)
	require.Empty(t, f.Sets[0].Windows())
	require.Len(t, f.Windows(), 1)
	require.Len(t, dark(), 1)
}

// What a word keeps when a string is dark is told by the set that is on then: a word with a single string of either keeps nothing,
// though the other set could light it.
func TestSetsLastAlone(t *testing.T) {
	ctx, s := context.Background(), UsualStack()
	p, w, sets := dayAndNight()
	p.Lettering, p.LEDs, w.LEDs, w.Strings = p.Lettering[:1], p.LEDs[:4], w.LEDs[:4], w.Strings[:2]
	w.Strings[0].LEDs, w.Strings[1].LEDs = []int{0, 2}, []int{1, 3}
	for i := range w.LEDs {
		w.LEDs[i].String = led.StringID(i % 2)
	}
	shares := Shares(ctx, p, nil, w, s)
	both := Without(shares, w, nil)
	require.Len(t, both, 1)
	require.Greater(t, both[0].Keeps, 0.05, "red lights a little of it")
	alone := Without(shares, w, sets)
	require.Len(t, alone, 1)
	require.Zero(t, alone[0].Keeps)
}

// Sets are placed clear of each other, each as even by itself as is asked for.
func TestSetsArePlacedApart(t *testing.T) {
	p, w, _ := dayAndNight()
	p.Lettering = p.Lettering[:1]
	white, red := w.LEDs[0].Kind, w.LEDs[1].Kind
	room := geom.NewRegion(geom.Rect(geom.BoxOf(geom.PtMM(5, 5), geom.PtMM(60, 35))).Ring(geom.FlattenTolerance))
	lamps := []Lamp{{Name: "white", Kind: white, Hole: geom.MM(3), Room: room, Spacing: geom.MM(5)}, {Name: "red", Kind: red, Hole: geom.MM(3), Room: room, Spacing: geom.MM(6)}}
	plans, l := PlaceSets(context.Background(), p, Options{Stack: UsualStack(), Even: 0.6}, lamps, []part.Amp{0.008, 0.008})
	require.Empty(t, l)
	require.Len(t, plans, 2)
	for k, plan := range plans {
		require.NotEmpty(t, plan.LEDs)
		require.GreaterOrEqual(t, plan.After.MinToMean, 0.6)
		for _, h := range plan.LEDs {
			require.Equal(t, lamps[k].Name, h.Kind)
		}
	}
	for _, a := range plans[0].LEDs {
		for _, b := range plans[1].LEDs {
			require.GreaterOrEqual(t, a.At.Dist(b.At), float64(geom.MM(5.5)), "the mean of both spacings")
		}
	}
}
