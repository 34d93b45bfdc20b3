package picture

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/panel/geom"
)

// fed is desk with a terminal at its right edge, as board/footprint has it: pin 1 is plus, and oblong.
func fed(t *testing.T, name string) board.Board {
	b := desk()
	f, ok := footprint.Lookup(name)
	require.True(t, ok)
	for i, value := range []string{"IN", "OUT"} {
		p := f.Place("J"+string(rune('1'+i)), board.Connector, geom.PtMM(56, 10+20*float64(i)), 90, geom.Bottom, geom.MM(0.05))
		p.Value = value
		b.Parts = append(b.Parts, p)
	}
	return b
}

// The key has the shape that each pin has on the board: a square is the minus of a lamp and nothing else.
func TestKeyTellsThePins(t *testing.T) {
	shapes := map[string]board.PadShape{}
	for _, p := range poles(fed(t, "terminal-3.5")) {
		shapes[p.label] = p.shape
		require.Equal(t, strings.Contains(p.label, "plus"), p.plus, p.label)
	}
	require.Equal(t, map[string]board.PadShape{
		"LED plus: anode, the long lead": board.Round, "LED minus: cathode, pin 1, the flat side": board.Square,
		"connector plus, pin 1": board.Oblong, "connector minus": board.Round,
	}, shapes)
	require.Len(t, poles(desk()), 2, "without a connector nothing is said of any")
	labels, order := map[string]int{}, []string{}
	for _, e := range elements(t, Assembly(t.Context(), fed(t, "terminal-3.5"))) {
		if l := e.attr["aria-label"]; l != "" {
			labels[l]++
			order = append(order, l)
		}
	}
	for l := range shapes {
		require.Equal(t, 1, labels[l], l)
	}
	// The list says what to buy, once for both.
	require.Equal(t, 1, labels["terminal, 2 pins, 3.5 mm"])
	i := slices.Index(order, "terminal, 2 pins, 3.5 mm")
	require.Equal(t, []string{"2", "terminal, 2 pins, 3.5 mm", "terminal-3.5", "bottom", "J1, J2"}, order[i-1:i+4])
}

func TestConnectorsAreCalledByWhatTheyAre(t *testing.T) {
	for name, want := range map[string]string{"terminal-3.5": "terminal, 2 pins, 3.5 mm", "terminal-5.08-3": "terminal, 3 pins, 5.08 mm",
		"header-2.54": "header, 2 pins, 2.54 mm", "header-2.54-10": "header, 10 pins, 2.54 mm", "wire-pads": "wire pads, 2 pins", "wire-pads-4": "wire pads, 4 pins"} {
		require.Equal(t, want, called(fed(t, name).Parts[3]), name)
		d := newDrawing(nil, 0, 0, "")
		require.Less(t, column1+d.Wide(clipped(want, 27), textHeight), column2, name)
	}
	require.Equal(t, ", 0 pins", called(board.Part{Kind: board.Connector}))
}

// A label beside a terminal at the edge, or between a resistor and a cutout, runs over no edge.
func TestLabelsAvoidEdges(t *testing.T) {
	b := fed(t, "terminal-3.5")
	b.Outline = geom.Circle(geom.PtMM(30, 20), geom.MM(66)) // whose box has room where the board has none
	b.Cutouts = []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(4, 21.9), Max: geom.PtMM(30, 27)}).Reversed(), geom.Circle(geom.PtMM(10, 14), geom.MM(7.5)).Reversed()}
	b.Holes = nil
	v := newView(newDrawing(nil, 1, 1, ""), b, geom.Bottom, geom.Pt{}, 2)
	v.draw("")
	labels := v.taken[len(v.taken)-3:] // R1, J1, J2 come last
	for i, l := range labels {
		require.False(t, v.crossed(l.Grown(500*geom.Micrometre)), "label %d at %v", i, l)
	}
}

// A size is told to a hundredth of a millimetre, as README.txt and order.csv tell it.
func TestMeasures(t *testing.T) {
	require.Equal(t, "80.55 × 61.5 mm", measures(geom.MM(80.55), geom.MM(61.5)))
	require.Equal(t, "238 × 82.55 mm", measures(geom.MM(238), 82_550_000))
}

// LEDs of several kinds have fills of their own, and the key names them.
func TestKeyTellsTheKinds(t *testing.T) {
	b := fed(t, "terminal-3.5")
	require.Len(t, ledKinds(b), 1)
	one := keyHeight(b)
	var leds []int
	for i, p := range b.Parts {
		if p.Kind == board.LED {
			leds = append(leds, i)
		}
	}
	require.GreaterOrEqual(t, len(leds), 2)
	b.Parts = slices.Clone(b.Parts)
	b.Parts[leds[0]].Value, b.Parts[leds[1]].Value = "red-3mm", "white-5mm"
	require.NotEqual(t, ledTint(b, b.Parts[leds[0]]), ledTint(b, b.Parts[leds[1]]))
	require.Equal(t, one+marksStep, keyHeight(b), "a row of their own")
	labels := map[string]int{}
	for _, e := range elements(t, Assembly(t.Context(), b)) {
		labels[e.attr["aria-label"]]++
	}
	require.Equal(t, 1, labels["LED red–3mm"]+labels["LED red-3mm"], "%v", labels)
	require.Equal(t, 1, labels["LED white–5mm"]+labels["LED white-5mm"])
	require.Zero(t, labels["LED"])
}
