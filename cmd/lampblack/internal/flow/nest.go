package flow

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/export/nest"
	"lampblack/export/nest/prove"
	"lampblack/export/picture"
	"lampblack/export/result"
	"lampblack/export/sheet"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Nested is the sheets of one kind, of all panels and copies, on stock.
type Nested struct {
	result.Nest
	files []bundle.File // below the output folder
	shown nestShown
}

// stocked is a kind of sheet that the project has stock for.
type stocked struct {
	kind int    // which of a panel's sheets; frames: the pieces of its frame
	key  string // of stock
	word string // what people call one
	pile project.Stockpiled
}

// frames stands for the pieces of frames, of which a panel has any number.
const frames = -1

// stocks are the kinds of sheets that the project has stock for.
func (s *session) stocks() []stocked {
	p := s.project.Stock
	all := []stocked{{0, "face", "face", p.Face}, {1, "diffuser", "diffuser", p.Diffuser}, {2, "led_sheet", "LED sheet", p.LED}, {3, "plate", "plate", p.Plate}, {frames, "frame", "frame", p.Frame}}
	return slices.DeleteFunc(all, func(k stocked) bool {
		return k.pile.Size == project.Size{} || k.key == "plate" && s.project.Plate == 0
	})
}

// nestSteps are the stages of each kind, for progress.
const nestSteps = 2

// outlineIn is the sheets of a panel.
type outlineIn struct{ Cut memo.Kept[cutOut] }

type outlineOut struct {
	says
	Shapes []geom.Region // of each sheet, as it lies on the laser
	Pieces []geom.Region // of the frame
}

// outlining finds what is left of a panel's sheets when they are cut.
var outlining = stage[outlineIn, outlineOut]{"pieces", func(ctx context.Context, in outlineIn) (out outlineOut) {
	for _, s := range in.Cut.Value.Sheets {
		out.Shapes = append(out.Shapes, s.Shape(ctx))
	}
	for _, s := range in.Cut.Value.Pieces {
		out.Pieces = append(out.Pieces, s.Shape(ctx))
	}
	return out
}}

// nestIn is shapes to lay on stock, and in how many steps.
type nestIn struct {
	Parts []nest.Part
	Stock nest.Stock
	Steps int
}

type nestOut struct {
	says
	Layout nest.Layout
}

// nesting lays shapes on stock.
var nesting = stage[nestIn, nestOut]{"nest", func(ctx context.Context, in nestIn) (out nestOut) {
	work.Until(ctx, func(w *work.Watch) { out.Layout = nest.Arrange(w, in.Parts, in.Stock, in.Steps) })
	return out
}}

// effort is how many steps the search for a layout of n pieces takes: it grows with the ways in which they can be laid, and never
// beyond some 200,000 times that one piece is laid.
func effort(n int) int {
	const most, laid = 5000, 200_000
	return min(most, 20*n*n, laid/max(1, n))
}

// stockIn is one sheet of stock.
type stockIn struct {
	Title string
	Name  string // of its files
	Stock nest.Stock
	Kind  int
	Cut   []memo.Kept[cutOut] // of the panels that come on it
	Laid  []laidIn
}

type laidIn struct {
	Cut      int // in Cut
	Piece    int // of its frame
	Name     string
	Quarters int
	By       geom.Vec
	At       geom.Pt // of the lower left corner of its cuts
}

