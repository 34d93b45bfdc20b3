package readback

import (
	"bytes"
	"encoding/json"
	"errors"
	"path"
	"strings"

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
		line, what := jsonFault(data, err)
		l.Add(diag.Error, "readback-job", "%s is no Gerber job file: %s", name, what).In(name, line).
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

// jobFunctions returns what job files call the other files, by name: .FileFunction's values.
func jobFunctions(files []File) map[string][]string {
	told := map[string][]string{}
	for _, f := range files {
		var j struct {
			FilesAttributes []struct{ Path, FileFunction string }
		}
		if sniff(f.Data) != "job" || json.Unmarshal(f.Data, &j) != nil {
			continue
		}
		for _, a := range j.FilesAttributes {
			if a.FileFunction != "" {
				told[path.Base(a.Path)] = strings.Split(a.FileFunction, ",")
			}
		}
	}
	return told
}

// jsonFault says in plain words what is wrong with JSON, and on which line; 0 where that is not known.
func jsonFault(data []byte, err error) (line int, what string) {
	at, what := int64(-1), "it is no JSON"
	var kind *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &kind):
		at, what = kind.Offset, kind.Field+" holds a "+kind.Value
	case errors.As(err, &syntax):
		if at = syntax.Offset; at >= int64(len(data)) {
			what = "its JSON breaks off"
		} else {
			what = "its JSON is wrong here"
		}
	}
	if at < 0 {
		return 0, what
	}
	return 1 + bytes.Count(data[:min(at, int64(len(data)))], []byte("\n")), what
}
