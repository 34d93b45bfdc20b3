package dxf

import (
	"fmt"
	"math"

	libblock "github.com/yofu/dxf/block"
	"github.com/yofu/dxf/color"
	"github.com/yofu/dxf/format"
	"github.com/yofu/dxf/handle"
	"github.com/yofu/dxf/object"
	"github.com/yofu/dxf/table"
)

const styleName = "STANDARD"

// tables returns the TABLES section, the record that owns what lies in model space, and the blocks.
func (w *writer) tables(d Drawing, plot *object.AcDbPlaceHolder) (table.Tables, handle.Handler, blockSection, error) {
	line := table.NewLineType("CONTINUOUS", "Solid line")
	lines := table.NewTable("LTYPE")
	if w.release != R12 {
		lines.Add(table.NewLineType("ByBlock", ""))
		lines.Add(table.NewLineType("ByLayer", ""))
	}
	lines.Add(line)
	for _, t := range w.usedDashes(d) {
		made := table.NewLineType(t.name, "")
		lengths := make([]float64, len(t.dashes))
		for i, v := range t.dashes {
			lengths[i] = w.unit(v)
		}
		made.SetLength(lengths)
		lines.Add(made)
	}

	layers := table.NewTable("LAYER")
	zero := table.NewLayer("0", color.White, line)
	zero.SetPlotStyle(plot)
	for _, l := range w.writtenLayers(d) {
		name, _ := w.layers.of(l.Name)
		made := &layer{table.NewLayer(name, colourOf(l), line), l.Off, weightOf(l.Width)}
		made.SetPlotStyle(plot)
		if l.Frozen {
			made.Freeze()
		}
		layers.Add(made)
	}

	styles := table.NewTable("STYLE")
	w.fonts = fontsOf(d)
	if _, usual := w.fonts.of[""]; !usual {
		w.fonts.names = append([]string{""}, w.fonts.names...) // the first in order
	}
	for _, name := range w.fonts.names {
		font := w.fonts.of[name]
		style := table.NewStyle(w.named(name))
		if style.FontName, style.LastHeightUsed = "txt", w.unit(2.5); font.File != "" {
			style.FontName = w.words(font.File)
		}
		font.Family = w.words(font.Family)
		styles.Add(&textStyle{style, font, w.release != R12})
	}

	records := table.NewTable("BLOCK_RECORD")
	model := table.NewBlockRecord("*Model_Space")
	var blocks blockSection
	add := func(name string, record *table.BlockRecord) *blockOf {
		records.Add(record)
		made := libblock.NewBlock(name, "")
		made.SetLayer(zero)
		blocks = append(blocks, blockOf{Block: made, record: record})
		return &blocks[len(blocks)-1]
	}
	if w.release != R12 {
		add("*Model_Space", model)
		add("*Paper_Space", table.NewBlockRecord("*Paper_Space"))
	}
	for _, b := range d.Blocks {
		name, fresh := w.blocks.of(b.Name)
		if !fresh {
			return nil, nil, nil, fmt.Errorf("two blocks are named %s", b.Name)
		}
		record := table.NewBlockRecord(name)
		things, err := w.things(b.Entities, record)
		if err != nil {
			return nil, nil, nil, fmt.Errorf("in block %s: %w", b.Name, err)
		}
		add(name, record).things = things
	}
	if w.release == R12 {
		return table.Tables{lines, layers, styles}, model, blocks, nil
	}
	apps := table.NewTable("APPID")
	apps.Add(table.NewAppID("ACAD"))
	return table.Tables{table.NewTable("VPORT"), lines, layers, styles, table.NewTable("VIEW"), table.NewTable("UCS"), apps,
		table.NewTable("DIMSTYLE"), records}, model, blocks, nil
}

// usedDashes lists the line types that the drawing's things need.
func (w *writer) usedDashes(d Drawing) []lineType {
	add := func(all []Entity) {
		for i := range all {
			if p := all[i].Pen; p != nil && p.Dashes != nil {
				w.dashed.of(p.Dashes)
			}
		}
	}
	add(d.Entities)
	for _, b := range d.Blocks {
		add(b.Entities)
	}
	return w.dashed.types
}

// writtenLayers lists layer 0, the layers of the drawing's table and those of its things, each once whatever its case.
func (w *writer) writtenLayers(d Drawing) []Layer {
	var out []Layer
	add := func(l Layer) {
		if _, fresh := w.layers.of(l.Name); fresh {
			out = append(out, l)
		}
	}
	for _, l := range d.Layers {
		if l.Name == "0" {
			add(l) // with its colour
		}
	}
	add(Layer{Name: "0"})
	for _, l := range d.Layers {
		add(l)
	}
	for i := range d.Entities {
		add(Layer{Name: d.Entities[i].Layer})
	}
	for _, b := range d.Blocks {
		for i := range b.Entities {
			add(Layer{Name: b.Entities[i].Layer})
		}
	}
	return out
}

// layer is the library's, and what its cannot be: switched off, or of the thinnest line.
type layer struct {
	*table.Layer
	off    bool
	weight int
}

// Format writes the record (DXF Reference, LAYER: a colour below 0 says off, 370 is the line's width).
func (l *layer) Format(f format.Formatter) { l.Layer.Format(layerGroups{f, l}) }

type layerGroups struct {
	format.Formatter
	of *layer
}

// WriteInt writes a whole number.
func (g layerGroups) WriteInt(code, v int) {
	switch {
	case code == 62 && g.of.off:
		v = -v
	case code == 370:
		v = g.of.weight
	}
	g.Formatter.WriteInt(code, v)
}

// colourOf returns the layer's colour. White is drawn in the colour that shows: where none is given, it is for the user to give.
func colourOf(l Layer) color.ColorNumber {
	if l.Colour == 0 {
		return color.White
	}
	return color.ColorNumber(l.Colour)
}

// weightOf returns the width of line nearest to one in mm among those that DXF has, in hundredths of a millimetre (DXF
// Reference, "Lineweights"); -3 is CAD's default.
func weightOf(mm float64) int {
	if !(mm > 0) {
		return -3
	}
	best := 0
	for _, v := range [...]int{5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211} {
		if math.Abs(float64(v)-mm*100) < math.Abs(float64(best)-mm*100) {
			best = v
		}
	}
	return best
}
