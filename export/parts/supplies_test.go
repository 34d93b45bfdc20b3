package parts_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/parts"
	"lampblack/export/wires"
	"lampblack/led"
	"lampblack/panel/geom"
)

// By hand, for two consoles: a fuse each and two spares for each; two wires of 300 mm and two of 450 mm, from the supply's terminals to a
// header and from terminal to header: of each colour 2 x 750 mm = 1.5 m; 4 wires x 2 consoles x 1 ferrule = 8, as many contacts, and
// 2 plugs of 2 pins in each console.
func TestSupplies(t *testing.T) {
	var cuts []wires.Cut
	for i, mm := range []float64{300, 450} {
		for _, colour := range []string{"red", "black"} {
			from := wires.End{At: "supply"}
			to := wires.End{At: "a J1 IN", Package: "header-2.54"}
			if i == 1 {
				from, to = wires.End{At: "a J2 OUT", Package: "terminal-3.5"}, wires.End{At: "b J1 IN", Package: "header-2.54"}
			}
			cuts = append(cuts, wires.Cut{From: from, To: to, Colour: colour, Size: "0.5 mm2", Length: geom.MM(mm)})
		}
	}
	got := parts.Supplies([]parts.Fuse{{Rated: 1, Count: 1, Switched: true}}, cuts, []parts.Sheet{{Kind: "face", Words: "face", Material: "clear acrylic", W: geom.MM(190), H: geom.MM(110), Thickness: geom.MM(3), Count: 2, Panel: "a"}}, 2)
	require.Equal(t, [][]string{
		{"2", "fuse", "1 A", "4"}, {"2", "fuse holder", "", ""}, {"2", "switch", "one pole", ""}, {"4", "plug", "2 pins", ""},
		{"8", "ferrule", "for 0.5 mm2", "5"}, {"8", "crimp contact", "for 0.5 mm2", "5"}, {"1.5", "wire", "0.5 mm2, black", "0.2"}, {"1.5", "wire", "0.5 mm2, red", "0.2"},
		{"2", "acrylic, face", "190 x 110 mm", ""},
	}, got.Arranged("quantity", "part", "value", parts.Beyond).Rows)
}

// A connector that no wire leads to is told and not counted.
func TestIdle(t *testing.T) {
	one := desk()
	w := led.Wiring{Panel: "dome", Connectors: []led.Connector{{Ref: "J1", Role: led.In}, {Ref: "J2", Role: led.Out}}}
	one.Idle = parts.Idle(w, []wires.Cut{{From: wires.End{At: "supply"}, To: wires.End{At: "dome J1 IN"}}})
	require.Equal(t, []string{"J2"}, one.Idle)
	got := rows(t, parts.Parts(one))
	require.Equal(t, []string{"1", "connector", "J1"}, []string{got[3][0], got[3][1], got[3][5]})
	require.Equal(t, []string{"0", "connector", "J2", "no wire leads to it: leave it out"}, []string{got[4][0], got[4][1], got[4][5], got[4][7]})
}

// What names a part most closely holds; a name that no part goes by is told with the nearest.
func TestOwn(t *testing.T) {
	own := []parts.Own{{Part: "LED red-3mm", Number: "bin 12"}, {Part: "led", Number: "bin 1", Price: 0.08}, {Part: "terminal-3.5", Note: "grey"}, {Part: "r-1207", Number: "x"}}
	got := rows(t, parts.WithOwn(parts.Parts(desk()), own))
	require.Equal(t, []string{"bin 12", "0.08"}, got[1][9:])
	require.Equal(t, []string{"", ""}, got[2][9:])
	require.Equal(t, "for the feed wires; grey", got[3][7])
	l := parts.JudgeOwn(parts.Parts(desk()), own)
	require.Len(t, l, 1)
	require.Equal(t, "parts-unknown", l[0].Code)
	require.Contains(t, l[0].Advice, "r-1206")
}
