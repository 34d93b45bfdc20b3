package room_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/room"
)

func circle(x, y, d float64) geom.Contour { return geom.Circle(geom.PtMM(x, y), geom.MM(d)) }

func rect(x0, y0, x1, y1 float64) geom.Contour {
	return geom.Rect(geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1)))
}

// The table is in order, covers sizes once, and tells where each figure comes from.
func TestCommon(t *testing.T) {
	table := room.Common()
	require.NotEmpty(t, table)
	for i, p := range table {
		require.Less(t, p.From, p.To, p.Name)
		require.Positive(t, p.Beyond, p.Name)
		require.NotEmpty(t, p.Source, p.Name)
		if i > 0 && table[i-1].Round == p.Round {
			require.Equal(t, table[i-1].To, p.From, p.Name)
		}
	}
}

// Bodies of open part libraries and data sheets (references.md sections 15 and 16) against the room that is kept: half of the
// part less half of its hole.
func TestCommonPartsFit(t *testing.T) {
	for _, c := range []struct {
		what string
		hole geom.Contour
		half float64 // of the part, the long way
	}{
		{"toggle of 6 mm, body 7 x 13.6", circle(0, 0, 6.2), 13.6 / 2},
		{"encoder of 7 mm, body 12 x 12", circle(0, 0, 7.2), math.Hypot(6, 6)},
		{"potentiometer of 24 mm in 9.5", circle(0, 0, 9.5), 12},
		{"button of 16 mm, pitch 24", circle(0, 0, 16.2), 12},
		{"micro rocker, flange 14.9 x 10.4", rect(-6.75, -4.3, 6.75, 4.3), 14.9 / 2},
		{"rocker, flange 21 x 15", rect(-9.6, -6.5, 9.6, 6.5), 21.0 / 2},
	} {
		rooms := room.Of(panel.Panel{Openings: []panel.Opening{{Contour: c.hole}}}, nil)
		require.Len(t, rooms, 1, c.what)
		b := rooms[0].Box()
		require.GreaterOrEqual(t, max(b.W(), b.H()).MM()/2, c.half, c.what)
		require.NotEmpty(t, rooms[0].For, c.what)
	}
}

func TestOf(t *testing.T) {
	flat := geom.Contour{ // a hole of 6.2 with a flat at the left
		{Pt: geom.PtMM(77.4, 38.2)}, {Pt: geom.PtMM(77.4, 41.8)}, {Pt: geom.PtMM(80, 43.1), Bulge: -0.41421356}, {Pt: geom.PtMM(83.1, 40), Bulge: -0.41421356}, {Pt: geom.PtMM(80, 36.9)},
	}
	p := panel.Panel{
		Openings: []panel.Opening{
			{Contour: circle(20, 20, 12)}, {Contour: circle(60, 20, 12)}, {Contour: rect(100, 10, 140, 30)},
			{Contour: circle(160, 20, 3.2)}, {Contour: circle(180, 20, 6), Mount: true}, {Contour: flat},
		},
		Bodies: []geom.Contour{rect(50, 10, 70, 30)},
	}
	rooms := room.Of(p, nil)
	require.Len(t, rooms, 3, "%v", rooms)
	require.Equal(t, panel.Room{Contour: circle(20, 20, 28), Opening: 0, Beyond: geom.MM(8), For: rooms[0].For}, rooms[0])
	require.Equal(t, 2, rooms[1].Opening)
	require.InDelta(t, 40*20+2*60*6+math.Pi*36, rooms[1].Area(), 0.1)
	require.Equal(t, 5, rooms[2].Opening, "a hole with a flat is a round one")
	require.Equal(t, geom.MM(4), rooms[2].Beyond)

	told := make([]room.Told, 6)
	told[0] = room.Told{Set: true, Beyond: geom.MM(3)}
	told[1] = told[0] // in vain: its body is drawn
	told[2] = room.Told{Set: true}
	told[3] = room.Told{Set: true, Beyond: geom.MM(2)}
	rooms = room.Of(p, told)
	require.Len(t, rooms, 3)
	require.Equal(t, panel.Room{Contour: circle(20, 20, 18), Beyond: geom.MM(3)}, rooms[0])
	require.Equal(t, panel.Room{Contour: circle(160, 20, 7.2), Opening: 3, Beyond: geom.MM(2)}, rooms[1])
}

// A smaller room is the opening with less round it; nothing beyond it is no room, and a larger one stays as it is.
func TestSmaller(t *testing.T) {
	p := panel.Panel{Openings: []panel.Opening{{Contour: circle(20, 20, 12)}}}
	r := panel.Room{Contour: circle(20, 20, 28), Beyond: geom.MM(8), For: "a knob"}
	less, ok := room.Smaller(p, r, geom.MM(4))
	require.True(t, ok)
	require.Equal(t, panel.Room{Contour: circle(20, 20, 20), Beyond: geom.MM(4), For: "a knob"}, less)
	same, ok := room.Smaller(p, r, geom.MM(9))
	require.True(t, ok)
	require.Equal(t, r, same)
	_, ok = room.Smaller(p, r, 0)
	require.False(t, ok)
}
