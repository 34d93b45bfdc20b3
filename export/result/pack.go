package result

import (
	"cmp"
	"slices"
	"strings"

	"lampblack/board/check"
	"lampblack/export"
	"lampblack/panel/geom"
)

// Pack is what inspect --json prints: what was found in a fabrication pack. Lengths are mm in the files' own frame.
type Pack struct {
	Lampblack string       `json:"lampblack" doc:"version of Lampblack"`
	File      string       `json:"file" doc:"the archive"`
	Board     string       `json:"board,omitempty" doc:"as the files name it"`
	Part      string       `json:"part,omitempty" doc:"Single, or Array for several boards on one panel"`
	Size      *[2]float64  `json:"size_mm,omitempty" doc:"width and height"`
	Contents  []PackFile   `json:"contents" doc:"its files"`
	Nets      []PackNet    `json:"nets" doc:"that attributes name"`
	Points    int          `json:"netlist_points" doc:"of the electrical test" schema:"min=0"`
	Figures   *PackFigures `json:"figures,omitempty" doc:"what the copper itself tells"`
	Against   *PackRules   `json:"against,omitempty" doc:"the limits that it was judged by"`
	Judged    []string     `json:"judged,omitempty" doc:"what was judged; good is said of nothing else"`
	Findings  []Finding    `json:"findings" doc:"what the user must know, gravest first"`
	Files     []string     `json:"files,omitempty" doc:"pictures written"`

	Digests map[string]string `json:"digests,omitempty" doc:"SHA-256 of each picture written, by its path" schema:"pattern=^[0-9a-f]{64}$"`
}

// PackRules are the limits that a pack was judged by.
type PackRules struct {
	By  string  `json:"by" doc:"a class of fabrication, or a project"`
	Gap float64 `json:"copper_gap_mm" doc:"of them, or of the job file where that states more" schema:"min=0"`
}

// PackFile is one file of a pack.
type PackFile struct {
	Name      string      `json:"name" doc:"in the archive"`
	Kind      string      `json:"kind" doc:"by what it says it is" schema:"enum=gerber|drill|netlist|job|other"`
	Function  string      `json:"function,omitempty" doc:"as its attributes tell"`
	BBox      *[4]float64 `json:"bbox_mm,omitempty" doc:"x0, y0, x1, y1"`
	Flashes   int         `json:"flashes,omitempty" doc:"of a layer" schema:"min=0"`
	Draws     int         `json:"draws,omitempty" doc:"of a layer" schema:"min=0"`
	Regions   int         `json:"regions,omitempty" doc:"of a layer" schema:"min=0"`
	Apertures int         `json:"apertures,omitempty" doc:"of a layer" schema:"min=0"`
	Tools     []PackTool  `json:"tools,omitempty" doc:"of a drill file"`
	Errors    int         `json:"errors" doc:"findings of that weight" schema:"min=0"`
	Warnings  int         `json:"warnings" doc:"findings of that weight" schema:"min=0"`
}

// PackTool is one size of hole.
type PackTool struct {
	D        float64 `json:"d" doc:"diameter, mm" schema:"min=0"`
	Function string  `json:"function,omitempty" doc:"as its attributes tell"`
	Holes    int     `json:"holes" doc:"how many" schema:"min=0"`
	Slots    int     `json:"slots,omitempty" doc:"how many" schema:"min=0"`
}

// PackNet is one net that attributes name.
type PackNet struct {
	Name string `json:"name" doc:"its name"`
	Pads int    `json:"pads" doc:"of parts" schema:"min=0"`
	Vias int    `json:"vias" doc:"and pads of no part" schema:"min=0"`
}

// PackFigures is what the copper itself tells, as far as pads carry their nets.
type PackFigures struct {
	Joints       int     `json:"joints" doc:"that the nets need" schema:"min=0"`
	Open         int     `json:"open" doc:"of them, those that copper does not make" schema:"min=0"`
	MinClearance float64 `json:"min_clearance_mm" doc:"least gap between copper of two nets" schema:"min=0"`
	MinTrack     float64 `json:"min_track_mm" doc:"narrowest track" schema:"min=0"`
	MinRing      float64 `json:"min_ring_mm" doc:"least annular ring" schema:"min=0"`
	MinHole      float64 `json:"min_hole_mm" doc:"least finished hole" schema:"min=0"`
	MinEdge      float64 `json:"min_edge_mm" doc:"copper to the board's edge" schema:"min=0"`
}

