package flow

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/parts"
	"lampblack/export/picture"
	"lampblack/export/readback"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/export/sheet"
	"lampblack/export/stencil"
	"lampblack/export/wires"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/draft"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/read"
	"lampblack/panel/work"
)

// The stages from a proven board to files. Files are named below their panel's folder.

type lowerIn struct {
	Board memo.Kept[boardOut]
	Name  string
}

type lowerOut struct {
	says
	Art    export.Artwork
	Travel *result.DrillTravel
}

// lowering makes the artwork of the finished board, with the component layers for whoever solders it.
var lowering = stage[lowerIn, lowerOut]{"lower", func(ctx context.Context, in lowerIn) lowerOut {
	b := in.Board.Value.Board
	a := export.Lower(b)
	a.Name = in.Name
	if ctx.Err() != nil {
		return lowerOut{}
	}
	a.Layers = append(a.Layers, export.Components(b)...)
	return lowerOut{Art: a, Travel: drillTravel(a)}
}}

type packIn struct {
	Lowered memo.Kept[lowerOut]
	Board   memo.Kept[boardOut] // whose print README.txt tells
	Meta    packMeta
	Page    report.Pack
}

type filesOut struct {
	says
	Files []bundle.File
}

// packing writes the fabrication pack and its zip.
var packing = stage[packIn, filesOut]{"pack", func(ctx context.Context, in packIn) (out filesOut) {
	work.Until(ctx, func(w *work.Watch) {
		page := in.Page
		page.Board = in.Board.Value.Board
		fab, l := fabFiles(w, in.Lowered.Value.Art, in.Meta, page)
		out.Findings = l
		for _, f := range fab {
			out.Files = append(out.Files, bundle.File{Path: result.PackFolder + f.Path, Data: f.Data})
		}
		w.Look()
		out.add(in.Lowered.Value.Art.Name, result.PanelZip, bundle.Zip(w, fab))
	})
	return out
}}

// add adds a file of a panel, or of the console.
func (o *filesOut) add(panel string, file result.Name, data []byte) {
	path := string(file)
	if panel != "" {
		path = file.Within(panel)
	}
	o.Files = append(o.Files, bundle.File{Path: path, Data: data})
}

type cutIn struct {
	Of    engraved
	Sheet sheet.Options
	Plate bool // there is one
	Frame bool // there is one
}

type cutOut struct {
	filesOut
	Sheets []sheet.Sheet // face, diffuser, LED sheet, then the plate and the frame if there are such
	Pieces []sheet.Sheet // of the frame
}

// cutting draws the laser sheets.
var cutting = stage[cutIn, cutOut]{"sheets", func(ctx context.Context, in cutIn) cutOut {
	p, e := in.Of.Panel, in.Of.areas()
	out := cutOut{filesOut: filesOut{says: says{sheet.Check(ctx, p, e, in.Sheet)}}}
	face, diffuser, leds := sheet.Face(ctx, p, e, in.Sheet), sheet.Diffuser(ctx, p, in.Sheet), sheet.LED(ctx, p, in.Sheet)
	type written struct {
		sheet    sheet.Sheet
		svg, dxf result.Name
	}
	all := []written{{face, result.SheetFace, result.FaceDXF}, {diffuser, result.SheetDiffuser, result.DiffuserDXF}, {leds, result.SheetLED, result.LEDDXF}}
	if in.Plate {
		plate := sheet.Plate(ctx, p, in.Sheet)
		all = append(all, written{plate, result.SheetPlate, result.PlateDXF})
		out.Findings = append(out.Findings, sheet.CheckPlate(p.Name, plate)...)
	}
	cut := make([]sheet.Sheet, len(all))
	for i, f := range all {
		cut[i] = f.sheet
	}
	out.Findings = append(out.Findings, sheet.Webs(p.Name, cut...)...)
	if in.Frame {
		walls := sheet.Frame(ctx, p, in.Sheet)
		all = append(all, written{walls, result.SheetFrame, result.FrameDXF})
		out.Findings = append(out.Findings, sheet.CheckFrame(p)...)
		out.Pieces = sheet.FramePieces(ctx, p, in.Sheet)
	}
	for _, f := range all {
		out.sheet(ctx, p.Name, f.sheet, f.svg, f.dxf)
		out.Sheets = append(out.Sheets, f.sheet)
	}
	out.add(p.Name, result.SheetsSVG, sheet.Preview(ctx, p.Name+": its sheets", out.Sheets...))
	return out
}}

