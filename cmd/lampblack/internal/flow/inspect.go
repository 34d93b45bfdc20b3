package flow

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"lampblack/board"
	"lampblack/export/bundle"
	"lampblack/export/inspect"
	"lampblack/export/picture"
	"lampblack/export/readback"
	"lampblack/export/result"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Limits of a pack that inspect takes. A board of 500 LEDs has two megabytes in twenty files; the largest packs in the
// trade stay below a hundred.
const (
	MostEntries  = 500
	mostEntry    = 128 << 20 // bytes of one file, unpacked
	mostUnpacked = 512 << 20 // of all
)

// Against is what a pack is judged against.
type Against struct {
	Name    string // for people: "class fine"
	Rules   board.Rules
	Least   board.Floors
	Project bool // the limits are a project's, each of them meant
}

// FinestClass is what a pack is judged by where nobody names limits.
const FinestClass = "fine"

// Classes returns the names of the classes of fabrication.
func Classes() []string { return board.Classes() }

// AgainstClass returns the limits of a class of fabrication; ok is false for a name that is none.
func AgainstClass(name string) (a Against, ok bool) {
	r, ok := board.Class(name)
	return Against{Name: "class " + name, Rules: r}, ok
}

// Inspected is what was found in a pack.
type Inspected struct {
	result.Pack
	List     diag.List
	Pictures []bundle.File
}

// Inspect judges the bytes of a pack, a zip archive of fabrication files from anywhere. pictures asks for an SVG of each
// layer. Its error is ctx's.
func Inspect(ctx context.Context, name string, src []byte, against Against, version string, pictures bool) (Inspected, error) {
	out := Inspected{Pack: Uninspected(name, nil, version)}
	files, l := unpacked(name, src)
	if !l.HasErrors() {
		if f := guard(func() { l = append(l, out.judge(ctx, files, against, pictures)...) }); f != nil {
			l = append(l, *f)
		}
	}
	out.Digests = bundle.Digests(nil, out.Pictures)
	for i := range l {
		if l[i].Place.File == "" { // about the whole pack
			l[i].Place.File = name
		}
	}
	out.List = l.Sorted().Grouped()
	out.Findings = result.FindingsOf(out.List)
	return out, ctx.Err()
}

// Uninspected is the result of a pack that could not be read.
func Uninspected(name string, l diag.List, version string) result.Pack {
	return result.Pack{Lampblack: version, File: path.Base(strings.ReplaceAll(name, `\`, "/")), Contents: []result.PackFile{}, Nets: []result.PackNet{},
		Findings: result.FindingsOf(l)}
}

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
	if len(z.File) > MostEntries {
		refuse("inspect-too-large", "the archive holds %d files, more than the %d that are read", len(z.File), MostEntries).
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
		file := result.Printable(f.Name)
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

// judge reads the files and fills in what they hold.
func (out *Inspected) judge(ctx context.Context, files []readback.File, against Against, pictures bool) diag.List {
	pack, l := readback.Open(ctx, files)
	out.Board, out.Part = pack.Name(), pack.Artwork.Part()
	out.Sized(pack.Artwork.Size)
	known := 0
	for i, e := range pack.Files {
		f := result.PackFile{Name: e.Name, Kind: e.Kind, Function: result.Printable(e.Function)}
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
			box := geom.EmptyBox()
			for _, o := range e.Layer.Objects {
				box = box.Union(picture.Extent(e.Layer, o))
			}
			f.Layer(e.Layer, box)
			if pictures {
				svg = picture.Layer(e.Layer, pack.Artwork.Size, e.Name, what)
			}
		case "drill":
			known++
			f.Drill(e.Drill)
			if pictures {
				svg = picture.Holes(e.Drill, pack.Artwork.Size, e.Name, what)
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
	out.Nets = result.PackNetsOf(pack.Artwork)
	v := inspect.Judge(ctx, files, pack, inspect.Options{Rules: against.Rules, Whole: against.Project, Least: against.Least})
	out.Judged = v.Judged
	out.Against = &result.PackRules{By: against.Name, Gap: max(against.Rules.Clearance, v.Gap).MM()}
	if v.Figures.Nets > 0 {
		out.Figures = result.PackFiguresOf(v.Figures)
	}
	return append(l, v.Found...)
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
