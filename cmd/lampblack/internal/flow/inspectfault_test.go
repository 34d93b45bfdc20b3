package flow

import (
	"bytes"
	"context"
	"maps"
	"math"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/boardtest/made"
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/excellon"
	"lampblack/export/gang"
	"lampblack/export/gerber"
	"lampblack/export/parts"
	"lampblack/export/report"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// goodPack is a pack to put faults into.
type goodPack struct {
	name  string
	art   export.Artwork
	files []bundle.File
}

var faultMeta = packMeta{Console: "desk", Clearance: board.UsualRules().Clearance}

func wholePack(t testing.TB, name string, art export.Artwork, page report.Pack, lists ...list) goodPack {
	t.Helper()
	var files []bundle.File
	require.True(t, work.Until(t.Context(), func(w *work.Watch) { files, _ = fabFiles(w, art, faultMeta, page, lists...) }))
	return goodPack{name, art, files}
}

func fieldBoard(t *testing.T, seed uint64) board.Board {
	t.Helper()
	c := boardtest.FieldCase(seed)
	w, l := c.Wiring()
	require.NoError(t, l.Err())
	b, l := made.Of(c.Panel, w)
	require.NoError(t, l.Err())
	return b
}

// goodPacks are a board with mounts and cut-outs, one with surface parts and vias, and an array.
func goodPacks(t *testing.T) []goodPack {
	deskBoard, flatBoard := fieldBoard(t, 16), fieldBoard(t, 13)
	desk, _ := packed(t, deskBoard)
	flat, _ := packed(t, flatBoard)
	desktop := fieldBoard(t, 26)
	piece, _ := packed(t, desktop)
	r := board.UsualRules()
	pieces := []gang.Piece{{Art: piece.Art, Count: 2, EdgeClear: r.CopperToEdge, HoleClear: r.CopperToHole, InkClear: r.LegendClear}}
	plan, l := gang.Make(t.Context(), pieces,
		gang.Options{Name: "pair", Width: geom.MM(300), Height: geom.MM(300), Rail: geom.MM(8), Gap: geom.MM(2), Mask: r.MaskMargin})
	require.NoError(t, l.Err())
	page := report.Pack{Array: "2 x desk", Parting: "tabs"}
	hung(&page, plan, pieces)
	bought := parts.Parts(parts.Item{Board: desktop, Numbers: []string{"1", "2"}}).CSV()
	return []goodPack{
		wholePack(t, "desk", desk.Art, report.Pack{Board: deskBoard}),
		wholePack(t, "flat", flat.Art, report.Pack{Board: flatBoard}),
		wholePack(t, "array", plan.Art, page, placementOf(plan.Art), list{export.PartsFileName(plan.Art.Name), export.PartsMeaning, bought}),
	}
}

// harmed is a pack with a fault in the making. What is changed of its artwork is written anew, digests and all; texts
// are changed as they are.
type harmed struct {
	export.Artwork
	files map[string][]byte
	other []byte // the netlist of another board
}

func (h *harmed) layer(f export.Function) *export.Layer {
	for i := range h.Layers {
		if h.Layers[i].Function == f {
			return &h.Layers[i]
		}
	}
	return nil
}

func (h *harmed) drill(plated bool) *export.Drill {
	for i := range h.Drills {
		if h.Drills[i].Plated == plated {
			return &h.Drills[i]
		}
	}
	return nil
}

// text changes a file, by a part of its name.
func (h *harmed) text(part string, f func(string) string) bool {
	for _, name := range slices.Sorted(maps.Keys(h.files)) {
		if strings.Contains(name, part) {
			old := string(h.files[name])
			h.files[name] = []byte(f(old))
			return string(h.files[name]) != old
		}
	}
	return false
}

func (h *harmed) remove(part string) bool {
	for _, name := range slices.Sorted(maps.Keys(h.files)) {
		if strings.Contains(name, part) {
			delete(h.files, name)
			return true
		}
	}
	return false
}

func copied(a export.Artwork) export.Artwork {
	a.Layers, a.Drills = slices.Clone(a.Layers), slices.Clone(a.Drills)
	for i := range a.Layers {
		a.Layers[i].Objects, a.Layers[i].Apertures = slices.Clone(a.Layers[i].Objects), slices.Clone(a.Layers[i].Apertures)
	}
	for i := range a.Drills {
		a.Drills[i].Hits, a.Drills[i].Tools = slices.Clone(a.Drills[i].Hits), slices.Clone(a.Drills[i].Tools)
	}
	return a
}

// zip writes the pack with its fault.
func (p goodPack) zip(t *testing.T, harm func(*harmed) bool, other []byte) ([]byte, bool) {
	h := harmed{copied(p.art), map[string][]byte{}, other}
	for _, f := range p.files {
		h.files[f.Path] = bytes.Clone(f.Data)
	}
	if !harm(&h) {
		return nil, false
	}
	gm := gerber.Meta{Project: faultMeta.Console, Clearance: faultMeta.Clearance}
	for i, l := range h.Layers {
		if name := export.FileName(h.Name, p.art.Layers[i].Function); !reflect.DeepEqual(l, p.art.Layers[i]) {
			h.files[name] = gerber.Layer(h.Artwork, i, gm)
		}
	}
	for i, d := range h.Drills {
		if name := export.DrillFileName(h.Name, p.art.Drills[i].Plated); !reflect.DeepEqual(d, p.art.Drills[i]) {
			h.files[name] = excellon.Drill(h.Artwork, i, excellon.Meta{Project: faultMeta.Console})
		}
	}
	var files []bundle.File
	for _, name := range slices.Sorted(maps.Keys(h.files)) {
		files = append(files, bundle.File{Path: name, Data: h.files[name]})
	}
	return bundle.Zip(nil, files), true
}

// aperture gives object i an aperture of its own, changed by f.
func aperture(l *export.Layer, i int, f func(*export.Aperture)) {
	a := l.Apertures[l.Objects[i].Aperture]
	f(&a)
	// Apertures of one use stay together: the writer names each use once.
	l.Apertures = append(l.Apertures, a)
	l.Objects[i].Aperture = len(l.Apertures) - 1
}

func find(l *export.Layer, want func(export.Object) bool) int {
	if l == nil {
		return -1
	}
	return slices.IndexFunc(l.Objects, want)
}

func isPad(o export.Object) bool { return o.Op == export.Flash && o.Pin != "" }

// lampPad is a pad of an LED.
func lampPad(o export.Object) bool { return isPad(o) && strings.Contains(o.Ref, "D") }

func shifted(l *export.Layer, v geom.Vec) bool {
	if l == nil {
		return false
	}
	for i := range l.Objects {
		o := &l.Objects[i]
		o.From, o.To, o.Contour = o.From.Add(v), o.To.Add(v), o.Contour.Moved(v)
	}
	return true
}

func exchanged(a, b *export.Layer) bool {
	if a == nil || b == nil {
		return false
	}
	a.Objects, b.Objects, a.Apertures, b.Apertures = b.Objects, a.Objects, b.Apertures, a.Apertures
	return true
}

// drop takes the first object out that f wants.
func drop(l *export.Layer, f func(export.Object) bool) bool {
	i := find(l, f)
	if i >= 0 {
		l.Objects = slices.Delete(l.Objects, i, i+1)
	}
	return i >= 0
}

// draw adds a line of copper of a net.
func draw(l *export.Layer, net string, width geom.Nm, a, b geom.Pt) bool {
	l.Apertures = append(l.Apertures, export.Aperture{Shape: export.Circle, W: width, H: width, Function: "Conductor"})
	l.Objects = append(l.Objects, export.Object{Op: export.Draw, Aperture: len(l.Apertures) - 1, From: a, To: b, Net: net, HasNet: true})
	return true
}

// twoPads returns neighbouring pads of two nets on a layer.
func twoPads(l *export.Layer) (a, b export.Object) {
	i := find(l, lampPad)
	if i < 0 {
		i = find(l, isPad)
	}
	a = l.Objects[i]
	best := -1.0
	for _, o := range l.Objects {
		if d := o.To.Dist(a.To); isPad(o) && o.Net != a.Net && (best < 0 || d < best) {
			best, b = d, o
		}
	}
	return a, b
}

func mm(x float64) geom.Nm { return geom.MM(x) }

// lampSide is the copper layer that surely has an LED's pads.
const lampSide = export.CopperTop

// pack faults: what is wrong, the finding that must tell it, and how it is put in; false where a pack has no such thing.
type packFault struct {
	what, code string
	harm       func(*harmed) bool
}

// replaced changes the first match of a pattern.
func replaced(pattern, with string) func(string) string {
	at := regexp.MustCompile(pattern)
	return func(s string) string {
		m := at.FindStringSubmatchIndex(s)
		if m == nil {
			return s
		}
		return s[:m[0]] + string(at.ExpandString(nil, with, s, m)) + s[m[1]:]
	}
}

// Every fault is refused, by the finding that says what is wrong, in one of the packs that can have it, by turns; INSPECT_FIELD=1
// tries all of them.
func TestInspectRefusesFaults(t *testing.T) {
	packs := goodPacks(t)
	faults := slices.Concat(copperFaults(), maskFaults(), drillFaults(), paperFaults(), partFaults(), arrayFaults(), houseFaults())
	require.GreaterOrEqual(t, len(faults), 60)
	for _, p := range packs {
		src, _ := p.zip(t, func(*harmed) bool { return true }, nil)
		got := must(Inspect(context.Background(), p.name+".zip", src, fine(), "test", false))
		require.Empty(t, got.List, "%s is good", p.name)
	}
	if testing.Short() {
		packs = packs[1:] // the two that can have most faults
	}
	put := map[string]int{}
	all := os.Getenv("INSPECT_FIELD") != ""
	tried := func(i int) (p goodPack, other []byte) {
		i %= len(packs)
		for _, f := range packs[(i+1)%len(packs)].files {
			if strings.HasSuffix(f.Path, ".ipc") {
				other = f.Data
			}
		}
		return packs[i], other
	}
	for k, f := range faults {
		for turn := range packs {
			p, other := tried(k + turn)
			src, ok := p.zip(t, f.harm, other)
			if !ok {
				continue
			}
			put[f.what]++
			got := must(Inspect(context.Background(), p.name+".zip", src, fine(), "test", false))
			codes := codesOf(got)
			if !slices.Contains(codes, f.code) {
				t.Errorf("%s: %s: %s is not told, but %v", p.name, f.what, f.code, codes)
			}
			if !all {
				break
			}
		}
	}
	for _, f := range faults {
		require.True(t, put[f.what] > 0 || testing.Short(), "no pack can have the fault: %s", f.what)
	}
	t.Logf("%d kinds of fault, %d packs refused", len(put), sum(put))
}

func sum(m map[string]int) (n int) {
	for _, v := range m {
		n += v
	}
	return n
}

// An LED that is turned round in all files alike, so that nothing contradicts: no current can flow.
func TestInspectFollowsTheCurrent(t *testing.T) {
	b := fieldBoard(t, 16)
	b.Parts = slices.Clone(b.Parts)
	k := slices.IndexFunc(b.Parts, func(p board.Part) bool { return p.Kind == board.LED })
	d := &b.Parts[k]
	d.Turn = (d.Turn + 180) % 360
	p := d.Pads
	d.Pads = []board.Pad{p[0], p[1]}
	d.Pads[0].At, d.Pads[1].At = p[1].At, p[0].At
	d.Pads[0].Net, d.Pads[1].Net = p[1].Net, p[0].Net
	low, _ := packed(t, b)
	src, _ := wholePack(t, "turned", low.Art, report.Pack{}).zip(t, func(*harmed) bool { return true }, nil)
	got := must(Inspect(context.Background(), "turned.zip", src, fine(), "test", false))
	require.True(t, slices.ContainsFunc(got.List, func(f diag.Finding) bool { return f.Code == "inspect-led-dark" && f.Subject.Part == d.Ref }), "%v", codesOf(got))
}

// number changes the first number after a word of JSON.
func number(key string, v float64) func(string) string {
	return replaced(`("`+key+`": )[0-9.]+`, "${1}"+strconv.FormatFloat(v, 'f', -1, 64))
}

// codesOf returns the codes of errors.
func codesOf(got Inspected) []string {
	var codes []string
	for _, g := range got.Findings {
		if g.Severity == "error" && !slices.Contains(codes, g.Code) {
			codes = append(codes, g.Code)
		}
	}
	return codes
}

// Of a board with a part aslant, a component layer that turns it otherwise, and lands of copper or netlist that stand upright,
// are told.
func TestInspectSeesPartsAslant(t *testing.T) {
	b := fieldBoard(t, 16)
	low, _ := packed(t, b)
	layer := func(a export.Artwork, f export.Function) *export.Layer {
		i := slices.IndexFunc(a.Layers, func(l export.Layer) bool { return l.Function == f })
		return &a.Layers[i]
	}
	top := layer(low.Art, export.ComponentTop)
	for i, o := range top.Objects {
		if o.Part != nil {
			part := *o.Part
			part.Rotation = math.Mod(part.Rotation+45, 360)
			top.Objects[i].Part = &part
		}
	}
	src, _ := wholePack(t, "aslant", low.Art, report.Pack{}).zip(t, func(*harmed) bool { return true }, nil)
	got := must(Inspect(context.Background(), "aslant.zip", src, fine(), "test", false))
	require.Contains(t, codesOf(got), "inspect-part-turned", "an eighth is no rotation of these pads")

	low, _ = packed(t, b)
	copper := layer(low.Art, export.CopperTop)
	for i := range copper.Apertures {
		if a := &copper.Apertures[i]; a.Shape == export.Rectangle {
			a.Slant = true
		}
	}
	src, _ = wholePack(t, "aslant", low.Art, report.Pack{}).zip(t, func(*harmed) bool { return true }, nil)
	got = must(Inspect(context.Background(), "aslant.zip", src, fine(), "test", false))
	require.Contains(t, codesOf(got), "inspect-pad-shape", "a land aslant of a part that is upright")
}