// stocking writes a sheet of stock for the laser and proves what is written.
var stocking = stage[stockIn, filesOut]{"stock", func(ctx context.Context, in stockIn) (out filesOut) {
	n := in.nest()
	drawing, err := n.DXF(ctx)
	if err != nil {
		out.Findings.Add(diag.Error, "sheet-drawing", "a sheet of stock cannot be written as DXF: %v", err).About("stock").Ours()
		return out
	}
	var single [][]byte
	type one struct{ cut, piece int }
	var which []one
	for _, l := range in.Laid {
		if slices.Contains(which, one{l.Cut, l.Piece}) {
			continue
		}
		which = append(which, one{l.Cut, l.Piece})
		data, err := in.sheet(l).DXF(ctx)
		if err != nil {
			out.Findings.Add(diag.Error, "sheet-drawing", "a sheet cannot be written as DXF: %v", err).About("stock").Ours()
			return out
		}
		single = append(single, data)
	}
	var pieces []prove.Piece
	for _, l := range in.Laid {
		pieces = append(pieces, prove.Piece{Name: l.Name, Sheet: slices.Index(which, one{l.Cut, l.Piece}), Turn: l.Quarters * geom.QuarterDegrees, At: l.At})
	}
	out.Findings = prove.Nest(ctx, prove.Stock{W: in.Stock.W, H: in.Stock.H, Gap: in.Stock.Gap, Edge: in.Stock.Edge}, drawing, single, pieces)
	for i := range out.Findings {
		out.Findings[i].About("stock")
	}
	if !out.Findings.HasErrors() {
		out.Files = []bundle.File{{Path: result.NestSVG.Of(in.Name), Data: n.SVG(ctx)}, {Path: result.NestDXF.Of(in.Name), Data: drawing}}
	}
	return out
}}

// sheet returns what is laid.
func (in stockIn) sheet(l laidIn) sheet.Sheet {
	of := in.Cut[l.Cut].Value
	if in.Kind == frames {
		return of.Pieces[l.Piece]
	}
	return of.Sheets[in.Kind]
}

// nest returns the sheet of stock.
func (in stockIn) nest() sheet.Nest {
	n := sheet.Nest{Title: in.Title, W: in.Stock.W, H: in.Stock.H}
	for _, l := range in.Laid {
		n.Laid = append(n.Laid, sheet.Laid{Sheet: in.sheet(l), Quarters: l.Quarters, By: l.By})
	}
	return n
}

// nestShown is a kind of sheet on stock, for its picture.
type nestShown struct {
	Title  string
	Used   geom.Nm
	Facts  []string // of each sheet of stock
	Sheets []stockIn
}

type nestsIn struct{ All []nestShown }

// picturing draws all sheets of stock for people.
var picturing = stage[nestsIn, filesOut]{"nests", func(ctx context.Context, in nestsIn) (out filesOut) {
	var all []picture.Stock
	for _, k := range in.All {
		for i, s := range k.Sheets {
			one := picture.Stock{Title: k.Title, Fact: k.Facts[i], W: s.Stock.W, H: s.Stock.H, Gap: s.Stock.Gap, Face: s.Kind == 0}
			if i == len(k.Sheets)-1 {
				one.Used = k.Used
			}
			for n, l := range s.nest().Laid {
				one.Pieces = append(one.Pieces, picture.StockPiece{Name: s.Laid[n].Name, Outer: l.Outer(), Inner: l.Inner()})
			}
			all = append(all, one)
		}
	}
	out.add("", result.NestsSVG, picture.Nests(ctx, "The sheets on stock", all))
	return out
}}

// nests lays the sheets of all panels on stock.
func (s *session) nests(built []Built) (made []Nested, l diag.List) {
	kinds := s.stocks()
	if len(kinds) == 0 {
		return nil, nil
	}
	var whole []*Built
	var left []string
	for i := range built {
		if b := &built[i]; b.written() {
			whole = append(whole, b)
		} else {
			left = append(left, b.Panel.Name)
		}
	}
	if left = append(left, s.leftOut()...); len(left) > 0 && len(whole) > 0 {
		l.Add(diag.Warning, "nest-incomplete", "the sheets on stock leave out %s", strings.Join(left, ", ")).About("stock").
			Fix("mend the errors told of it before you cut them")
	}
	if len(whole) == 0 {
		return nil, nil
	}
	nests, lists := make([]*Nested, len(kinds)), make([]diag.List, len(kinds))
	work.Each(s.ctx, len(kinds), func(i int) { nests[i], lists[i] = s.nest(kinds[i], whole) })
	for i, n := range nests {
		l = append(l, lists[i]...)
		if n != nil {
			made = append(made, *n)
		}
	}
	return made, s.shifted(l, nil)
}

// pieceOf is what a piece to lay on stock belongs to.
type pieceOf struct{ built, copies, piece int }

