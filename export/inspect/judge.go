package inspect

import (
	"context"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Options say what a pack is judged against.
type Options struct {
	Rules board.Rules
	// Whole says that all of Rules are meant: those of a project. Else the limits that are nobody's but ours to choose, as
	// the room for screws, are left out.
	Whole bool
	Least board.Floors // of a project: what its limits may give way to at a place, which is a warning
}

// Verdict is what was found.
type Verdict struct {
	Found   diag.List
	Judged  []string // what was judged, in a builder's words
	Figures check.Figures
	Gap     geom.Nm // between nets, that the job file states; 0: none
}

// Judge judges a pack. Once ctx is done what it returns means nothing.
func Judge(ctx context.Context, files []readback.File, pack readback.Pack, opt Options) (v Verdict) {
	work.Until(ctx, func(w *work.Watch) {
		p := &inspector{ctx: ctx, w: w, files: files, pack: pack, rules: opt.Rules, whole: opt.Whole, least: opt.Least}
		p.own = ours(pack.Artwork)
		if !opt.Whole {
			p.rules.ScrewClear = 0 // ours to choose: see limits.txt
		}
		for _, d := range pack.Artwork.Drills {
			p.drilled += len(d.Hits) + len(d.Slots)
		}
		p.readJob()
		p.inner()
		p.frame()
		p.fitted = p.components()
		p.raise()
		for _, audit := range []func(){p.parts, p.ink, p.masks, p.paste, p.drills, p.points, p.edges, p.jobFile, p.readme, p.light, p.placement, p.bought} {
			w.Look()
			audit()
		}
		v = Verdict{Found: p.found, Judged: p.judged, Figures: p.figures, Gap: p.job.gap()}
	})
	return v
}

// inspector is a pack being judged.
type inspector struct {
	ctx   context.Context
	w     *work.Watch
	files []readback.File
	pack  readback.Pack
	rules board.Rules
	whole bool // Options
	least board.Floors
	own   bool // this program wrote it

	pads      []pad
	lands     []land
	holes     []hole
	padAt     readback.Grid // of pads
	landAt    readback.Grid
	holeAt    readback.Grid
	fiducials readback.Grid // of marks, taken out
	marks     []mark
	drilled   int    // holes of all files, the perforation of tabs included
	torn      []hole // the perforation, taken out
	tornAt    readback.Grid
	fitted    []component // of the component layers

	board   board.Board
	raised  bool
	job     *jobFile
	jobName string

	figures check.Figures
	judged  []string
	found   diag.List
}

// ours reports whether the layers say that this program wrote them.
func ours(a export.Artwork) bool {
	for _, l := range a.Layers {
		if v, ok := readback.Attribute(l.FileAttributes, ".GenerationSoftware"); ok {
			return len(v) > 0 && v[0] == "Lampblack"
		}
	}
	return false
}

func (p *inspector) fail(code, format string, args ...any) *diag.Finding {
	return p.found.Add(diag.Error, code, format, args...)
}

// doubt is an error in a pack of ours, where it cannot be meant, and a warning in others.
func (p *inspector) doubt(code, format string, args ...any) *diag.Finding {
	if p.own {
		return p.found.Add(diag.Error, code, format, args...)
	}
	return p.found.Add(diag.Warning, code, format, args...)
}

// cannot names what could not be judged.
func (p *inspector) cannot(what, why string) {
	p.found.Add(diag.Warning, "inspect-not-judged", "%s could not be judged: %s", what, why).
		Together("%d things could not be judged").Fix("look at it yourself, or ask for a pack that tells")
}

func (p *inspector) did(what string) { p.judged = append(p.judged, what) }

// pad is a flash on copper that names its pin.
type pad struct {
	export.Object
	on geom.Side
	export.Aperture
}

// land is any on copper, painted in one stroke.
type land struct {
	at       geom.Pt
	on       geom.Side
	a        export.Aperture
	pin, net bool
}

// mark is a fiducial.
type mark struct {
	at    geom.Pt
	on    geom.Side
	d     geom.Nm
	board bool // of one board, not of the array
}

// hole is a drilled hole.
type hole struct {
	at     geom.Pt
	d      geom.Nm
	plated bool
	use    string
}

// gather lists pads and holes.
func (p *inspector) gather() {
	p.pads, p.lands, p.holes = nil, nil, nil
	p.padAt, p.landAt, p.holeAt = readback.Grid{}, readback.Grid{}, readback.Grid{}
	for _, l := range p.pack.Artwork.Layers {
		if !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			at, a, ok := readback.LandOf(l, o)
			if !ok {
				continue
			}
			p.landAt.Put(at, len(p.lands))
			p.lands = append(p.lands, land{at, l.Function.Side(), a, o.Pin != "", o.HasNet})
			if o.Op == export.Flash && o.Pin != "" {
				p.padAt.Put(o.To, len(p.pads))
				p.pads = append(p.pads, pad{o, l.Function.Side(), l.Apertures[o.Aperture]})
			}
		}
	}
	for _, d := range p.pack.Artwork.Drills {
		for _, h := range d.Hits {
			p.holeAt.Put(h.At, len(p.holes))
			p.holes = append(p.holes, hole{h.At, d.Tools[h.Tool].D, d.Plated, d.Tools[h.Tool].Function})
		}
	}
}

