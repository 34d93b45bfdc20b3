package legend_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/legend"
	"lampblack/led"
	"lampblack/panel/geom"
)

// grouped is a bare board with the connectors of a feed of groups, the last pin 0 V.
func grouped(t *testing.T, name string, turn int, groups ...string) board.Board {
	b := bench()
	b.Nets = []led.Net{{}, {Name: "V+." + groups[0]}, {Name: "0V"}}
	for _, g := range groups[1:] {
		b.Nets = append(b.Nets, led.Net{Name: "V+." + g})
	}
	for i, role := range []led.Role{led.In, led.Out} {
		p := placed(t, b, name, fmt.Sprintf("J%d", i+1), board.Connector, geom.PtMM(22+46*float64(i), 30), 90*((turn+2*i)%4), geom.Bottom)
		p.Role = role
		require.Len(t, p.Pads, len(groups)+1)
		for k := range p.Pads {
			switch {
			case k == 0:
				p.Pads[k].Net = led.Supply
			case k == len(groups):
				p.Pads[k].Net = led.Return
			default:
				p.Pads[k].Net = led.Return + led.NetID(k)
			}
		}
		b.Parts = append(b.Parts, p)
	}
	return b
}

// owners returns, of every place in the ink where a word stands, the pin whose middle is nearest to it: "J1.2".
func owners(b board.Board, word string) []string {
	var out []string
	for _, at := range legend.Find(b, geom.Bottom, word) {
		best, who := math.Inf(1), ""
		for _, p := range b.Parts {
			for _, q := range p.Pads {
				if d := at.Dist(geom.BoxOf(q.At)); d < best {
					best, who = d, p.Ref+"."+q.Pin
				}
			}
		}
		out = append(out, who)
	}
	return out
}

// The name of a group stands nearest to the pin of its net, on both connectors, however they are turned; and what the board
// says it says is what stands there.
func TestGroupsAreNamedAtTheirPins(t *testing.T) {
	for _, name := range []string{"terminal-3.5-3", "terminal-5.08-3", "header-2.54-3", "wire-pads-3", "terminal-3.5-5", "header-2.54-5"} {
		for turn := range 4 {
			what := fmt.Sprintf("%s, turn %d", name, turn)
			groups := []string{"red", "white"}
			if strings.HasSuffix(name, "-5") {
				groups = []string{"red", "white", "alarm-2", "night_light"}
			}
			b := printed(grouped(t, name, turn, groups...), legend.Options{Name: "bench"})
			for k, g := range groups {
				pin := b.Parts[0].Pads[k]
				require.Equal(t, "V+."+g, b.Nets[pin.Net].Name)
				require.ElementsMatch(t, []string{"J1." + pin.Pin, "J2." + pin.Pin}, owners(b, g), "%s: %s", what, g)
			}
			for _, p := range b.Parts {
				for _, q := range p.Pads {
					w, ok := b.Printed(board.Sign, p.Ref, q.Pin)
					require.True(t, ok, "%s: %s.%s", what, p.Ref, q.Pin)
					require.Equal(t, b.SignOf(q), w.Text, what)
				}
			}
			require.Len(t, legend.Find(b, geom.Bottom, "IN"), 1, what)
			require.Len(t, legend.Find(b, geom.Bottom, "OUT"), 1, what)
		}
	}
}

