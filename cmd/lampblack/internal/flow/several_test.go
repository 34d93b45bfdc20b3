package flow

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	desk "lampblack/cmd/lampblack/internal/starter"
	"lampblack/export/result"
	"lampblack/panel/dxf"
	"lampblack/panel/paneltest/sketch"
)

// pair draws a panel of a greenhouse's climate desk with two boards, side by side or one above the other; its corner is at 10, 20.
func pair(t *testing.T, above bool) []byte {
	t.Helper()
	d := dxf.Drawing{}
	at := func(x, y float64) dxf.XY {
		if above {
			x, y = y, 300-x // the first of them is the upper one
		}
		return dxf.XY{X: 10 + x, Y: 20 + y}
	}
	put := func(layer string, p dxf.Path) {
		d.Entities = append(d.Entities, dxf.Entity{Type: "LWPOLYLINE", Layer: layer, Path: p})
	}
	box := func(layer string, x0, y0, x1, y1 float64) {
		p := dxf.Path{Closed: true}
		for _, v := range []dxf.XY{at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)} {
			p.Vertices = append(p.Vertices, dxf.Vertex{XY: v})
		}
		put(layer, p)
	}
	circle := func(layer string, x, y, diameter float64) {
		q := at(x, y)
		put(layer, sketch.Ring(q.X, q.Y, diameter))
	}
	box("OUTLINE", 0, 0, 300, 60)
	box("BOARD", 160, 5, 295, 55) // the second is drawn first
	box("BOARD", 5, 5, 140, 55)
	for _, x := range []float64{30, 70, 110, 190, 270} {
		circle("LED", x, 40, 3)
	}
	for _, x := range []float64{12, 130, 170, 288} {
		circle("MOUNT", x, 12, 3.2)
	}
	src, err := dxf.Write(d, dxf.Options{})
	require.NoError(t, err)
	return src
}

// pairBuilt builds it as a project says.
func pairBuilt(t *testing.T, above bool, more string) Outcome {
	t.Helper()
	src := pair(t, above)
	p, l := project.Read([]byte("console: Climate desk\nsupply: {volts: 12 V, amps: 2 A}\npanels:\n  - {drawing: long.dxf}\n"+more), project.FileName)
	require.NoError(t, l.Err())
	return must(Build(t.Context(), p, Settings{Version: "test", Pack: true, Read: func(string) ([]byte, error) { return src, nil }}))
}

// A panel with two drawn boards has one set of sheets and two packs; result.json, the chain and its network know the boards by
// name, in the order of the feed.
func TestTwoBoardsOfAPanel(t *testing.T) {
	out := pairBuilt(t, false, "")
	require.NoError(t, out.Findings.Err())
	require.Equal(t, 1, out.Packs, "counts panels")
	files := map[string]string{}
	for _, f := range out.Files {
		files[f.Path] = string(f.Data)
	}
	for _, name := range []string{"long-a", "long-b"} {
		require.Contains(t, files, name+"/"+name+"-fab.zip")
		require.Contains(t, files, name+"/placement.csv")
		for _, sheet := range []string{"face", "diffuser", "led"} {
			require.Contains(t, files, "long/sheet-"+sheet+".svg")
			require.NotContains(t, files, name+"/sheet-"+sheet+".svg")
		}
	}
	for path := range files {
		require.False(t, strings.HasPrefix(path, "long/") && strings.Contains(path, "fab"), "no pack of the whole panel: %s", path)
	}

	holds(t, closed(t, result.Schema()), []byte(files["result.json"]))
	var tree struct{ Panels []map[string]any }
	require.NoError(t, json.Unmarshal([]byte(files["result.json"]), &tree))
	require.Contains(t, tree.Panels[0], "boards")
	require.NotContains(t, tree.Panels[0], "board")
	require.NotContains(t, tree.Panels[0], "strings")
	var r result.Console
	require.NoError(t, json.Unmarshal([]byte(files["result.json"]), &r))
	require.Len(t, r.Panels, 1)
	q := r.Panels[0]
	require.Equal(t, "long", q.Name)
	require.Nil(t, q.Board, "boards stand in its place")
	require.Empty(t, q.Strings)
	require.Len(t, q.Boards, 2)
	// As drawn, from the drawing's origin; LEDs of each: three and two.
	for i, want := range []struct {
		name string
		box  [4]float64
		leds int
	}{{"long-a", [4]float64{15, 25, 150, 75}, 3}, {"long-b", [4]float64{170, 25, 305, 75}, 2}} {
		b := q.Boards[i]
		require.Equal(t, want.name, b.Name)
		require.Equal(t, want.box, b.BBox)
		require.NotNil(t, b.Board)
		require.Zero(t, b.Board.Unrouted)
		require.InDelta(t, 135, b.Board.Width, 1e-6)
		require.Equal(t, result.Path(fmt.Sprintf("%v 25, %v 25, %v 75, %v 75", want.box[0], want.box[2], want.box[2], want.box[0])), b.Board.Outline)
		for _, c := range b.Board.Connectors {
			require.True(t, want.box[0] < c.X && c.X < want.box[2] && 25 < c.Y && c.Y < 75, c)
		}
		leds := 0
		for _, s := range b.Strings {
			leds += len(s.LEDs)
		}
		require.Equal(t, want.leds, leds, b.Name)
		require.NotEmpty(t, b.Files)
		for _, f := range b.Files {
			require.True(t, strings.HasPrefix(f, b.Name+"/"), f)
			require.Contains(t, files, f)
		}
	}
	for _, f := range q.Files {
		require.True(t, strings.HasPrefix(f, "long/"), f)
	}

	require.Equal(t, []string{"long-a", "long-b"}, linksOf(r))
	cir := files["chain.cir"]
	// Each board's first resistor by its name; and the nearer of the supply stands first.
	require.Less(t, strings.Index(cir, "Rlong_a_R1 "), strings.Index(cir, "Rlong_b_R1 "))
	require.Contains(t, cir, "Dlong_a_D3 ")
	require.NotContains(t, cir, "Dlong_a_D4 ")
	require.Contains(t, cir, "Dlong_b_D2 ")
}

