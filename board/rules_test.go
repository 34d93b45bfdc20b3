package board_test

import (
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/panel/geom"
)

// Limits names every field of Rules once, in its order.
func TestLimitsAreAllOfRules(t *testing.T) {
	var r board.Rules
	v := reflect.ValueOf(&r).Elem()
	require.Len(t, board.Limits(), v.NumField())
	for i, l := range board.Limits() {
		*l.Of(&r) = geom.Nm(i + 1)
		require.EqualValues(t, i+1, v.Field(i).Int(), l.Name)
	}
}

// The usual class: the "cautious" column of common practice for two-layer boards (from memory; several public pages
// agree): track and space 0.20, finished drill 0.30, ring 0.20, copper to routed edge 0.50, mask 0.05 a side, web 0.10,
// legend line 0.15, hole to hole 0.50, unplated hole to copper 0.25 mm. Fine is the floor that most hold.
func TestClasses(t *testing.T) {
	easy, ok := board.Class("easy")
	require.True(t, ok)
	usual := board.UsualRules()
	fine, ok := board.Class("fine")
	require.True(t, ok)
	_, ok = board.Class("finest")
	require.False(t, ok)
	mm := func(v geom.Nm) float64 { return v.MM() }
	require.Equal(t, []float64{0.2, 0.2, 0.3, 0.2, 0.5, 0.05, 0.1, 0.15, 0.5, 0.25}, []float64{
		mm(usual.Track), mm(usual.Clearance), mm(usual.Drill), mm(usual.AnnularRing), mm(usual.CopperToEdge),
		mm(usual.MaskMargin), mm(usual.MaskWeb), mm(usual.LegendWidth), mm(usual.BetweenHoles), mm(usual.CopperToHole)})
	require.Equal(t, []float64{0.15, 0.15, 0.13, 0.3, 0.3, 0.2}, []float64{
		mm(fine.Track), mm(fine.Clearance), mm(fine.AnnularRing), mm(fine.CopperToEdge), mm(fine.BetweenHoles), mm(fine.CopperToHole)})
	for _, l := range board.Limits() {
		require.Positive(t, *l.Of(&fine), l.Name)
		order := []geom.Nm{*l.Of(&easy), *l.Of(&usual), *l.Of(&fine)}
		if l.Most {
			slices.Reverse(order)
		}
		require.GreaterOrEqual(t, order[0], order[1], l.Name)
		require.GreaterOrEqual(t, order[1], order[2], l.Name)
	}
	// Each class makes sense in itself.
	for _, r := range []board.Rules{easy, usual, fine} {
		require.GreaterOrEqual(t, r.ViaPad, r.ViaDrill+2*r.AnnularRing)
		require.GreaterOrEqual(t, r.ViaDrill, r.Drill)
		require.GreaterOrEqual(t, r.Signal, r.Track)
		require.GreaterOrEqual(t, r.Spoke, r.Neck)
		require.GreaterOrEqual(t, r.SpokeGap, r.Clearance)
	}
}

// Every limit names its source.
func TestLimitsHaveSources(t *testing.T) {
	src, err := os.ReadFile("limits.txt")
	require.NoError(t, err)
	for line := range strings.Lines(string(src)) {
		if line = strings.TrimSpace(line); line == "" || line[0] == '#' {
			continue
		}
		_, source, _ := strings.Cut(line, ";")
		require.Regexp(t, "^ (practice|IPC-2221|ours)", source, line)
	}
}
