package boardtest_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/check"
	"lampblack/board/place"
	"lampblack/export"
	"lampblack/export/excellon"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/readback"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// small is a panel of 90 by 60 mm with two words, for LEDs of one kind.
func small(kind part.LED) panel.Panel {
	p := panel.Panel{Name: "kinds", Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(90, 60)))}
	for _, m := range [][2]float64{{6, 6}, {84, 6}, {6, 54}, {84, 54}} {
		p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(m[0], m[1]), D: geom.MM(3.2)})
	}
	for i := range 8 {
		x, y := 22+float64(i%4)*12, 18.0
		if i >= 4 {
			x, y = x+5, 42
		}
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(kind.HoleMM)})
	}
	return p
}

// Every kind of LED, resistor and connector goes the whole way: shape to proof, files, back, and the proof of what was
// written. LEDs shine up from the top, everything else is on the bottom.
func TestKindsEndToEnd(t *testing.T) {
	leds := []string{"red-3mm", "red-5mm", "red-plcc2", "red-0805"}
	resistors := []string{"r-1206", "r-0805", "axial-7.62", "axial-10.16"}
	connectors := []string{"terminal-3.5", "terminal-5.08", "header-2.54", "wire-pads"}
	for i, name := range leds {
		for j, resistor := range resistors {
			connector := connectors[(i+j)%len(connectors)] // a Latin square: each pair of kinds meets once
			t.Run(fmt.Sprint(name, " ", resistor, " ", connector), func(t *testing.T) {
				kind, ok := part.Find(name)
				require.True(t, ok)
				q := led.Usual()
				q.Defaults.Kind, q.Defaults.ResistorPackage, q.Defaults.ConnectorPackage = kind, resistor, connector
				q.Defaults.StringLength = 4
				o := make1(boardtest.Case{Panel: small(kind), Request: q}, place.Options{KeepTurn: i == j}, firm())
				require.Empty(t, o.stage, "%v", o.refusal)
				require.False(t, o.found.HasErrors(), "%v", o.found.Err())
				b := o.board
				for _, p := range b.Parts {
					require.Equal(t, p.Kind == board.LED, p.On == geom.Top, p.Ref)
					switch p.Kind {
					case board.LED:
						require.Equal(t, kind.Package, p.Footprint)
					case board.Resistor:
						require.Equal(t, resistor, p.Footprint)
					case board.Connector:
						require.Equal(t, connector, p.Footprint)
					}
				}
				a := export.Lower(b)
				a.Name = "kinds"
				var files []readback.File
				add := func(name string, data []byte) { files = append(files, readback.File{Name: name, Data: data}) }
				for i, l := range a.Layers {
					add(export.FileName(a.Name, l.Function), gerber.Layer(a, i, gerber.Meta{Project: "kinds", Revision: "A"}))
				}
				for i, d := range a.Drills {
					add(export.DrillFileName(a.Name, d.Plated), excellon.Drill(a, i, excellon.Meta{Project: "kinds", Revision: "A"}))
				}
				add(export.JobFileName(a.Name), gerber.Job(a, gerber.Meta{Project: "kinds", Revision: "A"}))
				ipc, l := netlist.IPC(a, netlist.Meta{Project: "kinds"})
				require.False(t, l.HasErrors())
				add(export.NetlistFileName(a.Name), ipc)
				pack, l := readback.Open(t.Context(), files)
				require.False(t, l.HasErrors(), "%v", l.Err())
				require.NoError(t, readback.Compare(a, pack.Artwork).Err())
				raised, l := readback.Raise(t.Context(), pack, b.Rules)
				require.False(t, l.HasErrors(), "%v", l.Err())
				found := check.Audit(context.Background(), raised, o.wiring)
				require.False(t, found.HasErrors(), "read back: %v", found.Err())
				require.Equal(t, len(b.Parts), len(raised.Parts))
			})
		}
	}
}
