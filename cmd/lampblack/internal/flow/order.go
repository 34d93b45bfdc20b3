package flow

import (
	"fmt"
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/gang"
	"lampblack/export/picture"
	"lampblack/export/readback"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Ordered is one manufacturing panel with several boards that was proven.
type Ordered struct {
	result.Order
	files []bundle.File // below its folder
}

func drillTravel(a export.Artwork) *result.DrillTravel { return result.DrillTravelOf(travel(a)) }

// orders plans, writes and proves the arrays that the project asks for.
func (s *session) orders(out *Outcome) {
	for i, o := range s.project.Orders {
		var r Ordered
		var l diag.List
		if f := guard(func() { r, l = s.order(out, o) }); f != nil {
			l = append(l, *f)
		}
		for k := range l {
			if l[k].Place.File == "" {
				at := l[k].Place.At
				l[k].Place = s.project.Place(fmt.Sprintf("order.%d", i))
				l[k].Place.At = at
			}
		}
		out.Findings = append(out.Findings, l...)
		if r.Name != "" && !l.HasErrors() {
			out.Orders = append(out.Orders, r)
		}
	}
}

// order makes one array.
func (s *session) order(out *Outcome, o project.Order) (Ordered, diag.List) {
	var l diag.List
	name := result.OrderFolder(o.Name)
	var pieces []gang.Piece
	var listed []string
	mask, clearance := s.project.Rules.MaskMargin, s.project.Rules.Clearance
	for _, want := range o.Boards {
		var known []string
		var b *Built
		for i := range out.Built {
			known = append(known, out.Built[i].Panel.Name)
			if strings.EqualFold(out.Built[i].Panel.Name, want.Panel) {
				b = &out.Built[i]
			}
		}
		if b == nil || b.Stopped != "" {
			f := l.Add(diag.Error, "order-no-board", "the order %s asks for a board %s that there is not", o.Name, want.Panel)
			f.Place = s.project.Place("order-board." + strings.ToLower(want.Panel))
			if b == nil {
				f.Fix("the boards are: %s", strings.Join(known, ", "))
			} else {
				f.Fix("mend the errors of panel %s, or take it out of the order", want.Panel)
			}
			continue
		}
		if strings.EqualFold(b.Panel.Name, name) {
			l.Add(diag.Error, "order-name", "the order's folder %s would be that of a panel", name).Fix("give the order another name")
			continue
		}
		pieces = append(pieces, gang.Piece{Art: artwork(b), Count: want.Count, EdgeClear: b.Board.Rules.CopperToEdge, HoleClear: b.Board.Rules.CopperToHole})
		listed = append(listed, fmt.Sprintf("%d x %s", want.Count, b.Panel.Name))
	}
	if l.HasErrors() || len(pieces) == 0 {
		return Ordered{}, l
	}
	opt := gang.Options{Name: name, Width: o.Width, Height: o.Height, Rail: o.Rail, Gap: o.Gap, Mask: mask}
	parting := fmt.Sprintf("routed slots of %v, broken out at tabs with holes of 0.5 mm", o.Gap)
	if o.Cut == "v-cut" {
		opt.Cut = gang.Vcuts
		parting = "V-cuts from both sides, a third of the laminate left, on the lines of the V-cut layer"
	}
	plan, found := gang.Make(pieces, opt)
	if l = append(l, found...); l.HasErrors() {
		return Ordered{}, l
	}
	fab, found := s.fabFiles(plan.Art, clearance, report.Pack{Array: strings.Join(listed, ", "), Parting: parting})
	l = append(l, found...)
	if !l.HasErrors() {
		l = append(l, ownPack(proveOrder(plan, pieces, fab), name)...)
	}
	size := plan.Art.Size
	r := Ordered{Order: result.OrderOf(o.Name, o.Cut, size, plan.Used)}
	r.Packing, r.Tabs, r.Travel = plan.Method, len(plan.Tabs), drillTravel(plan.Art)
	for _, b := range plan.Boards {
		r.Boards = append(r.Boards, result.OrderBoardOf(pieces[b.Piece].Art.Name, b.Box, b.Turn))
	}
	what := fmt.Sprintf("%.2f × %.2f mm, %.0f %% boards", r.Width, r.Height, 100*plan.Used)
	for _, f := range fab {
		r.files = append(r.files, bundle.File{Path: result.PackFolder + f.Path, Data: f.Data})
	}
	r.files = append(r.files,
		bundle.File{Path: result.OrderZip.Within(o.Name), Data: bundle.Zip(fab)},
		bundle.File{Path: result.ArrayTop.Within(o.Name), Data: picture.Array(plan.Art, geom.Top, name, what)},
		bundle.File{Path: result.ArrayBottom.Within(o.Name), Data: picture.Array(plan.Art, geom.Bottom, name, "bottom, seen through the board: "+what)})
	for _, f := range r.files {
		r.Files = append(r.Files, name+"/"+f.Path)
	}
	return r, l
}

// proveOrder reads the array back from its own bytes: it is what was planned, it hangs together, and each board in it is the
// board that was proven.
func proveOrder(plan gang.Plan, pieces []gang.Piece, fab []bundle.File) diag.List {
	pack, l := readBack(plan.Art, fab)
	if l.HasErrors() {
		return l
	}
	l = append(l, plan.Verify(pack.Artwork)...)
	for i, b := range plan.Boards {
		for _, f := range readback.Compare(gang.Bare(pieces[b.Piece].Art), plan.Extract(pack.Artwork, i)) {
			f.Text = fmt.Sprintf("board %d of the array: %s", i+1, f.Text)
			l = append(l, f)
		}
	}
	return l
}