// draftIn is a panel, where it lies in its drawing included, and how the project reads that drawing.
type draftIn struct {
	Panel panel.Panel
	Usual string // kind of the LEDs
	Read  read.Options
}

// drafting draws a panel whose LEDs were placed as CAD takes it, in the drawing's own frame: on the layers that the project names, so
// that it can take the drawing's place, and the LEDs where its rules make them of the kind that was placed. It is read back for that.
var drafting = stage[draftIn, filesOut]{"drawing for CAD", func(ctx context.Context, in draftIn) (out filesOut) {
	on := map[panel.Role]string{}
	for role, names := range in.Read.Layers {
		first, _, _ := strings.Cut(names, ",")
		on[role] = strings.TrimSpace(first)
	}
	layers := []string{cmp.Or(on[panel.RoleLED], string(panel.RoleLED))}
	for _, r := range in.Read.LEDs.Rules {
		if r.Rule.Kind == read.ByLayer && strings.EqualFold(r.Kind, in.Usual) {
			layers = append(layers, r.Rule.Layer)
		}
	}
	var first []byte
	wrong := ""
	for _, layer := range layers {
		on[panel.RoleLED] = layer
		data, err := dxf.Write(draft.On(on, in.Panel), dxf.Options{})
		if err != nil {
			out.Findings.Add(diag.Error, "leds-drawing", "the drawing of the LEDs cannot be written: %v", err).Of(in.Panel.Name).Ours()
			return out
		}
		if other := in.misread(ctx, data); other == "" || ctx.Err() != nil {
			out.add(in.Panel.Name, result.PanelLEDs, data)
			return out
		} else if first == nil {
			first, wrong = data, other
		}
	}
	out.add(in.Panel.Name, result.PanelLEDs, first)
	out.Findings.Add(diag.Warning, "led-place-kinds", "in the place of the drawing %s would have other LEDs than were placed: by the rules of led they are %s, not %s",
		result.PanelLEDs.Of(in.Panel.Name), wrong, in.Usual).Of(in.Panel.Name).About(diag.PanelKey(in.Panel.Name, "led"), "defaults.led").
		Fix("tell the kinds by layer, as {rule: layer RED, kind: red-3mm}, and the rest as {rule: rest, kind: %s}", in.Usual)
	return out
}}

// misread returns the kind that the project's rules give to LEDs of the written drawing where it is not the one that was placed;
// empty where all are as they were placed, or where no kinds are told.
func (in draftIn) misread(ctx context.Context, data []byte) string {
	if len(in.Read.LEDs.Rules) == 0 {
		return ""
	}
	d, _ := dxf.Read(ctx, data, in.Panel.Drawing)
	panels, _ := read.Panels(ctx, d, in.Read)
	for _, p := range panels {
		if p.Origin != in.Panel.Origin {
			continue
		}
		if len(p.LEDs) != len(in.Panel.LEDs) {
			return fmt.Sprintf("%d of %d", len(p.LEDs), len(in.Panel.LEDs))
		}
		for _, h := range p.LEDs {
			if h.Kind != "" && !strings.EqualFold(h.Kind, in.Usual) {
				return h.Kind
			}
		}
		return ""
	}
	return "none"
}

type drawIn struct {
	Name  string
	Board memo.Kept[boardOut]
	Mask  string // colour of its soldermask
	Print picture.Print
}

