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
}

// Engraved returns the panel's lettering as areas, drawn lines stroke wide.
func Engraved(w *work.Watch, p panel.Panel, stroke geom.Nm) *Engraving {
	e := &Engraving{make([]geom.Region, len(p.Lettering)), make([]geom.Region, len(p.Symbols))}
	for i, t := range p.Lettering {
		w.Look()
		e.Texts[i] = Outline(t)
	}
	for i, s := range p.Symbols {
		w.Look()
		e.Symbols[i] = SymbolRegion(s, stroke)
	}
	return e
}

// Or returns e, or where it is nil the panel's engraving, made here with lines of Stroke.
func (e *Engraving) Or(w *work.Watch, p panel.Panel) *Engraving {
	if e != nil {
		return e
	}
	return Engraved(w, p, Stroke)
}