// Where there is no room for the name, the pin has its number beside the plus; without room for that the plus alone. Words tells
// which, so that papers need not guess.
func TestNamesThatFindNoRoom(t *testing.T) {
	seen := map[string]bool{}
	for _, room := range []float64{8, 4, 3.4, 2.6, 1.9, 1.5, 0.6} {
		b := grouped(t, "header-2.54-3", 0, "red", "night_light1")
		// A narrow board round the first connector alone.
		b.Parts = b.Parts[:1]
		at := b.Parts[0].At
		b.Outline = geom.Rect(geom.Box{Min: at, Max: at}.Grown(geom.MM(3.9)))
		box := b.Outline.Box()
		box.Max.Y = at.Y + geom.MM(1.2+room)
		b.Outline = geom.Rect(box)
		b = printed(b, legend.Options{})
		for _, q := range b.Parts[0].Pads {
			w, ok := b.Printed(board.Sign, "J1", q.Pin)
			if !ok {
				seen["nothing"] = true
				continue
			}
			require.NotEmpty(t, legend.Find(b, geom.Bottom, w.Text), "room %v, pin %s: %q", room, q.Pin, w.Text)
			if q.Function == "+" {
				seen[w.Text] = true
			}
		}
	}
	require.True(t, seen["+ red"], "%v", seen)
	require.True(t, seen["+1"] || seen["+2"], "%v", seen)
}

// Every word that a board says is printed stands in its ink, within the box it tells.
func TestWordsStandInTheInk(t *testing.T) {
	b := printed(grouped(t, "terminal-3.5-3", 1, "red", "white"), words())
	d := placed(t, b, "radial-3mm", "D1", board.LED, geom.PtMM(45, 40), 0, geom.Top)
	r := placed(t, b, "r-1206", "R1", board.Resistor, geom.PtMM(45, 20), 0, geom.Bottom)
	r.Value = "560R"
	alike := placed(t, b, "radial-3mm", "D2", board.LED, geom.PtMM(55, 40), 0, geom.Top)
	odd := placed(t, b, "radial-3mm", "D3", board.LED, geom.PtMM(65, 40), 180, geom.Top)
	b.Parts = append(b.Parts, d, r, alike, odd)
	b = printed(b, words())
	used := map[board.WordUse]int{}
	for _, w := range b.Words {
		used[w.What]++
		if w.What == board.Outline {
			continue
		}
		text := w.Text
		if name, ok := strings.CutPrefix(text, "+ "); ok {
			text = name // the sign may stand before or behind
		}
		found := false
		for _, at := range legend.Find(b, w.On, text) {
			found = found || w.Box.Contains(at.Min) && w.Box.Contains(at.Max)
		}
		require.True(t, found, "%v", w)
	}
	for use := board.Sign; use < board.Outline; use++ {
		require.Positive(t, used[use], "use %d", use)
	}
	require.Equal(t, 1, used[board.Otherwise], "D3 alone bears the mark")
	require.Len(t, legend.Find(b, geom.Top, "D3!"), 1)
	require.Len(t, append(legend.Find(b, geom.Top, board.OddHint), legend.Find(b, geom.Bottom, board.OddHint)...), 1, "what it means is told once")
}

// The board says which way round its LEDs go, by how they are mounted; where neither side has room for the line, it does not.
func TestHint(t *testing.T) {
	for kind, want := range map[string]string{"radial-3mm": "LED: square = flat side = -", "plcc2": "LED: bracket = marked end = -"} {
		b := bench()
		b.Parts = []board.Part{placed(t, b, kind, "D1", board.LED, geom.PtMM(45, 40), 0, geom.Top)}
		require.Equal(t, want, board.LEDHint(b.Parts[0].Pads[0].Through))
		drawn := printed(b, words())
		require.Len(t, legend.Find(drawn, geom.Top, want), 1, kind)
		require.Empty(t, legend.Find(drawn, geom.Bottom, want), kind)
		_, ok := drawn.Printed(board.Hint, "", "")
		require.True(t, ok)
		b.Outline = geom.Rect(geom.BoxOf(geom.PtMM(38, 33), geom.PtMM(52, 47)))
		drawn = printed(b, words())
		_, ok = drawn.Printed(board.Hint, "", "")
		require.False(t, ok, "15 mm are too short for it")
	}
	bare := printed(bench(), words())
	_, ok := bare.Printed(board.Hint, "", "")
	require.False(t, ok, "a board without LEDs says nothing of them")
}
