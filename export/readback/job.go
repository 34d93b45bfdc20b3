package readback

import (
	"encoding/json"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// mostThick bounds the thicknesses that a job file may tell, in mm.
const mostThick = 1000

// Job reads what a Gerber job file says of the board's laminate (Gerber Job Format Specification 2020.08: BoardThickness
// of GeneralSpecs, and the layers of MaterialStackup whose Type is Copper); what it does not tell stays 0. Copper layers
// that differ are told, and the thinnest counts.
func Job(data []byte, name string) (board.Laminate, diag.List) {
	var l diag.List
	var j struct {
		GeneralSpecs    struct{ BoardThickness float64 }
		MaterialStackup []struct {
			Type      string
			Thickness float64
		}
	}
	if err := json.Unmarshal(data, &j); err != nil {
		l.Add(diag.Error, "readback-job", "%s is no Gerber job file: %v", name, err).In(name, 0).
			Fix("write it anew, or leave it out: the layers do without it")
		return board.Laminate{}, l
	}
	length := func(mm float64) geom.Nm {
		if !(mm >= 0 && mm <= mostThick) {
			l.Add(diag.Error, "readback-job", "%s tells a thickness of %g mm", name, mm).In(name, 0).Fix("thicknesses are in mm")
			return 0
		}
		return geom.MM(mm)
	}
	m := board.Laminate{Thickness: length(j.GeneralSpecs.BoardThickness)}
	for _, s := range j.MaterialStackup {
		if s.Type != "Copper" {
			continue
		}
		t := length(s.Thickness)
		if m.Copper != 0 && t != 0 && t != m.Copper {
			l.Add(diag.Warning, "readback-job", "%s tells layers of copper of %v and of %v", name, m.Copper, t).In(name, 0).
				Fix("ask for the same on both sides, or the board may bend")
		}
		if t != 0 && (m.Copper == 0 || t < m.Copper) {
			m.Copper = t
		}
	}
	return m, l
}
