package flow

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/result"
	"lampblack/led"
)

// twoDrawings is a console of the two smallest example panels; how says how they are mounted.
func twoDrawings(t *testing.T, how string) Outcome {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"focus.dxf", "flat-lamp.dxf"} {
		src, err := os.ReadFile(filepath.Join("..", "..", "..", "..", "examples", "observatory", name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), src, 0o644))
	}
	src := "supply: {volts: 12 V, amps: 2 A}\ndefaults: {" + how + "}\npanels:\n  - {drawing: focus.dxf}\n  - {drawing: flat-lamp.dxf}\n"
	p, l := project.Read([]byte(src), filepath.Join(dir, project.FileName))
	require.False(t, l.HasErrors(), "%v", l)
	return must(Build(context.Background(), p, Settings{Version: "test", Told: l}))
}

// The boards' own copper is part of the circuit, and told.
func TestCopperIsInTheCircuit(t *testing.T) {
	sequel(t)
	out := twoDrawings(t, "current: 8 mA")
	require.False(t, out.Findings.HasErrors(), "%v", out.Findings.Err())
	for i, b := range out.made() {
		require.Positive(t, b.Copper.Plus)
		require.Equal(t, b.Copper.Plus, out.Circuit.Boards[i].Across.Plus)
		require.Equal(t, b.Copper.Minus, b.Wiring.Across.Minus)
		// A sheet of copper from edge to edge is some milliohms; the tracks alone are tens.
		require.Less(t, float64(b.Copper.Plus), 0.02)
		require.Greater(t, b.Copper.SimplePlus, b.Copper.Plus)
	}
	var r struct {
		Panels []struct {
			Board struct {
				Hops    result.Hops    `json:"hops"`
				Through result.Through `json:"through"`
			} `json:"board"`
		} `json:"panels"`
	}
	require.NoError(t, json.Unmarshal(out.Result.JSON(), &r))
	for _, p := range r.Panels {
		require.Positive(t, p.Board.Through.PlusOhms)
		require.GreaterOrEqual(t, p.Board.Hops.MM, p.Board.Hops.BoundMM)
	}
	codes := map[string]int{}
	for _, f := range out.Findings {
		codes[f.Code+f.Panel+f.Text]++
	}
	for what, n := range codes {
		require.Equal(t, 1, n, "told twice: %s", what)
	}
}

// What the project says of the place behind a panel reaches the proof, and keep_turn the placement.
func TestMountingReachesTheBoards(t *testing.T) {
	sequel(t)
	out := twoDrawings(t, "space_behind: 5 mm, keep_turn: no")
	require.True(t, out.Findings.HasErrors())
	tall := 0
	for _, f := range out.Findings {
		switch f.Code {
		case "height-too-tall":
			tall += f.Count()
		}
	}
	require.Equal(t, 4, tall, "the terminals of both boards")
	ways := func(out Outcome) (n int) {
		for _, b := range out.made() {
			if odd, mixed := b.Board.Odd(); mixed || len(odd) > 0 {
				n++
			}
		}
		return n
	}
	require.Equal(t, 2, ways(out), "each LED as its tracks want it")
	out = twoDrawings(t, "space_behind: 9 mm")
	require.False(t, out.Findings.HasErrors(), "%v", out.Findings.Err())
	require.Zero(t, ways(out), "all LEDs one way, where the project says nothing")
}

// Connectors look to the board they are wired to: the second panel stands over the first.
func TestConnectorsFaceTheirNeighbours(t *testing.T) {
	dir := t.TempDir()
	src, err := os.ReadFile(filepath.Join("..", "..", "..", "..", "examples", "observatory", "focus.dxf"))
	require.NoError(t, err)
	for _, name := range []string{"low.dxf", "high.dxf"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), src, 0o644))
	}
	p, l := project.Read([]byte(`supply: {volts: 12 V, amps: 2 A}
chain: [low, high]
panels:
  - {drawing: low.dxf, stands_at: [0, 0]}
  - {drawing: high.dxf, stands_at: [0, 120 mm]}
`), filepath.Join(dir, project.FileName))
	require.False(t, l.HasErrors(), "%v", l)
	out := must(Build(context.Background(), p, Settings{Version: "test", Told: l}))
	require.False(t, out.Findings.HasErrors(), "%v", out.Findings.Err())
	for _, b := range out.made() {
		box := b.Board.Outline.Box()
		for _, q := range b.Board.Parts {
			if q.Kind != board.Connector {
				continue
			}
			switch {
			case b.Name() == "low" && q.Role == led.Out:
				require.Less(t, (box.Max.Y - q.At.Y).MM(), 10.0, "OUT of the lower panel is at its top")
			case b.Name() == "high" && q.Role == led.In:
				require.Less(t, (q.At.Y - box.Min.Y).MM(), 10.0, "IN of the upper panel is at its bottom")
			}
		}
	}
}
