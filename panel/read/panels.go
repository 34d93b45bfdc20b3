// Package read turns drawings into panels.
//
// Method: layers give roles by name or by the project's mapping, and its rules by shape (rule.go, ruled.go); without any
// of these, shapes and sizes decide (guess.go), every guess is told, and Survey proposes the rules that say the same
// (propose.go). Pieces are joined to loops in the drawing's float64 millimetres (join.go,
// split.go, trace.go); each outermost loop of the outline layer is a panel, and everything else belongs to the panel
// it lies in (deal.go). Then coordinates are moved to the panel's frame and rounded once (build.go). Arcs stay arcs.
//
// Told as errors: no outline or an open one, edges that cross themselves, LED holes outside the panel or over an
// edge, opening, mount or each other, shapes on the LED layer that are not round, panels over 1 m. Findings are in the
// drawing's frame, in mm.
//
// Lines that cross without an end near the crossing are divided there only where nothing closes otherwise, as in an
// outline whose sides were drawn too long: elsewhere crossing lines are more likely centre lines.
package read

import (
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// Options is how a drawing is to be read. The zero value is the default.
type Options struct {
	Name   string                // of the panel; empty: the drawing's file name. Several outlines get it with a number
	Layers map[panel.Role]string // the drawing's layers for a role (comma between several), where they are not the role's own name
	Rules  []Rule                // what else says which thing has which role: by shape, by layer or both
	Unit   string                // overrides the drawing's unit: "mm", "inch" ...; empty: as the drawing says
	Join   geom.Nm               // greatest gap that is closed with a note; 0: DefaultJoin
	At     *dxf.XY               // of several outlines, only the one round this point (drawing frame, mm)
}

// DefaultJoin is the greatest gap between two ends that is closed (and told) unless Options.Join says otherwise.
const DefaultJoin = 100 * geom.Micrometre

// MaxJoin bounds Options.Join: beyond 2 mm, ends of different things would be joined.
const MaxJoin = 2 * geom.Millimetre

// Panels turns a drawing into panels, one for each outline, from left to right. They are returned even when findings are errors, as far as they can be told, so that a survey can
// show them; build none that has one.
func Panels(d dxf.Drawing, opt Options) ([]panel.Panel, diag.List) {
	r := newReader(d, opt)
	return r.panels(), r.diags
}

// reader holds a drawing while it is interpreted.
type reader struct {
	d     dxf.Drawing
	opt   Options
	tol   float64 // mm
	diags diag.List
	said  map[string]int // findings by code
	spare diag.Finding   // takes what is over the limit

	role      map[string]panel.Role    // by lower-case layer
	guessing  bool                     // no layer has a role: decide by shape
	shaped    []Rule                   // the rules that go by shape
	pool      map[string][]*dxf.Entity // what they sort: by lower-case layer that a rule names, "" for all others
	poolOrder []string
	left      joined        // of it, what no rule takes
	fills     []*dxf.Entity // filled areas that are no lettering
	proposal  []Proposed
	framed    bool // the largest line was taken for the frame of the drawing's sheet
	looks     int  // comparisons made for advice
	byRole    map[panel.Role][]*dxf.Entity
	writing   []*dxf.Entity // texts that are no lettering
	other     []*dxf.Entity // things without a role
	used      map[panel.Role]joined

	sheets []*sheet
}

// sheet is one outline and what lies in it, still in the drawing's frame.
type sheet struct {
	name     string
	outline  loop
	leds     []loop
	mounts   []loop
	slots    []loop
	openings []loop
	bodies   []loop
	boards   []loop
	texts    []*dxf.Entity
	closed   []loop  // lettering drawn as closed shapes
	lines    []piece // and as open lines
}

func newReader(d dxf.Drawing, opt Options) *reader {
	r := &reader{d: d, opt: opt, said: map[string]int{}, byRole: map[panel.Role][]*dxf.Entity{}, pool: map[string][]*dxf.Entity{}, used: map[panel.Role]joined{}}
	join := opt.Join
	if join == 0 {
		join = DefaultJoin
	}
	r.tol = min(max(join, 0), MaxJoin).MM()
	r.units()
	r.roles()
	return r
}

// add adds a finding about an entity.
func (r *reader) add(sev diag.Severity, code string, e *dxf.Entity, format string, args ...any) *diag.Finding {
	if r.said[code]++; r.said[code] > maxSame {
		r.spare = diag.Finding{}
		return &r.spare
	}
	f := r.diags.Add(sev, code, format, args...)
	f.Place = r.place(e)
	return f
}

// maxSame bounds the findings of one code in a drawing; the rest are counted.
const maxSame = 50

// rest tells how many findings were over the limit.
func (r *reader) rest() {
	for _, code := range slices.Sorted(maps.Keys(r.said)) {
		n := r.said[code] - maxSame
		if n <= 0 {
			continue
		}
		sev := diag.Note
		for _, f := range r.diags {
			if f.Code == code {
				sev = max(sev, f.Severity)
			}
		}
		r.diags.Add(sev, code, "and %d more of the same kind", n).In(r.d.Name, 0).Fix("mend the first ones and look again")
	}
}

func (r *reader) place(e *dxf.Entity) diag.Place {
	p := diag.Place{File: r.d.Name}
	if e != nil {
		p.Line, p.Layer, p.Handle = e.Line, e.Layer, strings.Clone(e.Handle)
		if at, ok := where(e); ok {
			p.At = &diag.Point{X: at.X, Y: at.Y}
		}
	}
	return p
}

// where returns a point of the entity.
func where(e *dxf.Entity) (dxf.XY, bool) {
	if e.Text != nil {
		return e.Text.At, true
	}
	if len(e.Path.Vertices) == 0 {
		return dxf.XY{}, false
	}
	if c, _, ok := circular(e.Path); ok && e.Path.Closed {
		return c, true
	}
	return e.Path.Vertices[0].XY, true
}

// units applies the user's unit and tells an assumed one.
func (r *reader) units() {
	u := r.d.Units
	if r.opt.Unit != "" {
		want, ok := dxf.UnitNamed(r.opt.Unit)
		if !ok {
			r.add(diag.Error, "panel-unknown-unit", nil, "there is no unit %q", r.opt.Unit).
				Fix("use mm, cm, m, inch, mil or another unit of the DXF format")
			return
		}
		if want.MMPerUnit != u.MMPerUnit && u.MMPerUnit > 0 {
			r.d = r.d.Scaled(want.MMPerUnit / u.MMPerUnit)
			r.add(diag.Note, "panel-unit-override", nil, "the drawing is read in %s as the project says, not in %s", want.Name, u.Name)
		}
		want.Code = u.Code
		r.d.Units = want
		return
	}
	if u.Assumed && len(r.d.Entities) > 0 {
		b := r.d.Extents()
		f := r.add(diag.Warning, "dxf-units-assumed", nil, "%s (%.4g x %.4g mm in all)", u.Why, b.W(), b.H())
		f.Fix("if that is wrong, state the unit in the project file (units: inch), or set it in the CAD program and export again")
	}
}

// panels finds the outlines, deals everything out to them and makes the panels.
func (r *reader) panels() []panel.Panel {
	if len(r.d.Entities) == 0 {
		return nil // dxf.Read has told why
	}
	if r.guessing {
		r.guess()
	} else {
		r.named()
	}
	picked := r.pick()
	r.names(picked)
	r.deal()
	r.keepOnly(picked)
	r.proposeRest()
	var out []panel.Panel
	for _, s := range r.sheets {
		if p, ok := r.panel(s); ok {
			out = append(out, p)
		}
	}
	r.ignored()
	r.rest()
	return out
}

// pick returns the outline that Options.At names; nil without one.
func (r *reader) pick() *sheet {
	if r.opt.At == nil || len(r.sheets) == 0 {
		return nil
	}
	var best *sheet
	for _, s := range r.sheets {
		if s.outline.holds(*r.opt.At) && (best == nil || s.outline.area < best.outline.area) {
			best = s
		}
	}
	if best == nil {
		r.add(diag.Error, "panel-no-outline", nil, "no outline lies round (%s, %s)", mm(r.opt.At.X), mm(r.opt.At.Y)).
			At(r.opt.At.X, r.opt.At.Y).Fix("name a point within the panel, in the drawing's coordinates in mm")
		r.sheets = nil
	}
	return best
}

// elsewhere is the name of sheets that were not picked, while things are dealt out to them all the same.
const elsewhere = "\x00"

// keepOnly drops the other sheets and what was found about them.
func (r *reader) keepOnly(picked *sheet) {
	if picked == nil {
		return
	}
	r.sheets = []*sheet{picked}
	r.diags = slices.DeleteFunc(r.diags, func(f diag.Finding) bool { return f.Panel == elsewhere })
}

// base returns the name without outlines: the option's, or the file's.
func (r *reader) base() string {
	if r.opt.Name != "" {
		return r.opt.Name
	}
	f := filepath.Base(filepath.ToSlash(r.d.Name))
	if n := slug(strings.TrimSuffix(f, filepath.Ext(f))); n != "" {
		return n
	}
	return "panel"
}

// names names the sheets: one takes the base name; several the text that stands nearest outside (a caption), else the
// base name with a number.
func (r *reader) names(picked *sheet) {
	slices.SortStableFunc(r.sheets, func(a, b *sheet) int { return compareXY(a.outline.box.Min, b.outline.box.Min) })
	base := r.base()
	if picked != nil {
		for _, s := range r.sheets {
			s.name = elsewhere
		}
		picked.name = base
		return
	}
	if len(r.sheets) == 1 {
		r.sheets[0].name = base
		return
	}
	taken := map[string]bool{}
	captions := r.captions()
	for i, s := range r.sheets {
		name := captions[i]
		if name == "" || taken[name] {
			name = fmt.Sprintf("%s-%d", base, i+1)
		}
		for n := i + 1; taken[name]; n++ {
			name = fmt.Sprintf("%s-%d", base, n)
		}
		taken[name] = true
		s.name = name
	}
	if len(r.sheets) > 1 {
		var list []string
		for _, s := range r.sheets {
			list = append(list, fmt.Sprintf("%s at (%s, %s)", s.name, mm(s.outline.box.Min.X), mm(s.outline.box.Min.Y)))
		}
		r.add(diag.Note, "panel-several", r.sheets[0].outline.from, "the drawing holds %d outlines, each a panel: %s", len(r.sheets), some(list, 12))
	}
}

// captionReach is how far from its outline a caption may stand, mm: two lines of large writing.
const captionReach = 25.0

// captions returns, for each sheet, the text outside all outlines that is nearest to this one of all, as a name.
func (r *reader) captions() []string {
	out := make([]string, len(r.sheets))
	dist := make([]float64, len(r.sheets))
	texts := append(slices.Clone(r.writing), r.byRole[panel.RoleLettering]...)
	for _, e := range texts {
		if e.Text == nil || slug(e.Text.Text) == "" {
			continue
		}
		best, at := captionReach, -1
		for i, s := range r.sheets {
			if s.outline.holds(e.Text.At) {
				at = -1
				break
			}
			if d := s.outline.distance(e.Text.At); d < best {
				best, at = d, i
			}
		}
		if at >= 0 && (out[at] == "" || best < dist[at]) {
			out[at], dist[at] = slug(e.Text.Text), best
		}
	}
	return out
}

// slug makes a file name of a text: lower-case letters, digits and hyphens, at most 40.
func slug(s string) string {
	var b strings.Builder
	gap := false
	for _, c := range strings.ToLower(s) {
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' {
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(c)
		} else {
			gap = true
		}
		if b.Len() >= 40 {
			break
		}
	}
	return b.String()
}

// count writes a number with its noun: "1 circle", "3 circles".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// mm writes a length for people: four digits, large ones in full.
func mm(v float64) string {
	if math.Abs(v) >= 1000 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 4, 64)
}

// counted writes a number with a noun whose plural is its own.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// are is the verb to go with n things.
func are(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// some joins at most n names.
func some(names []string, n int) string {
	if len(names) > n {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:n], ", "), len(names)-n)
	}
	return strings.Join(names, ", ")
}
