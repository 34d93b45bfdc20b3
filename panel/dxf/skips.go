package dxf

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/panel/diag"
)

// thing is the kind of what was left out, which decides code and severity of the finding.
type thing uint8

const (
	hiddenThing thing = iota
	unusedThing
	emptyThing
	tiltedThing
	doubtThing
	missingThing
	brokenThing
)

var kindOf = [...]thing{unused: unusedThing, empty: emptyThing, doubt: doubtThing, broken: brokenThing}

var thingFindings = [...]struct {
	sev    diag.Severity
	code   string
	advice string
}{
	hiddenThing:  {diag.Note, "dxf-hidden", "switch the layers on, thaw them or move the things to model space if they belong to the panel"},
	unusedThing:  {diag.Note, "dxf-skipped", ""},
	emptyThing:   {diag.Note, "dxf-no-size", ""},
	tiltedThing:  {diag.Warning, "dxf-tilted", "draw the panel flat in the XY plane, or flatten the drawing, and export it again"},
	doubtThing:   {diag.Warning, "dxf-incomplete", "look at the thing in the drawing and draw it anew"},
	missingThing: {diag.Warning, "dxf-missing-block", "bind or explode the block in the CAD program and export again"},
	brokenThing:  {diag.Error, "dxf-bad-value", "delete the thing and draw it anew, or export the drawing again"},
}

// skips collects what was left out, in order of appearance.
type skips struct {
	list  []Skip
	kinds []thing
	index map[skipKey]int
}

type skipKey struct{ typ, layer, reason string }

// maxSkips bounds the list; more kinds than that are counted under one layer.
const maxSkips = 2000

func (s *skips) add(it *item, layer string, at *XY, kind thing, reason string) {
	k := skipKey{it.typ, layer, reason}
	if len(s.list) >= maxSkips {
		k = skipKey{"things", "many", "left out for many reasons"}
	}
	if i, ok := s.index[k]; ok {
		s.list[i].Count++
		s.kinds[i] = max(s.kinds[i], kind)
		return
	}
	if s.index == nil {
		s.index = map[skipKey]int{}
	}
	s.index[k] = len(s.list)
	s.list = append(s.list, Skip{Type: k.typ, Layer: k.layer, Reason: k.reason, Count: 1, Line: it.line, Handle: it.handle, At: at})
	s.kinds = append(s.kinds, kind)
}

// where returns a point of the item in its own coordinates, nil when it has none.
func (it *item) where() *XY {
	switch {
	case it.text != nil:
		return &it.text.At
	case it.ins != nil:
		return &it.ins.at
	case it.arc != nil:
		return &it.arc.c
	case it.spl != nil && len(it.spl.control) > 0:
		return &it.spl.control[0]
	case len(it.path.Vertices) > 0:
		return &it.path.Vertices[0].XY
	}
	return nil
}

// findings tells what was left out: one finding for each kind and reason, with the first place.
func (s *skips) findings(file string, diags *diag.List) {
	done := make([]bool, len(s.list))
	for i := range s.list {
		if done[i] {
			continue
		}
		first := s.list[i]
		var types, layers []string
		count := map[string]int{}
		total := 0
		for j := i; j < len(s.list); j++ {
			o := s.list[j]
			if s.kinds[j] != s.kinds[i] || o.Reason != first.Reason {
				continue
			}
			done[j] = true
			if count[o.Type] == 0 {
				types = append(types, o.Type)
			}
			if !slices.Contains(layers, o.Layer) {
				layers = append(layers, o.Layer)
			}
			count[o.Type] += o.Count
			total += o.Count
		}
		for n, t := range types {
			types[n] = fmt.Sprintf("%d %s", count[t], t)
		}
		kind := thingFindings[s.kinds[i]]
		f := diags.Add(kind.sev, kind.code, "left out: %s on %s (%s)", listed(types, 6), layersNamed(layers), first.Reason).
			In(file, first.Line).Fix("%s", kind.advice)
		f.Place.Handle, f.Place.Layer = first.Handle, first.Layer
		if first.At != nil {
			f.At(first.At.X, first.At.Y)
		}
	}
}

func layersNamed(names []string) string {
	if len(names) == 1 {
		return "layer " + names[0]
	}
	return "layers " + listed(names, 6)
}

// listed joins names, at most n of them.
func listed(names []string, n int) string {
	if len(names) > n {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:n], ", "), len(names)-n)
	}
	return strings.Join(names, ", ")
}