func linksOf(r result.Console) (names []string) {
	for _, c := range r.Chains {
		for _, l := range c.Links {
			names = append(names, l.Panel)
		}
	}
	return names
}

// Connectors that are wired to each other face each other: OUT of the nearer board is by the edge towards the other, IN of the
// other by the edge towards the first; also where the feed comes from the other side, and where one is above the other.
func TestNeighboursFaceEachOther(t *testing.T) {
	for _, c := range []struct {
		what   string
		above  bool
		more   string
		feed   []string
		column string
		out    float64 // edge of the nearer board, in the panel
		in     float64 // edge of the further one
	}{
		{"side by side", false, "", []string{"long-a", "long-b"}, "x", 140, 160},
		{"from the right", false, "chain: [long-b, long-a]\n", []string{"long-b", "long-a"}, "x", 160, 140},
		// 300 less what is 140 and 160 from the left.
		{"one above the other", true, "", []string{"long-a", "long-b"}, "y", 160, 140},
	} {
		t.Run(c.what, func(t *testing.T) {
			out := pairBuilt(t, c.above, c.more)
			require.NoError(t, out.Findings.Err())
			require.Equal(t, c.feed, linksOf(out.Result))
			// The farthest that a connector's middle is from the edge that it stands by, mm: it is less than 8 mm deep.
			const near = 4
			require.InDelta(t, c.out, connectorAt(t, out, c.feed[0], "OUT", c.column), near, "OUT of the nearer")
			require.InDelta(t, c.in, connectorAt(t, out, c.feed[1], "IN", c.column), near, "IN of the further")
		})
	}
}

// connectorAt returns where a connector of a board is, as its placement.csv says, in the panel's mm.
func connectorAt(t *testing.T, out Outcome, board, value, column string) float64 {
	t.Helper()
	for _, f := range out.Files {
		if f.Path != board+"/placement.csv" {
			continue
		}
		rows, err := csv.NewReader(strings.NewReader(string(f.Data))).ReadAll()
		require.NoError(t, err)
		k := slices.IndexFunc(rows[0], func(h string) bool { return strings.HasPrefix(h, column) })
		require.GreaterOrEqual(t, k, 0, "%v", rows[0])
		for _, r := range rows[1:] {
			if slices.Contains(r, value) {
				v, err := strconv.ParseFloat(r[k], 64)
				require.NoError(t, err)
				return v
			}
		}
		require.Fail(t, fmt.Sprintf("no %s on %s", value, board), "%v", rows)
	}
	require.Fail(t, "no placement of "+board)
	return 0
}

// A panel that is named as a board of another is an error, and nothing is built.
func TestBoardAndPanelOfOneName(t *testing.T) {
	src := pair(t, false)
	p, l := project.Read([]byte("console: Climate desk\nsupply: {volts: 12 V, amps: 2 A}\npanels:\n  - {drawing: long.dxf}\n  - {name: LONG-B, drawing: other.dxf}\n"), project.FileName)
	require.NoError(t, l.Err())
	one, err := desk.Drawing()
	require.NoError(t, err)
	out := must(Build(t.Context(), p, Settings{Version: "test", Pack: true, Read: func(path string) ([]byte, error) {
		if strings.Contains(path, "other") {
			return one, nil
		}
		return src, nil
	}}))
	require.Zero(t, out.Packs)
	require.Empty(t, out.Files)
	var codes []string
	for _, f := range out.Findings {
		if f.Code == "project-same-name" {
			codes = append(codes, f.Severity.String()+" "+f.Panel+": "+f.Advice)
		}
	}
	require.Equal(t, []string{"error LONG-B: give the panel another name in lampblack.yaml"}, codes)
}
