// Package read turns drawings into panels.
//
// It is a line of steps, each of which takes values of those before it and returns its own, with what it tells:
//
//	shapes   inUnit, layersOf, sorted   the drawing's entities by what their layers are for
//	loops    joinedUp, layered             lines and arcs put together to closed loops, in float64 millimetres
//	sheets   outlines, stacked, titled  each outermost outline is a panel, or one of its sheets
//	roles    cast                       what each loop in an outline is: by its layer, by the project's rules, by evidence
//	panels   dealt, built               everything goes to the panel that it lies in; coordinates move to the panel's
//	                                    frame and are rounded once; arcs stay arcs
//
// Where neither layers nor rules say anything of a thing, shapes, sizes and places decide; every guess is told, and
// Survey proposes the rules that say the same.
//
// Told as errors: no outline or an open one, edges that cross themselves, LED holes outside the panel or over an
// edge, opening, mount or each other, shapes on the LED layer that are not round, panels over 1 m. Findings are in the
// drawing's frame, in mm.
//
// Lines that cross without an end near the crossing are divided there only where nothing closes otherwise, as in an
// outline whose sides were drawn too long: elsewhere crossing lines are more likely centre lines.
package read

import (
	"context"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Options is how a drawing is to be read. The zero value is the default.
type Options struct {
	Name   string                // of the panel; empty: the drawing's file name. Several outlines get it with a number
	Layers map[panel.Role]string // the drawing's layers for a role (comma between several), where they are not the role's own name
	Rules  []Rule                // what else says which thing has which role: by shape, by layer or both
	Answer Answer                // what is answered: Report.Proposal says that and, of all else, what was said or guessed before
	Unit   string                // overrides the drawing's unit: "mm", "inch" ...; empty: as the drawing says
	Join   geom.Nm               // greatest gap that is closed with a note; 0: DefaultJoin
	Sheets Sheets                // whether outlines of one size are sheets of one panel
	At     *dxf.XY               // of several outlines, only the one round this point (drawing frame, mm)
	Room   []RoomRule            // what is kept free behind openings; those that none takes have what common parts want
	LEDs   LEDKinds              // of which kind each LED is
	Sits   Sits                  // what sits in openings
	Places bool                  // the project says what LEDs a panel gets of which none are drawn
}

// RoomRule says how far beyond an opening's edge space is kept free behind it. Of several rules the nearest fit counts, as for
// roles.
type RoomRule struct {
	Rule   Rule // of panel.RoleOpening
	All    bool // it is for all openings, and there is no Rule
	Shared bool // it holds for other panels too, of which one may have such an opening
	Beyond geom.Nm
}

// DefaultJoin is the greatest gap between two ends that is closed (and told) unless Options.Join says otherwise.
const DefaultJoin = 100 * geom.Micrometre

// MaxJoin bounds Options.Join: beyond 4 mm, less than the width of a small slot, ends of different things would be joined.
const MaxJoin = 4 * geom.Millimetre

// tolerance is the greatest gap that is closed, mm.
func (o Options) tolerance() float64 {
	join := o.Join
	if join == 0 {
		join = DefaultJoin
	}
	return min(max(join, 0), MaxJoin).MM()
}

// Panels turns a drawing into panels, one for each outline, from left to right. They are returned even when findings are
// errors, as far as they can be told, so that a survey can show them; build none that has one. Once ctx is done what it
// returns means nothing.
func Panels(ctx context.Context, d dxf.Drawing, opt Options) ([]panel.Panel, diag.List) {
	var r reading
	work.Until(ctx, func(w *work.Watch) { r = interpreted(w, d, opt) })
	return r.panels, r.findings
}

// reading is what the steps make of a drawing.
type reading struct {
	drawing  dxf.Drawing // in the unit that was asked for
	layers   layers
	things   things
	lines    lines
	nearly   []nearly
	sheets   []sheet
	stack    stack
	proposal []Proposed
	panels   []panel.Panel
	findings diag.List
}

// interpreted takes all steps in turn.
func interpreted(w *work.Watch, d dxf.Drawing, opt Options) reading {
	var r reading
	var said, told findings
	tol := opt.tolerance()
	r.drawing, said = inUnit(d, opt.Unit)
	r.layers, told = layersOf(&r.drawing, opt)
	said.join(told)
	r.things, told = sorted(w, &r.drawing, r.layers)
	said.join(told)
	if len(d.Entities) == 0 { // dxf.Read has told why
		r.findings = said.in(d.Name, baseName(&d, opt))
		return r
	}
	r.lines, told = joinedUp(w, r.things, r.layers, opt)
	said.join(told)
	r.sheets, r.lines, told = outlines(w, r.lines, r.things, r.layers, &r.drawing, opt, said.list.HasErrors())
	said.join(told)
	if len(r.sheets) == 0 { // without an outline, the unit is nobody's question
		said = said.without("dxf-units-assumed")
	}
	r.sheets, r.lines, r.things, r.stack, told = stacked(w, r.sheets, r.lines, r.things, opt)
	said.join(told)
	opt.At = r.stack.at(opt.At)
	r.sheets, told = titled(r.sheets, r.things, &r.drawing, opt)
	said.join(told)
	said.join(overlapping(r.sheets))
	var texts []*dxf.Entity
	var taught lesson
	r.lines, texts, taught, told = cast(w, r.sheets, r.lines, r.things, r.layers, opt)
	said.join(told)
	said.join(branches(r.lines, r.sheets))
	r.nearly, told = toldNearly(r.lines, r.sheets)
	said.join(told)
	r.sheets, told = dealt(w, r.sheets, r.lines, texts, r.things, tol)
	said.join(told)
	r.sheets = withUnclosed(r.sheets, r.nearly)
	r.sheets = slices.DeleteFunc(r.sheets, func(s sheet) bool { return s.name == elsewhere })
	for i := range r.sheets {
		p, ok, told := built(w, &r.sheets[i], &r.drawing, r.layers.none, opt)
		said.join(told)
		if ok {
			r.panels = append(r.panels, p)
		}
	}
	said.join(unused(r.things, r.lines, r.nearly, r.sheets, texts, r.layers, opt))
	r.proposal = taught.proposal(w)
	if len(r.layers.rules) == 0 {
		taught.complete(w, said)
	}
	if len(opt.Answer.Rules) > 0 {
		r.proposal = taught.answered(w, opt.Answer, nil)
	}
	r.findings = said.in(d.Name, baseName(&d, opt))
	return r
}
