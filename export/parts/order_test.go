package parts_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/exporttest"
	"lampblack/export/parts"
	"lampblack/panel/geom"
)

func zip(name string) string { return name + "/" + name + "-fab.zip" }

func TestOrder(t *testing.T) {
	thin := exporttest.Grid(30)
	thin.Laminate = board.Laminate{Thickness: geom.MM(0.8), Copper: 2 * board.Ounce}
	require.Equal(t, [][]string{
		{"board", "width_mm", "height_mm", "layers", "quantity", "thickness_mm", "copper_um", "holds", "spare", "pack", "revision"},
		{"dome", "79.00", "40.00", "2", "1", "1.6", "35", "", "", "dome/dome-fab.zip", "B"},
		{"wall", "64.00", "48.00", "2", "5", "0.8", "70", "", "", "wall/wall-fab.zip", "B"},
	}, rows(t, parts.Order("B", zip, nil, desk(), parts.Item{Board: thin, Quantity: 5})))
}

// By hand, for 3 consoles of a dome, a wall and a focus board each. An array of 2 x 2 domes brings 4 at once: 1 to order, 1 dome to
// spare, none by its own pack. An array of 2 walls must be ordered twice: 4 walls, 1 to spare. A third one, of 1 dome and 2
// focus boards: the dome is no longer short, 3 focus boards want it twice; so 2 more domes and 1 focus board are spare. Nothing
// is left to order by itself.
//
// Parts, each desk having 3 LEDs, 1 resistor and 2 connectors: 3 boards of each name are fitted in the consoles; spare are 3 domes
// (1 and 2), 1 focus.
func TestOrderOfArrays(t *testing.T) {
	named := func(name string) parts.Item {
		i := desk()
		i.Board.Name, i.Quantity = name, 3
		return i
	}
	size := geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(180, 100))
	usual := board.UsualLaminate()
	all := []parts.Item{named("dome"), named("wall"), named("focus")}
	var arrays []parts.Array
	for _, want := range []struct {
		name  string
		holds []parts.Held
		times int
	}{
		{"order-four", []parts.Held{{"dome", 4}}, 1},
		{"order-pair", []parts.Held{{"wall", 2}}, 2},
		{"order-mixed", []parts.Held{{"dome", 1}, {"focus", 2}}, 2},
	} {
		times := parts.Times(3, arrays, want.holds)
		require.Equal(t, want.times, times, want.name)
		arrays = append(arrays, parts.Array{Name: want.name, Size: size, Laminate: usual, Holds: want.holds, Quantity: times})
	}
	all = parts.Counted(arrays, all...)
	require.Equal(t, []int{3, 1, 1}, []int{all[0].Spare, all[1].Spare, all[2].Spare})
	got := rows(t, parts.Order("B", zip, arrays, all...))
	require.Equal(t, [][]string{
		{"order-four", "180.00", "100.00", "2", "1", "1.6", "35", "4 dome", "1 dome", "order-four/order-four-fab.zip", "B"},
		{"order-pair", "180.00", "100.00", "2", "2", "1.6", "35", "2 wall", "1 wall", "order-pair/order-pair-fab.zip", "B"},
		{"order-mixed", "180.00", "100.00", "2", "2", "1.6", "35", "1 dome, 2 focus", "2 dome, 1 focus", "order-mixed/order-mixed-fab.zip", "B"},
	}, got[1:])
	bill := rows(t, parts.Parts(all...))
	require.Equal(t, "more_for_spare_boards", bill[0][9])
	for _, r := range bill[1:] {
		each := map[string]int{"LED": 3, "resistor": 1, "connector": 2}[r[1]]
		require.Equal(t, []string{strconv.Itoa(9 * each), strconv.Itoa(5 * each)}, []string{r[0], r[9]}, r[1])
	}
	// Without the first array, its boards come by their own pack but for those on the mixed one: 3 less 2.
	rest := rows(t, parts.Order("B", zip, arrays[1:], all...))
	require.Equal(t, []string{"dome", "79.00", "40.00", "2", "1"}, rest[1][:5])
}
