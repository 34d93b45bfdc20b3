package lettering

import (
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Engraving is the lettering of a panel as areas, made once for all who draw, cut or light it. In a drawing full of lettering
// the areas take longer to make than what is made of them.
type Engraving struct {
	Texts, Symbols []geom.Region // by the panel's texts and symbols
	Letters        [][]Character // of each text
	Stems          []geom.Nm     // width of the thinnest stem of each text; 0: its letters are lines
	Lacking        [][]Missed    // letters of each text that its face lacks
	Stroke         geom.Nm       // width of lines
}

// Missed is a letter that a face lacks.
type Missed struct {
	Rune       rune
	Word, Face string
}

// Engraved returns the panel's lettering as areas in the faces that it asks for, drawn lines stroke wide.
func Engraved(w *work.Watch, p panel.Panel, f *Faces, stroke geom.Nm) *Engraving {
	n := len(p.Lettering)
	e := &Engraving{Texts: make([]geom.Region, n), Symbols: make([]geom.Region, len(p.Symbols)),
		Letters: make([][]Character, n), Stems: make([]geom.Nm, n), Lacking: make([][]Missed, n), Stroke: stroke}
	for i, t := range p.Lettering {
		w.Look()
		e.Letters[i] = f.Characters(t)
		for _, c := range e.Letters[i] {
			e.Texts[i] = append(e.Texts[i], c.Region...)
		}
		e.Stems[i], _ = f.Stem(t)
		for _, l := range f.Missing(t) {
			e.Lacking[i] = append(e.Lacking[i], Missed{l.Rune, l.Word, l.Face.Name()})
		}
	}
	for i, s := range p.Symbols {
		w.Look()
		e.Symbols[i] = SymbolRegion(s, stroke)
	}
	return e
}

// Or returns e, or where it is nil the panel's engraving in the plain face, made here with lines of Stroke.
func (e *Engraving) Or(w *work.Watch, p panel.Panel) *Engraving {
	if e != nil {
		return e
	}
	return Engraved(w, p, nil, Stroke)
}
