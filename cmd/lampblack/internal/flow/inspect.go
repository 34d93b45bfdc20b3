package flow

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/picture"
	"lampblack/export/readback"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Limits of a pack that inspect takes. A board of 500 LEDs has two megabytes in twenty files; the largest packs in the
// trade stay below a hundred.
const (
	mostEntries  = 500
	mostEntry    = 128 << 20 // bytes of one file, unpacked
	mostUnpacked = 512 << 20 // of all
)

// Inspected is what was found in a pack, and what inspect --json prints. Lengths are mm, in the files' own frame.
type Inspected struct {
	Lampblack string            `json:"lampblack"`
	File      string            `json:"file"`
	Board     string            `json:"board,omitempty"` // as the files name it
	Part      string            `json:"part,omitempty"`  // Single or Array
	Size      *[2]float64       `json:"size_mm,omitempty"`
	Contents  []InspectedFile   `json:"contents"`
	Nets      []InspectedNet    `json:"nets"`
	Points    int               `json:"netlist_points"`
	Figures   *InspectedFigures `json:"figures,omitempty"`
	Findings  []FindingResult   `json:"findings"`
	Files     []string          `json:"files,omitempty"` // pictures written

	List       diag.List     `json:"-"`
	Pictures   []bundle.File `json:"-"`
	Unreadable bool          `json:"-"`
}

// InspectedFile is one file of the pack.
type InspectedFile struct {
	Name      string          `json:"name"`
	Kind      string          `json:"kind"` // gerber, drill, netlist, job, other
	Function  string          `json:"function,omitempty"`
	BBox      *[4]float64     `json:"bbox_mm,omitempty"`
	Flashes   int             `json:"flashes,omitempty"`
	Draws     int             `json:"draws,omitempty"`
	Regions   int             `json:"regions,omitempty"`
	Apertures int             `json:"apertures,omitempty"`
	Tools     []InspectedTool `json:"tools,omitempty"`
	Errors    int             `json:"errors"`
	Warnings  int             `json:"warnings"`
}

// InspectedTool is one size of hole.
type InspectedTool struct {
	D        float64 `json:"d"`
	Function string  `json:"function,omitempty"`
	Holes    int     `json:"holes"`
	Slots    int     `json:"slots,omitempty"`
}

// InspectedNet is one net that attributes name.
type InspectedNet struct {
	Name string `json:"name"`
	Pads int    `json:"pads"`
	Vias int    `json:"vias"`
}

// InspectedFigures is what the copper itself tells, as far as pads carry their nets.
type InspectedFigures struct {
	Joints       int     `json:"joints"`
	Open         int     `json:"open"`
	MinClearance float64 `json:"min_clearance_mm"`
	MinTrack     float64 `json:"min_track_mm"`
	MinRing      float64 `json:"min_ring_mm"`
	MinHole      float64 `json:"min_hole_mm"`
	MinEdge      float64 `json:"min_edge_mm"`
}