// drawing draws the board for people.
var drawing = stage[drawIn, filesOut]{"pictures", func(ctx context.Context, in drawIn) (out filesOut) {
	b := in.Board.Value.Board
	for _, f := range []struct {
		name result.Name
		draw func() []byte
	}{
		{result.BoardTop, func() []byte { return picture.Top(ctx, b, in.Mask) }},
		{result.BoardBottom, func() []byte { return picture.Bottom(ctx, b, in.Mask) }},
		{result.AssemblySVG, func() []byte { return picture.Assembly(ctx, b) }},
		{result.AssemblyPDF, func() []byte { return picture.AssemblyPDF(ctx, b, in.Print) }},
	} {
		if ctx.Err() != nil {
			break
		}
		out.add(in.Name, f.name, f.draw())
	}
	return out
}}

// serviceIn is a board and its strings, voltages and currents as they are told.
type serviceIn struct {
	Name    string
	Board   memo.Kept[boardOut]
	Strings []picture.Strung
}

// serving draws the map to find a fault by.
var serving = stage[serviceIn, filesOut]{"service map", func(ctx context.Context, in serviceIn) (out filesOut) {
	out.add(in.Name, result.ServiceSVG, picture.Service(ctx, in.Board.Value.Board, in.Strings))
	return out
}}

// strung returns a board's strings as the service map tells them.
func strung(w led.Wiring, c led.Circuit) []picture.Strung {
	tenth := func(v part.Volt) part.Volt { return part.Volt(math.Round(float64(v)*10) / 10) }
	supply, nodes := tenth(volts(c, w.Panel)), c.Source.Nodes(w)
	var out []picture.Strung
	for i, s := range w.Strings {
		r := w.Resistors[s.Resistor]
		one := picture.Strung{Resistor: r.Ref, Ohms: r.Ohms.Code(), Amps: part.Amp(math.Round(float64(s.Nominal)*1e4) / 1e4), Supply: supply}
		for k, d := range s.LEDs {
			one.LEDs = append(one.LEDs, picture.Tapped{Ref: w.LEDs[d].Ref, Anode: tenth(nodes[i][k])})
		}
		if w.Grouped() {
			one.Group = w.Groups[w.FedBy(led.StringID(i))].Name
		}
		out = append(out, one)
	}
	return out
}

type templateIn struct {
	Of     engraved
	Boards []memo.Kept[boardOut]
	Side   memo.Kept[sideOut]
	Print  picture.Print
}

// templating draws the panel with its boards behind it.
var templating = stage[templateIn, filesOut]{"template", func(ctx context.Context, in templateIn) (out filesOut) {
	var boards []board.Board
	for _, b := range in.Boards {
		boards = append(boards, b.Value.Board)
	}
	out.add(in.Of.Panel.Name, result.PanelPDF, picture.PanelPDF(ctx, in.Of.Panel, in.Of.areas(), boards, in.Print, in.Side.Value.View))
	return out
}}

type glowIn struct {
	Of   engraved
	Lit  memo.Kept[lightOut]
	Pale float64 // share of the daylight that comes back out of the lettering
}

// glowIn is the panel with its light, and what its unlit lettering sends back: what the diffuser does, twice through the face.
func (s *session) glowIn(of engraved, lit memo.Kept[lightOut]) glowIn {
	st := s.project.Stack
	return glowIn{of, lit, st.FaceTransmission * st.FaceTransmission * max(0, 1-st.Transmission-st.Absorption)}
}

// glow shows the panel lit.
var glow = stage[glowIn, filesOut]{"glow", func(ctx context.Context, in glowIn) (out filesOut) {
	out.add(in.Of.Panel.Name, result.GlowPNG, picture.Glow(ctx, in.Of.Panel, in.Of.areas(), in.Lit.Value.Field))
	out.add(in.Of.Panel.Name, result.DayPNG, picture.Day(ctx, in.Of.Panel, in.Of.areas(), in.Lit.Value.Field, in.Pale))
	out.add(in.Of.Panel.Name, result.GlowMap, picture.GlowMap(ctx, in.Of.Panel, in.Of.areas(), in.Lit.Value.Field))
	return out
}}