// pieceParts are the pieces of one kind of so many consoles.
func (s *session) pieceParts(k stocked, whole []*Built, copies int) (parts []nest.Part, owner []pieceOf, fault *diag.Finding, ok bool) {
	for i, b := range whole {
		kept, fault, ok := outlining.run(s, b.Panel.Name, outlineIn{b.cut})
		if !ok {
			return nil, nil, fault, false
		}
		shapes := kept.Value.Pieces
		if k.kind != frames {
			shapes = kept.Value.Shapes[k.kind : k.kind+1]
		}
		for piece, g := range shapes {
			for c := range copies {
				if len(g) > 0 {
					parts, owner = append(parts, nest.Part{Shape: g, Turns: k.pile.Turns}), append(owner, pieceOf{i, c + 1, piece})
				}
			}
		}
	}
	return parts, owner, nil, true
}

// stockFor returns how many sheets of stock so many consoles take, of each kind that was nested.
func (s *session) stockFor(out *Outcome, copies int) map[string]int {
	count := map[string]int{} // looked up only
	var whole []*Built
	for i := range out.Built {
		if b := &out.Built[i]; b.written() {
			whole = append(whole, b)
		}
	}
	for _, k := range s.stocks() {
		at := slices.IndexFunc(out.Nests, func(n Nested) bool { return n.Sheet == k.key })
		switch {
		case at < 0:
			continue
		case copies == s.project.Copies:
			count[k.key] = out.Nests[at].Sheets
			continue
		}
		parts, _, _, ok := s.pieceParts(k, whole, copies)
		if !ok {
			continue
		}
		stock := s.project.Stock.Of(k.pile)
		if kept, _, ok := nesting.run(s, k.key, nestIn{nest.Plain(parts, stock.Gap), stock, effort(len(parts))}); ok {
			count[k.key] = kept.Value.Layout.Sheets
		}
	}
	return count
}

// nest lays one kind of sheet on stock; nil where that failed, which is told.
func (s *session) nest(k stocked, whole []*Built) (made *Nested, l diag.List) {
	stock := s.project.Stock.Of(k.pile)
	parts, owner, fault, ok := s.pieceParts(k, whole, s.project.Copies)
	if !ok {
		return nil, faults(fault)
	}
	if s.set.Step != nil {
		s.set.Step(int(s.done.Load()), s.total, fmt.Sprintf("laying %s on stock", counted(len(parts), k.word, k.word+"s")))
	}
	kept, fault, ok := nesting.run(s, k.key, nestIn{nest.Plain(parts, stock.Gap), stock, effort(len(parts))})
	if !ok {
		return nil, faults(fault)
	}
	s.step("nest: " + k.key)
	layout := kept.Value.Layout
	n := &Nested{Nest: result.Nest{Sheet: k.key, Width: stock.W.MM(), Height: stock.H.MM(), Gap: stock.Gap.MM(), Edge: stock.Edge.MM(),
		Sheets: layout.Sheets, Used: layout.Used.MM(), Pieces: []result.NestPiece{}}}
	for _, i := range layout.Left {
		if b := whole[owner[i].built]; owner[i].copies == 1 {
			n.TooLarge = append(n.TooLarge, b.Panel.Name)
			tooLarge(&l, k, b.Panel.Name, parts[i].Shape.Box(), stock)
		}
	}
	sheets := make([]stockIn, layout.Sheets)
	area := 0.0 // of pieces
	for _, p := range layout.Placed {
		b := whole[owner[p.Part].built]
		in := &sheets[p.Sheet]
		c := slices.IndexFunc(in.Cut, func(c memo.Kept[cutOut]) bool { return c.Sum == b.cut.Sum })
		if c < 0 {
			c, in.Cut = len(in.Cut), append(in.Cut, b.cut)
		}
		box := parts[p.Part].Shape.Box()
		u, v := geom.Vec{X: box.Min.X, Y: box.Min.Y}.Quarter(p.Quarters), geom.Vec{X: box.Max.X, Y: box.Max.Y}.Quarter(p.Quarters)
		at := geom.Pt{X: min(u.X, v.X), Y: min(u.Y, v.Y)}.Add(p.By)
		name := b.Panel.Name
		if s.project.Copies > 1 {
			name += fmt.Sprintf(" %d", owner[p.Part].copies)
		}
		in.Laid = append(in.Laid, laidIn{Cut: c, Piece: owner[p.Part].piece, Name: name, Quarters: p.Quarters, By: p.By, At: at})
		n.Pieces = append(n.Pieces, result.NestPieceOf(b.Panel.Name, owner[p.Part].copies, p.Sheet+1, at, p.Quarters))
		area += parts[p.Part].Shape.Area()
	}
	if layout.Sheets > 0 {
		off := stock.W - layout.Used - stock.Gap
		if off > 0 {
			n.CutOff = &[2]float64{off.MM(), stock.H.MM()}
		}
		long := float64(stock.W.MM()*float64(layout.Sheets)) - max(0, off).MM()
		n.Waste = math.Round(1e4*max(0, 1-area/(stock.H.MM()*long))) / 1e4
	}
	for i := range sheets {
		in := &sheets[i]
		in.Name, in.Stock, in.Kind = result.NestName(k.key, i+1), stock, k.kind
		in.Title = fmt.Sprintf("%ss on stock, %d of %d", strings.ToUpper(k.word[:1])+k.word[1:], i+1, layout.Sheets)
		kept, fault, ok := stocking.run(s, in.Name, *in)
		if !ok {
			return nil, append(l, faults(fault)...)
		}
		if l = append(l, kept.Value.Findings...); kept.Value.Findings.HasErrors() {
			return nil, l
		}
		n.files = append(n.files, kept.Value.Files...)
		n.shown.Facts = append(n.shown.Facts, fmt.Sprintf("%d of %d", i+1, layout.Sheets))
	}
	s.step("stock: " + k.key)
	for _, f := range n.files {
		n.Files = append(n.Files, f.Path)
	}
	n.shown.Title, n.shown.Used, n.shown.Sheets = strings.ToUpper(k.word[:1])+k.word[1:]+"s", layout.Used, sheets
	return n, l
}

