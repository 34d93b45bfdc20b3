package readback

import (
	"bytes"
	"context"
	"path"
	"slices"
	"strings"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// File is one file of a pack.
type File struct {
	Name string
	Data []byte
}

// Pack is a fabrication pack as its own files tell it.
type Pack struct {
	Artwork    export.Artwork
	Netlist    Netlist
	HasNetlist bool
	Files      []Entry
	Others     []export.Layer // Gerber files of functions that Lampblack does not make, in order
}

// Entry is one file of a pack and what it was taken for.
type Entry struct {
	Name     string
	Kind     string // "gerber", "drill", "netlist", "job", "other"
	Function string // .FileFunction as written, its values joined by commas

	Layer export.Layer // of a "gerber", as it was read
	Drill export.Drill // of a "drill", as it was read
}

// Open sorts the files of a pack by what they say they are, and where they say nothing by what they hold, and reads them. It tells of layers that
// are missing or there twice, of files that do not belong together, and of a netlist that does not fit the copper.
// Once ctx is done what it returns means nothing.
func Open(ctx context.Context, files []File) (p Pack, l diag.List) {
	work.Until(ctx, func(w *work.Watch) { p, l = opened(w, files) })
	return p, l
}

func opened(w *work.Watch, files []File) (Pack, diag.List) {
	var p Pack
	var l diag.List
	var same []sameness
	layers := map[export.Function]string{}
	drills := map[bool]string{}
	var unsaid []nameless
	var holes []geom.Pt
	var unsorted []export.Drill
	var unsortedNames []string
	told := jobFunctions(files)
	for _, f := range files {
		w.Look()
		e := Entry{Name: f.Name, Kind: sniff(f.Data)}
		switch e.Kind {
		case "gerber":
			layer, found := Gerber(w, f.Data, f.Name)
			l = append(l, found...)
			e.Layer = layer
			values, _ := Attribute(layer.FileAttributes, ".FileFunction")
			if len(values) == 0 {
				values = told[path.Base(f.Name)]
			}
			e.Function = joined(values)
			frame, said := Attribute(layer.FileAttributes, ".SameCoordinates")
			same = append(same, sameness{f.Name, frame, said})
			fn, ok := FunctionOf(values)
			if !ok && len(values) == 0 && len(layer.Objects) > 0 {
				unsaid = append(unsaid, nameless{entry: len(p.Files), layer: layer})
				break
			}
			if !ok {
				p.Others = append(p.Others, layer)
				break
			}
			if first, twice := layers[fn]; twice {
				l.Add(diag.Error, "readback-layer-twice", "%s and %s are both the layer %v", first, f.Name, fn).In(f.Name, 0).Fix("leave one of them out")
				break
			}
			layers[fn] = f.Name
			layer.Function = fn
			if _, said := Attribute(layer.FileAttributes, ".FilePolarity"); !said && (fn == export.SoldermaskTop || fn == export.SoldermaskBottom) {
				layer.Negative = true // that it does not say so was told
			}
			if want := fn == export.SoldermaskTop || fn == export.SoldermaskBottom; layer.Negative != want {
				l.Add(diag.Error, "readback-polarity", "%s has the wrong polarity for a layer %v", f.Name, fn).In(f.Name, 0).
					Fix("soldermask is Negative, everything else Positive")
			}
			if fn == export.Profile {
				layer.Objects = chained(layer.Objects)
			}
			p.Artwork.Layers = append(p.Artwork.Layers, layer)
			if part, _ := Attribute(layer.FileAttributes, ".Part"); len(part) > 0 && part[0] == "Array" {
				p.Artwork.Array = true
			}
		case "drill":
			d, found := Drill(f.Data, f.Name)
			l = append(l, found...)
			e.Drill = d
			values, _ := Attribute(d.FileAttributes, ".FileFunction")
			if len(values) == 0 && len(told[path.Base(f.Name)]) > 0 {
				values = told[path.Base(f.Name)]
				d.Plated = values[0] == "Plated"
			}
			e.Function = joined(values)
			if frame, said := Attribute(d.FileAttributes, ".SameCoordinates"); said { // drill files need not say it
				same = append(same, sameness{f.Name, frame, true})
			}
			for _, h := range d.Hits {
				holes = append(holes, h.At)
			}
			if e.Function == "" {
				unsorted, unsortedNames = append(unsorted, d), append(unsortedNames, f.Name)
				break
			}
			if first, twice := drills[d.Plated]; twice {
				l.Add(diag.Error, "readback-layer-twice", "%s and %s are for the same holes", first, f.Name).In(f.Name, 0).Fix("leave one of them out")
				break
			}
			drills[d.Plated] = f.Name
			p.Artwork.Drills = append(p.Artwork.Drills, d)
		case "netlist":
			n, found := IPC(f.Data, f.Name)
			l = append(l, found...)
			if p.HasNetlist {
				l.Add(diag.Error, "readback-layer-twice", "the pack has two netlists").In(f.Name, 0).Fix("leave one of them out")
				break
			}
			p.Netlist, p.HasNetlist = n, true
		case "job":
			m, found := Job(f.Data, f.Name)
			l = append(l, found...)
			p.Artwork.Laminate = m
		}
		p.Files = append(p.Files, e)
	}
	l = append(l, p.recognise(unsaid, holes)...)
	l = append(l, p.plating(unsorted, unsortedNames)...)
	for _, layer := range p.Artwork.Layers {
		if layers[layer.Function] == "" {
			layers[layer.Function] = "recognised"
		}
	}
	for _, d := range p.Artwork.Drills {
		if drills[d.Plated] == "" {
			drills[d.Plated] = "recognised"
		}
	}
	slices.SortFunc(p.Artwork.Layers, func(a, b export.Layer) int { return int(a.Function) - int(b.Function) })
	slices.SortFunc(p.Artwork.Drills, func(a, b export.Drill) int {
		if a.Plated == b.Plated {
			return 0
		}
		if a.Plated {
			return -1
		}
		return 1
	})
	l = append(l, missing(layers, drills)...)
	l = append(l, together(same)...)
	w.Look()
	l = append(l, p.measure()...)
	if p.HasNetlist {
		w.Look()
		l = append(l, p.compareNets()...)
		w.Look()
		l = append(l, p.compareEdges()...)
	}
	return p, l
}

// sniff tells a file's kind by its content.
func sniff(b []byte) string {
	head := b[:min(len(b), 4096)]
	trimmed := bytes.TrimSpace(head)
	switch {
	case bytes.HasPrefix(trimmed, []byte("{")) && bytes.Contains(b, []byte(`"FilesAttributes"`)):
		return "job"
	case bytes.Contains(head, []byte("%FS")) || bytes.Contains(head, []byte("%MO")) || bytes.Contains(head, []byte("%TF")):
		return "gerber"
	case drillStart(trimmed):
		return "drill"
	case bytes.HasPrefix(trimmed, []byte("P  ")) || bytes.HasPrefix(trimmed, []byte("C  ")) && bytes.Contains(b, []byte("\nP  ")):
		return "netlist"
	}
	return "other"
}

// drillStart reports whether M48 is the first line that is no comment.
func drillStart(b []byte) bool {
	for line := range bytes.SplitSeq(b, []byte{'\n'}) {
		line = bytes.TrimSpace(line)
		if len(line) > 0 && line[0] != ';' {
			return bytes.Equal(line, []byte("M48"))
		}
	}
	return false
}

// Attribute returns the values of a file attribute, as FileAttributes of a layer or a drill file has it; ok is false where it is not set.
func Attribute(attrs [][]string, name string) (values []string, ok bool) {
	for _, a := range attrs {
		if a[0] == name {
			return a[1:], true
		}
	}
	return nil, false
}

// missing tells of layers that a two-layer board needs.
func missing(layers map[export.Function]string, drills map[bool]string) diag.List {
	var l diag.List
	for _, f := range []export.Function{export.CopperTop, export.CopperBottom, export.Profile} {
		if _, ok := layers[f]; !ok {
			l.Add(diag.Error, "readback-missing-layer", "the pack has no layer %v", f).Fix("add it")
		}
	}
	for _, f := range []export.Function{export.SoldermaskTop, export.SoldermaskBottom} {
		if _, ok := layers[f]; !ok {
			l.Add(diag.Warning, "readback-missing-layer", "the pack has no layer %v: the board would come without soldermask there", f).Fix("add it")
		}
	}
	if _, ok := drills[true]; !ok {
		l.Add(diag.Warning, "readback-missing-layer", "the pack has no plated holes").Fix("add the drill file, if the board has any")
	}
	return l
}

// sameness is a file's .SameCoordinates.
type sameness struct {
	file  string
	value []string
	has   bool
}

// together checks that all files state the same coordinates (5.6.4).
func together(all []sameness) diag.List {
	var l diag.List
	first := -1
	for i, s := range all {
		switch {
		case !s.has:
		case first < 0:
			first = i
		case joined(s.value) != joined(all[first].value):
			l.Add(diag.Error, "readback-coordinates-differ", "%s and %s say that their coordinates differ", all[first].file, s.file).
				In(s.file, 0).Fix("the files belong to different boards or runs: write the pack anew")
		}
	}
	for _, s := range all {
		if first >= 0 && !s.has {
			l.Add(diag.Warning, "readback-coordinates-unsaid", "%s does not say that its coordinates are those of the others", s.file).
				In(s.file, 0).Fix("write .SameCoordinates into all files or none")
		}
	}
	return l
}

// measure sets the artwork's size from the profile, and checks that copper and holes lie in it.
func (p *Pack) measure() diag.List {
	var l diag.List
	size := geom.EmptyBox()
	for _, layer := range p.Artwork.Layers {
		if layer.Function == export.Profile {
			for _, o := range layer.Objects {
				size = size.Union(spine(o))
			}
		}
	}
	if size.Empty() {
		return l
	}
	p.Artwork.Size = size
	out := func(b geom.Box) bool { return !b.Empty() && b.Union(size) != size }
	for _, layer := range p.Artwork.Layers {
		if !layer.Function.Copper() {
			continue
		}
		box := geom.EmptyBox()
		for _, o := range layer.Objects {
			box = box.Union(extent(layer, o))
		}
		if out(box) {
			at := box.Max
			if !size.Contains(box.Min) {
				at = box.Min
			}
			l.Add(diag.Error, "readback-outside-profile", "the layer %v reaches outside the profile", layer.Function).
				At(at.X.MM(), at.Y.MM()).Fix("the files are not aligned, or copper lies off the board")
		}
	}
	for _, d := range p.Artwork.Drills {
		for _, h := range d.Hits {
			if !size.Contains(h.At) {
				l.Add(diag.Error, "readback-outside-profile", "a hole lies outside the profile").At(h.At.X.MM(), h.At.Y.MM()).
					Fix("the files are not aligned, or the hole lies off the board")
				break
			}
		}
	}
	return l
}

// spine returns the box round the middle line of an object.
func spine(o export.Object) geom.Box {
	switch o.Op {
	case export.Flash:
		return geom.BoxOf(o.To)
	case export.Draw:
		return geom.Arc{From: o.From, To: o.To, Bulge: o.Bulge}.Box()
	}
	return o.Contour.Box()
}

// extent returns the box round what an object paints.
func extent(l export.Layer, o export.Object) geom.Box {
	b := spine(o)
	if o.Op == export.Region {
		return b
	}
	a := geom.EmptyBox()
	for _, c := range contoursOf(l.Apertures[o.Aperture]) {
		a = a.Union(c.Box())
	}
	if a.Empty() {
		return a
	}
	return geom.Box{Min: b.Min.Add(a.Min.Sub(geom.Pt{})), Max: b.Max.Add(a.Max.Sub(geom.Pt{}))}
}

// Name returns the name that the pack gives its board: .ProjectId's, or none.
func (p Pack) Name() string {
	for _, l := range p.Artwork.Layers {
		if v, _ := Attribute(l.FileAttributes, ".ProjectId"); len(v) > 0 {
			return strings.TrimSpace(v[0])
		}
	}
	return ""
}
