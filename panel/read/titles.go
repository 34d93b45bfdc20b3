package read

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// elsewhere is the name of sheets that were not picked, while things are dealt out to them all the same.
const elsewhere = "\x00"

// titled returns the sheets from left to right with their names: one takes the base name; several the text that stands
// nearest outside (a caption), else the base name with a number. Where the options pick one, the others are elsewhere.
func titled(sheets []sheet, th things, d *dxf.Drawing, opt Options) ([]sheet, findings) {
	var said findings
	if len(sheets) == 0 {
		return nil, said
	}
	out := slices.Clone(sheets)
	slices.SortStableFunc(out, func(a, b sheet) int { return compareXY(a.outline.box.Min, b.outline.box.Min) })
	base := baseName(d, opt)
	if opt.At != nil {
		best := -1
		for i := range out {
			out[i].name = elsewhere
			if out[i].outline.holds(*opt.At) && (best < 0 || out[i].outline.area < out[best].outline.area) {
				best = i
			}
		}
		if best < 0 {
			said.add(diag.Error, "panel-no-outline", nil, "no outline lies round (%s, %s)", mm(opt.At.X), mm(opt.At.Y)).
				At(opt.At.X, opt.At.Y).About("at").Fix("name a point within the panel, in the drawing's coordinates in mm")
			return nil, said
		}
		out[best].name = base
		return out, said
	}
	if len(out) == 1 {
		out[0].name = base
		return out, said
	}
	taken := map[string]bool{}
	captions := captions(out, th.texts())
	var list []string
	for i := range out {
		s := &out[i]
		s.name = captions[i]
		if s.name == "" || taken[s.name] {
			s.name = fmt.Sprintf("%s-%d", base, i+1)
		}
		for n := i + 1; taken[s.name]; n++ {
			s.name = fmt.Sprintf("%s-%d", base, n)
		}
		taken[s.name] = true
		list = append(list, fmt.Sprintf("%s at (%s, %s)", s.name, mm(s.outline.box.Min.X), mm(s.outline.box.Min.Y)))
	}
	said.add(diag.Note, "panel-several", out[0].outline.from, "the drawing holds %d outlines, each a panel: %s", len(out), some(list, 12))
	return out, said
}

// baseName returns the name without outlines: the option's, or the file's.
func baseName(d *dxf.Drawing, opt Options) string {
	if opt.Name != "" {
		return opt.Name
	}
	f := filepath.Base(filepath.ToSlash(d.Name))
	if n := slug(strings.TrimSuffix(f, filepath.Ext(f))); n != "" {
		return n
	}
	return "panel"
}

// captionReach is how far from its outline a caption may stand, mm: two lines of large writing.
const captionReach = 25.0

// captions returns, for each sheet, the text outside all outlines that is nearest to this one of all, as a name.
func captions(sheets []sheet, texts []*dxf.Entity) []string {
	out := make([]string, len(sheets))
	dist := make([]float64, len(sheets))
	for _, e := range texts {
		if e.Text == nil || slug(e.Text.Text) == "" {
			continue
		}
		best, at := captionReach, -1
		for i := range sheets {
			o := &sheets[i].outline
			if o.holds(e.Text.At) {
				at = -1
				break
			}
			if d := o.distance(e.Text.At, best); d < best {
				best, at = d, i
			}
		}
		if at >= 0 && (out[at] == "" || best < dist[at]) {
			out[at], dist[at] = slug(e.Text.Text), best
		}
	}
	return out
}