type listIn struct {
	Name   string
	Board  memo.Kept[boardOut]
	Wiring led.Wiring
	Idle   []string // connectors that no wire leads to
}

// listing lists the parts.
var listing = stage[listIn, filesOut]{"lists", func(_ context.Context, in listIn) (out filesOut) {
	b := in.Board.Value.Board
	out.add(in.Name, result.PanelParts, parts.Parts(parts.Item{Board: b, Wiring: in.Wiring, Idle: in.Idle}).CSV())
	out.add(in.Name, result.PlacementCSV, parts.Placement(b).CSV())
	return out
}}

type readBackIn struct {
	Pack    memo.Kept[filesOut]
	Lowered memo.Kept[lowerOut]
	Rules   board.Rules
	Less    []board.Less // where they gave way
	Wiring  led.Wiring
	Stencil geom.Nm
}

type readBackOut struct {
	says
	Paste stencil.Figures
}

// readingBack reads the pack back from its own bytes and judges what was written, not what was meant.
var readingBack = stage[readBackIn, readBackOut]{"read back", func(ctx context.Context, in readBackIn) readBackOut {
	art := in.Lowered.Value.Art
	var l diag.List
	var raised board.Board
	var pack readback.Pack
	whole := work.Until(ctx, func(w *work.Watch) {
		if pack, l = readBack(ctx, w, art, fabOf(in.Pack.Value.Files)); !l.HasErrors() {
			var more diag.List
			raised, more = readback.Raise(ctx, pack, in.Rules)
			l = append(l, more...)
			raised.Less = in.Less
		}
	})
	if l = ownPack(l, art.Name); l.HasErrors() || !whole {
		return readBackOut{says: says{l}}
	}
	for _, f := range check.Audit(ctx, raised, in.Wiring) {
		// The board itself was judged before; here only its errors would be news.
		if f.Severity == diag.Error {
			f.Text = "read back from the pack: " + f.Text
			l = append(l, f)
		}
	}
	paste, told := stencil.Judge(pack.Artwork, raised, in.Stencil)
	return readBackOut{says{append(l, told...)}, paste}
}}