// Sized fills in the width and height of what the pack makes; an empty box leaves them out.
func (p *Pack) Sized(size geom.Box) {
	if !size.Empty() && size.W() > 0 {
		p.Size = &[2]float64{num(size.W().MM(), 6), num(size.H().MM(), 6)}
	}
}

// Layer fills in what a layer holds, whose objects paint within box.
func (f *PackFile) Layer(l export.Layer, box geom.Box) {
	for _, o := range l.Objects {
		switch o.Op {
		case export.Flash:
			f.Flashes++
		case export.Draw:
			f.Draws++
		case export.Region:
			f.Regions++
		}
	}
	f.Apertures = len(l.Apertures)
	f.within(box)
}

func (f *PackFile) within(b geom.Box) {
	if !b.Empty() {
		f.BBox = &[4]float64{num(b.Min.X.MM(), 6), num(b.Min.Y.MM(), 6), num(b.Max.X.MM(), 6), num(b.Max.Y.MM(), 6)}
	}
}

// Drill fills in what a drill file holds.
func (f *PackFile) Drill(d export.Drill) {
	box := geom.EmptyBox()
	holes, slots := make([]int, len(d.Tools)), make([]int, len(d.Tools))
	for _, h := range d.Hits {
		holes[h.Tool]++
		box = box.Union(geom.BoxOf(h.At).Grown(d.Tools[h.Tool].D / 2))
	}
	for _, s := range d.Slots {
		slots[s.Tool]++
		box = box.Union(s.Path.Box().Grown(d.Tools[s.Tool].D / 2))
	}
	for i, t := range d.Tools {
		f.Tools = append(f.Tools, PackTool{num(t.D.MM(), 6), Printable(t.Function), holes[i], slots[i]})
	}
	f.within(box)
}

// PackNetsOf lists the nets that attributes on pads name, in the order of their names.
func PackNetsOf(a export.Artwork) []PackNet {
	out := []PackNet{}
	at := map[string]int{}
	type pad struct {
		ref, pin string
		at       geom.Pt
	}
	seen := map[pad]bool{}
	for _, l := range a.Layers {
		if !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			if !o.HasNet || o.Net == "" || o.Net == export.NotConnected || o.Op != export.Flash {
				continue
			}
			i, ok := at[o.Net]
			if !ok {
				i = len(out)
				at[o.Net] = i
				out = append(out, PackNet{Name: Printable(o.Net)})
			}
			p := pad{o.Ref, o.Pin, o.To}
			if seen[p] {
				continue // the same on the other side
			}
			seen[p] = true
			if o.Pin == "" {
				out[i].Vias++
			} else {
				out[i].Pads++
			}
		}
	}
	slices.SortStableFunc(out, func(a, b PackNet) int { return cmp.Compare(a.Name, b.Name) })
	return out
}

// PackFiguresOf tells what was measured of the copper.
func PackFiguresOf(f check.Figures) *PackFigures {
	return &PackFigures{Joints: f.Connections, Open: f.Unrouted, MinClearance: num(f.MinClearance.MM(), 6),
		MinTrack: num(f.MinTrack.MM(), 6), MinRing: num(f.MinRing.MM(), 6), MinHole: num(f.MinDrill.MM(), 6), MinEdge: num(f.MinEdge.MM(), 6)}
}

// Printable makes a name from a file of anybody's safe to print, of at most 200 bytes and an ellipsis.
func Printable(s string) string {
	s = strings.ToValidUTF8(s, "?")
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 {
			return '?'
		}
		return r
	}, s)
	if len(s) > 200 {
		s = strings.ToValidUTF8(s[:200], "") + "..."
	}
	return s
}