// tooLarge tells of a sheet that no stock can hold, and what would.
func tooLarge(l *diag.List, k stocked, name string, box geom.Box, stock nest.Stock) {
	w, h := box.W()+2*stock.Edge, box.H()+2*stock.Edge
	f := l.Add(diag.Warning, "nest-too-large", "the %s of %s is %.2f x %.2f mm as it is cut, and stock of %.4g x %.4g mm with %s free at its edges cannot hold it",
		k.word, name, box.W().MM(), box.H().MM(), stock.W.MM(), stock.H.MM(), stock.Edge).Of(name).About("stock."+k.key, "stock")
	switch {
	case k.pile.Turns != nest.AnyQuarter && h <= stock.W && w <= stock.H:
		f.Fix("let it be turned by quarters (turns: any), or take stock of at least %.1f x %.1f mm", up(w), up(h)).
			By("let them be turned by quarters", diag.Set, "stock."+k.key+".turns", "any")
	default:
		f.Fix("take stock of at least %.1f x %.1f mm, or cut it from a sheet of its own, by out/%s/%s", up(w), up(h), name, map[string]string{"face": "sheet-face.svg", "diffuser": "sheet-diffuser.svg", "led_sheet": "sheet-led.svg", "plate": "sheet-plate.svg", "frame": "sheet-frame.svg"}[k.key])
	}
}

// up is a length in mm, rounded up to a tenth.
func up(v geom.Nm) float64 { return math.Ceil(v.MM()*10) / 10 }

func faults(f *diag.Finding) diag.List {
	if f == nil {
		return nil
	}
	return diag.List{*f}
}

// stockFiles are the files of all sheets of stock.
func (s *session) stockFiles(out *Outcome) (files []bundle.File, fault *diag.Finding, ok bool) {
	if len(out.Nests) == 0 {
		return nil, nil, true
	}
	var in nestsIn
	for _, n := range out.Nests {
		files = append(files, n.files...)
		in.All = append(in.All, n.shown)
	}
	drawn, fault, ok := picturing.run(s, "", in)
	return append(files, drawn.Value.Files...), fault, ok
}
