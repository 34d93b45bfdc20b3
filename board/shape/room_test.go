package shape_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
	"lampblack/panel/room"
)

// desk is a panel with a switch in the middle, of which nothing tells but its hole of 12 mm: 8 mm are kept free round it.
func desk(edit func(*panel.Panel)) panel.Panel {
	p := panel.Panel{
		Name: "dome", Outline: rect(0, 0, 100, 60), Openings: []panel.Opening{opening(geom.Circle(geom.PtMM(50, 30), geom.MM(12)))},
		LEDs: []panel.Hole{lamp(15, 50), lamp(85, 50)}, Mounts: []panel.Hole{screw(6, 6)},
	}
	edit(&p)
	if p.Room == nil {
		p.Room = room.Of(p, nil)
	}
	return p
}

// kept gives the panel the rooms that the project tells, in mm.
func kept(p *panel.Panel, mm ...float64) {
	var told []room.Told
	for _, v := range mm {
		told = append(told, room.Told{Set: true, Beyond: geom.MM(v)})
	}
	p.Room = append([]panel.Room{}, room.Of(*p, told)...)
}

// How far the board stays off the first opening, and what is told.
func TestRoomIsKept(t *testing.T) {
	for _, c := range []struct {
		name  string
		panel panel.Panel
		off   float64 // from the opening's edge to the board
		want  string
	}{
		{"guessed", desk(func(p *panel.Panel) {}), 8 + 1, "note shape-room"},
		{"told", desk(func(p *panel.Panel) { kept(p, 5) }), 5 + 1, ""},
		{"told: none", desk(func(p *panel.Panel) { kept(p, 0) }), 1, ""},
		{"a body is drawn", desk(func(p *panel.Panel) { p.Bodies = []geom.Contour{geom.Circle(geom.PtMM(50, 30), geom.MM(16))} }), 2 + 1, ""},
		// The corners of the LED's pads reach 2.5 mm, the copper's gap 0.5 mm more, and the board's edge is 1 mm off: 12 - 6 - 4.0,
		// less a hair, in tenths.
		{"an LED is drawn in it", desk(func(p *panel.Panel) { p.LEDs = append(p.LEDs, lamp(62, 30)) }), 2.1 + 1, "note shape-room, note shape-room-less"},
		{"an LED is drawn in one that is told", desk(func(p *panel.Panel) {
			p.LEDs = append(p.LEDs, lamp(62, 30))
			kept(p, 5)
		}), 2.1 + 1, "warning shape-room-less"},
		// 1.6 + 0.8 + 1: 10 - 6 - 3.4 is 0.6, less a hair.
		{"a mount is drawn in it", desk(func(p *panel.Panel) { p.Mounts = append(p.Mounts, screw(60, 30)) }), 0.5 + 1, "note shape-room, note shape-room-less"},
		{"a board is drawn", desk(func(p *panel.Panel) {
			p.Boards = []panel.Edge{{rect(2, 2, 98, 58), geom.Circle(geom.PtMM(50, 30), geom.MM(14))}}
		}), 1, ""},
		// 20 mm of panel, a hole of 12 in the middle: 1 mm of board is left with 4 mm of room, and LEDs hang on it.
		{"the board would be cut in two", desk(func(p *panel.Panel) {
			p.Outline = rect(0, 0, 100, 30)
			p.Openings[0] = opening(geom.Circle(geom.PtMM(50, 15), geom.MM(12)))
			p.LEDs = []panel.Hole{lamp(15, 15), lamp(85, 15)}
		}), 1, "note shape-room-less"},
		{"two holes, one of them where a neck is", desk(func(p *panel.Panel) {
			p.Outline = geom.Straight(geom.PtMM(0, 0), geom.PtMM(100, 0), geom.PtMM(100, 60), geom.PtMM(54, 60), geom.PtMM(54, 30), geom.PtMM(46, 30), geom.PtMM(46, 60), geom.PtMM(0, 60))
			p.Openings = []panel.Opening{opening(geom.Circle(geom.PtMM(23, 35), geom.MM(12))), opening(geom.Circle(geom.PtMM(50, 15), geom.MM(12)))}
			p.LEDs[0] = lamp(8, 54)
		}), 8 + 1, "note shape-room, note shape-room-less"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, l := shape.Derive(c.panel, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
			require.Equal(t, c.want, codes(l), "%v", l)
			paneltest.Subjects(t, l)
			for _, f := range l {
				if f.Code == "shape-room" { // what such parts need, also where an LED or a screw leaves less
					require.Contains(t, f.Text, "room of 8 mm round it is kept free")
				}
			}
			ring := c.panel.Openings[0].Ring(geom.FlattenTolerance)
			near := 1e9
			for _, r := range b.Material().Rings() {
				for _, q := range r {
					near = min(near, ring.DistTo(q))
				}
			}
			require.InDelta(t, c.off, near/1e6, 0.02)
			for _, r := range b.Room {
				require.Contains(t, b.Keepout, r.Contour, "the prover holds the board to it")
			}
			area := b.Material()
			for _, d := range c.panel.LEDs {
				require.Equal(t, geom.Inside, area.Locate(d.At))
			}
		})
	}
}

// A guess costs nothing: on random panels a board with guessed rooms has no fewer LEDs, mounts and no more errors.
func TestGuessedRoomCostsNoBoard(t *testing.T) {
	gave := 0
	for seed := range uint64(40) {
		p := desk(func(p *panel.Panel) {
			p.Outline, p.LEDs, p.Mounts, p.Openings = rect(0, 0, 120, 50), nil, nil, nil
			next := seed*2654435761 + 12345
			random := func(n int) float64 {
				next = next*6364136223846793005 + 1442695040888963407
				return float64(next>>33) / float64(1<<31) * float64(n)
			}
			for range 5 {
				p.Openings = append(p.Openings, opening(geom.Circle(geom.PtMM(10+random(100), 8+random(34)), geom.MM(6+random(8)))))
			}
			for range 8 {
				p.LEDs = append(p.LEDs, lamp(4+random(112), 4+random(42)))
			}
			for range 3 {
				p.Mounts = append(p.Mounts, screw(5+random(110), 5+random(40)))
			}
		})
		with, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
		p.Room = nil
		bare, less := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
		errors := func(b board.Board) int {
			area, n := b.Material(), 0
			for _, d := range p.LEDs {
				if area.Locate(d.At) != geom.Inside {
					n++
				}
			}
			return n
		}
		require.LessOrEqual(t, errors(with), errors(bare), "seed %d: LEDs off the board", seed)
		require.GreaterOrEqual(t, len(with.Holes), len(bare.Holes), "seed %d", seed)
		require.LessOrEqual(t, l.Count(diag.Error), less.Count(diag.Error), "seed %d", seed)
		for _, f := range l {
			if f.Code == "shape-room-less" {
				gave++
			}
		}
	}
	require.Greater(t, gave, 5, "rooms do give way")
}