// Inspect judges the bytes of a pack, a zip archive of fabrication files from anywhere. pictures asks for an SVG of each
// layer.
func Inspect(name string, src []byte, version string, pictures bool) Inspected {
	out := Inspected{Lampblack: version, File: path.Base(strings.ReplaceAll(name, `\`, "/")), Contents: []InspectedFile{}, Nets: []InspectedNet{}}
	files, l := unpacked(name, src)
	if !l.HasErrors() {
		if f := guard(func() { l = append(l, out.judge(files, pictures)...) }); f != nil {
			l = append(l, *f)
		}
	}
	out.List = l.Sorted()
	out.Findings = Findings(out.List)
	return out
}

// JSON returns it as inspect --json prints it.
func (out Inspected) JSON() []byte { return encoded(out) }

// unpacked returns the files of the archive, in its order.
func unpacked(name string, src []byte) ([]readback.File, diag.List) {
	var l diag.List
	refuse := func(code, format string, args ...any) *diag.Finding {
		return l.Add(diag.Error, code, format, args...).In(name, 0)
	}
	z, err := zip.NewReader(bytes.NewReader(src), int64(len(src)))
	if err != nil {
		refuse("inspect-no-zip", "%s is no zip archive, or a damaged one", path.Base(name)).
			Fix("inspect takes the zip that goes to the board house; zip a folder of files first")
		return nil, l
	}
	if len(z.File) > mostEntries {
		refuse("inspect-too-large", "the archive holds %d files, more than the %d that are read", len(z.File), mostEntries).
			Fix("put only the fabrication files of one board into it")
		return nil, l
	}
	var files []readback.File
	seen := map[string]bool{}
	total := int64(0)
	for _, f := range z.File {
		if f.FileInfo().IsDir() || strings.HasPrefix(f.Name, "__MACOSX/") {
			continue
		}
		file := printable(f.Name)
		if seen[file] {
			refuse("inspect-twice", "the archive holds two files named %s", file).Fix("keep the right one")
			continue
		}
		seen[file] = true
		data, err := unpack(f, min(mostEntry, mostUnpacked-total))
		total += int64(len(data))
		switch {
		case errors.Is(err, errLarge):
			refuse("inspect-too-large", "%s unpacks to more than can be read (%d MB a file, %d MB in all)", file, mostEntry>>20, mostUnpacked>>20).
				Fix("take it out of the archive; a layer of a board is a few megabytes")
			return nil, l
		case errors.Is(err, zip.ErrAlgorithm):
			refuse("inspect-damaged", "%s is packed by a method that is not read", file).Fix("pack the files again, as a plain zip")
		case err != nil:
			refuse("inspect-damaged", "%s is damaged: it does not unpack to what the archive says", file).Fix("get the archive anew")
		default:
			files = append(files, readback.File{Name: file, Data: data})
		}
	}
	if len(files) == 0 && !l.HasErrors() {
		refuse("inspect-empty", "the archive holds no files").Fix("zip the fabrication files")
	}
	return files, l
}

var errLarge = errors.New("too large")

func unpack(f *zip.File, most int64) ([]byte, error) {
	if f.UncompressedSize64 > uint64(most) {
		return nil, errLarge
	}
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	// What the archive says of sizes is not believed.
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	if int64(len(data)) > most {
		return nil, errLarge
	}
	return data, err
}

// printable makes a name safe to print.
func printable(s string) string {
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

// judge reads the files and fills in what they hold.
func (out *Inspected) judge(files []readback.File, pictures bool) diag.List {
	pack, l := readback.Open(files)
	out.Board, out.Part = pack.Name(), pack.Artwork.Part()
	if size := pack.Artwork.Size; !size.Empty() && size.W() > 0 {
		out.Size = &[2]float64{num(size.W().MM(), 6), num(size.H().MM(), 6)}
	}
	known := 0
	for i, e := range pack.Files {
		f := InspectedFile{Name: e.Name, Kind: e.Kind, Function: printable(e.Function)}
		for _, d := range l {
			if d.Place.File == e.Name {
				switch d.Severity {
				case diag.Error:
					f.Errors++
				case diag.Warning:
					f.Warnings++
				}
			}
		}
		var svg []byte
		what := f.Function
		switch e.Kind {
		case "gerber":
			known++
			layer, _ := readback.Gerber(files[i].Data, e.Name)
			f.count(layer)
			if pictures {
				svg = picture.Layer(layer, pack.Artwork.Size, e.Name, what)
			}
		case "drill":
			known++
			d, _ := readback.Drill(files[i].Data, e.Name)
			f.drilled(d)
			if pictures {
				svg = picture.Holes(d, pack.Artwork.Size, e.Name, what)
			}
		case "netlist":
			known++
		}
		if svg != nil {
			name := fileSafe(e.Name, i) + ".svg"
			out.Pictures = append(out.Pictures, bundle.File{Path: name, Data: svg})
			out.Files = append(out.Files, name)
		}
		out.Contents = append(out.Contents, f)
	}
	if known == 0 {
		l = append(diag.List{}, diag.Finding{Code: "inspect-nothing", Severity: diag.Error, Text: "none of the files is a Gerber layer, a drill file or a netlist",
			Advice: "inspect takes the zip that goes to the board house"})
		return l
	}
	out.Points = len(pack.Netlist.Points)
	out.nets(pack.Artwork)
	if !l.HasErrors() && len(out.Nets) > 0 {
		l = append(l, out.measure(pack)...)
	}
	return l
}

// count fills in what a layer holds.
func (f *InspectedFile) count(l export.Layer) {
	box := geom.EmptyBox()
	for _, o := range l.Objects {
		switch o.Op {
		case export.Flash:
			f.Flashes++
		case export.Draw:
			f.Draws++
		case export.Region:
			f.Regions++
		}
		box = box.Union(picture.Extent(l, o))
	}
	f.Apertures = len(l.Apertures)
	f.box(box)
}

func (f *InspectedFile) box(b geom.Box) {
	if !b.Empty() {
		f.BBox = &[4]float64{num(b.Min.X.MM(), 6), num(b.Min.Y.MM(), 6), num(b.Max.X.MM(), 6), num(b.Max.Y.MM(), 6)}
	}
}

func (f *InspectedFile) drilled(d export.Drill) {
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
		f.Tools = append(f.Tools, InspectedTool{num(t.D.MM(), 6), printable(t.Function), holes[i], slots[i]})
	}
	f.box(box)
}

// nets lists the nets that attributes on pads name, in the order of their names.
func (out *Inspected) nets(a export.Artwork) {
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
				i = len(out.Nets)
				at[o.Net] = i
				out.Nets = append(out.Nets, InspectedNet{Name: printable(o.Net)})
			}
			p := pad{o.Ref, o.Pin, o.To}
			if seen[p] {
				continue // the same on the other side
			}
			seen[p] = true
			if o.Pin == "" {
				out.Nets[i].Vias++
			} else {
				out.Nets[i].Pads++
			}
		}
	}
	slices.SortStableFunc(out.Nets, func(a, b InspectedNet) int { return strings.Compare(a.Name, b.Name) })
}

// measure judges the copper by the nets that pads carry: joints that are missing, gaps, widths.
func (out *Inspected) measure(p readback.Pack) diag.List {
	var l diag.List
	b, found := readback.Raise(p, board.UsualRules())
	if found.HasErrors() {
		l.Add(diag.Note, "inspect-not-measured", "the copper could not be measured: %s", firstError(found)).
			Fix("the layers can be read; only gaps and joints are not judged")
		return l
	}
	f := check.Measure(b)
	if f.Nets == 0 {
		return l
	}
	out.Figures = &InspectedFigures{Joints: f.Connections, Open: f.Unrouted, MinClearance: num(f.MinClearance.MM(), 6),
		MinTrack: num(f.MinTrack.MM(), 6), MinRing: num(f.MinRing.MM(), 6), MinHole: num(f.MinDrill.MM(), 6), MinEdge: num(f.MinEdge.MM(), 6)}
	if f.Unrouted > 0 {
		l.Add(diag.Error, "inspect-open", "%d of %d joints between pads of one net are not made by copper", f.Unrouted, f.Connections).
			Fix("find the open nets in the program that made the board")
	}
	return l
}

func firstError(l diag.List) string {
	for _, f := range l {
		if f.Severity == diag.Error {
			return f.Text
		}
	}
	return "no reason told"
}

// fileSafe makes a file of the archive a plain file name.
func fileSafe(name string, i int) string {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	name = strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' || r == '.' {
			return r
		}
		return '-'
	}, name)
	name = strings.Trim(name, ".")
	if len(name) > 100 {
		name = name[:100]
	}
	return fmt.Sprintf("%02d-%s", i+1, name)
}