// unjudged are the findings of readback.Raise that say what a board cannot hold, which need not be wrong.
func unjudged() []string {
	return []string{"readback-cleared-copper", "readback-track-shape", "readback-pad-shape", "readback-slot", "readback-via-shape", "readback-mask-shape"}
}

// raise makes a board of the files and has it judged. Where copper names no pins, or holds what a board cannot, its image
// is judged instead (nets.go).
func (p *inspector) raise() {
	if len(p.pads) == 0 {
		p.bare("no attributes name its pads")
		return
	}
	b, l := readback.Raise(p.ctx, p.pack, p.rules)
	var reasons []string
	for _, f := range l {
		switch {
		case f.Code == "readback-stray-opening": // masks are compared on their own
		case slices.Contains(unjudged(), f.Code):
			if !slices.Contains(reasons, f.Text) {
				reasons = append(reasons, f.Text)
			}
		default:
			p.found = append(p.found, f)
		}
	}
	if len(reasons) > 0 && !p.own {
		p.bare(reasons[0])
		return
	}
	for _, r := range reasons {
		p.fail("inspect-odd-object", "a layer holds what no board of this program has: %s", r).Fix("write the pack anew")
	}
	if l.HasErrors() {
		return
	}
	if p.whole {
		var given diag.List
		b.Less, given = check.GaveWay(p.ctx, b, p.least)
		for _, f := range given {
			if p.limits(&f) {
				p.found = append(p.found, f)
			}
		}
	}
	p.board, p.raised = b, true
	found, figures := check.Sound(p.ctx, b)
	for _, f := range found {
		if p.limits(&f) {
			p.found = append(p.found, f)
		}
	}
	p.figures = figures
	p.did("shorts and opens, gaps, widths, rings and holes")
}

// inner names layers of copper that are not judged.
func (p *inspector) inner() {
	for _, e := range p.pack.Files {
		if strings.HasPrefix(e.Function, "Copper,") && slices.ContainsFunc(p.pack.Others, func(l export.Layer) bool {
			v, _ := readback.Attribute(l.FileAttributes, ".FileFunction")
			return strings.Join(v, ",") == e.Function
		}) {
			p.cannot(e.Name, "it is an inner layer of copper ("+e.Function+"), and boards of two layers are judged here")
		}
	}
}

// limits sorts out what is only our choice: of a foreign pack, or of a project with other choices, it is no fault.
func (p *inspector) limits(f *diag.Finding) bool {
	switch f.Code {
	case "check-malformed":
		f.Code, f.Severity = "inspect-not-judged", diag.Warning
	case "check-legend-width":
		f.Severity = diag.Error
		return p.own // others may print finer, or not mind
	case "check-print-on-legend":
		if !p.own {
			return false // whose marks may be areas, and lines decoration
		}
	case "check-sliver", "check-legend-gap", "check-mask-beyond-pad", "check-part-overhang", "check-track-dangling":
		return false // warnings of a board in the making
	case "check-thin-area":
		f.Severity = diag.Warning
	}
	f.Subject.Keys = nil // of a project that nobody has
	return true
}

func (p *inspector) holeOf(q geom.Pt) (h hole, ok bool) {
	return holeAt(q, p.holes, p.holeAt)
}

// tornOf returns the hole of perforation at a place.
func (p *inspector) tornOf(q geom.Pt) (h hole, ok bool) {
	return holeAt(q, p.torn, p.tornAt)
}

func holeAt(q geom.Pt, all []hole, where readback.Grid) (h hole, ok bool) {
	ok = where.At(q, func(i int) bool { h = all[i]; return true })
	return h, ok
}

func at(p, q geom.Pt) bool { return p.Dist(q) <= float64(readback.Same) }

func far(a, b geom.Nm, tol geom.Nm) bool { return a-b > tol || b-a > tol }