// write writes the files of a panel and its proven boards, side by side, and judges them.
func (w *way) write(b *Built, c led.Circuit) {
	s, print := w.s, picture.Print{Version: w.s.set.Version, Revision: w.s.project.Revision, Date: w.s.date()}
	whole, fault, ok := s.engraved(b.Panel)
	if !ok {
		if fault != nil {
			w.found, w.stopped = append(w.found, *fault), engraving.name
		}
		return
	}
	into := func(l *[]bundle.File) func(filesOut) {
		return func(o filesOut) { *l = append(*l, o.Files...) }
	}
	var branches []branch
	var proven []memo.Kept[boardOut]
	var names []string
	for k := range b.Boards {
		m := &b.Boards[k]
		proven, names = append(proven, m.proven), append(names, m.Name())
		branches = append(branches, branch{m.Name(), func(w *way) {
			var ok bool
			if m.lowered, ok = through(w, lowering, lowerIn{m.proven, w.name}, func(o lowerOut) { m.Travel = o.Travel }); !ok {
				return
			}
			all := []branch{
				branch{w.name, func(w *way) {
					if packed, ok := through(w, packing, packIn{m.lowered, m.proven, s.meta(), s.readme(m.Wiring, c)}, into(&m.pack)); ok {
						through(w, readingBack, readBackIn{packed, m.lowered, m.Board.Rules, m.Board.Less, m.made, s.project.Stencil}, func(o readBackOut) { m.Paste = o.Paste })
					}
				}},
				branch{w.name, func(w *way) {
					through(w, listing, listIn{w.name, m.proven, partsOf(m.Wiring), parts.Idle(m.Wiring, wires.Cuts(c, nowhere))}, into(&m.lists))
				}},
			}
			if !s.set.Later {
				all = append(all,
					branch{w.name, func(w *way) { through(w, drawing, drawIn{w.name, m.proven, s.project.Mask, print}, into(&m.pictures)) }},
					branch{w.name, func(w *way) {
						through(w, boardSolid, s.boardSolidIn(b.Panel.Name, w.name, m.proven, m.Wiring), func(o solidOut) { m.solid = o.Files })
					}},
					branch{w.name, func(w *way) {
						through(w, serving, serviceIn{w.name, m.proven, strung(m.Wiring, c)}, into(&m.service))
					}},
				)
			}
			w.parted(all...)
		}})
	}
	if slices.ContainsFunc(b.Panel.LEDs, func(h panel.Hole) bool { return h.Placed }) {
		drawn := whole.Panel
		drawn.Origin = b.Panel.Origin
		branches = append(branches, branch{w.name, func(w *way) {
			w.again = true // few panels go this way: it is no part of the progress
			through(w, drafting, s.draftIn(b.Panel, drawn), into(&b.drafted))
		}})
	}
	branches = append(branches,
		branch{w.name, func(w *way) {
			held, ok := through(w, fastening, s.fastenIn(b.Panel, proven, whole.Lettering), func(o fastenOut) { b.fastened = o })
			if !ok {
				return
			}
			built := s.risingIn(b.Panel, proven, held.Value.Mounts)
			if b.risen, ok = through(w, rising, built, func(risingOut) {}); !ok {
				return
			}
			slots := held.Value.Slots
			if s.mounting(b.Panel.Name).Spacer > 0 {
				w.parted(w.spacers(b, slots)...)
			}
			cut := whole
			cut.Panel.Slots = slots
			in := s.cutIn(b.Panel.Name, cut)
			in.Sheet.Relief = b.risen.Value.relief()
			if b.cut, ok = through(w, cutting, in, func(o cutOut) { b.sheets = append(b.sheets, o.Files...) }); !ok {
				return
			}
			side := s.sideIn(b, names, built, slots)
			seen, ok := through(w, siding, side, func(o sideOut) { b.side, b.sideways = o.Files, o })
			if !ok || s.set.Later {
				return
			}
			if _, ok = through(w, templating, templateIn{cut, proven, seen, print}, into(&b.template)); ok {
				b.solid, _ = through(w, panelSolid, s.panelSolidIn(b, cut, side), func(solidOut) {})
			}
		}},
	)
	if !b.Unlit && !s.set.Later {
		branches = append(branches, branch{w.name, func(w *way) { through(w, glow, w.s.glowIn(whole, b.lit), into(&b.lights)) }})
	}
	w.parted(branches...)
}

// spacers write the spacer sheet of each board.
func (w *way) spacers(b *Built, slots []panel.Slot) (out []branch) {
	for k := range b.Boards {
		m := &b.Boards[k]
		out = append(out, branch{m.Part.Name, func(w *way) { // not Name, which copies all of it while its files are being written
			w.again = true // few boards have one: it is no part of the progress
			through(w, spacing, w.s.spacerIn(b.Panel, m.proven, slots), func(o cutOut) { m.spacers, m.spacer = o.Files, o.Sheets })
		}})
	}
	return out
}

// draftIn is a panel of the console as it is to be drawn.
func (s *session) draftIn(of, drawn panel.Panel) draftIn {
	i, ok := s.drawn(of)
	if !ok {
		return draftIn{Panel: drawn}
	}
	e := s.drawings[i].Entry
	return draftIn{drawn, settings(s.project, e, Request(s.project, nil).Defaults).Kind.Name, Options(s.project, e)}
}

func (s *session) cutIn(name string, whole engraved) cutIn {
	return cutIn{whole, sheet.Options{Kerf: s.project.Kerf, Behind: s.mounting(name).PaintedBehind, Laser: s.project.Laser}, s.project.Plate > 0, s.mounting(name).Frame > 0}
}
