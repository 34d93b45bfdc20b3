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
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// OrderResult is one manufacturing panel with several boards.
type OrderResult struct {
	Name        string             `json:"name"`
	Cut         string             `json:"cut"`
	Width       float64            `json:"width_mm"`
	Height      float64            `json:"height_mm"`
	Utilisation float64            `json:"utilisation"` // share of its area that is boards
	Packing     string             `json:"packing"`     // the heuristic
	Tabs        int                `json:"tabs"`
	Boards      []OrderBoardResult `json:"boards"`
	Travel      *DrillTravelResult `json:"drill_travel,omitempty"`
	Files       []string           `json:"files,omitempty"`
	files       []bundle.File      // below its folder
	proven      bool
}

// OrderBoardResult is one board of an order: where its lower left corner lies, in mm.
type OrderBoardResult struct {
	Panel string  `json:"panel"`
	X     float64 `json:"x"`
	Y     float64 `json:"y"`
	Turn  int     `json:"turn"` // degrees counter-clockwise
}

// DrillTravelResult is the way of the drill's spindle, as written and in the board's own order.
type DrillTravelResult struct {
	Written float64 `json:"written_mm"`
	Plain   float64 `json:"plain_mm"`
}

func drillTravel(a export.Artwork) *DrillTravelResult {
	short, plain := travel(a)
	if plain == 0 {
		return nil
	}
	return &DrillTravelResult{num(short.MM(), 1), num(plain.MM(), 1)}
}

// orders plans, writes and proves the arrays that the project asks for.
func (s *session) orders(out *Outcome) {
	for i, o := range s.project.Orders {
		var r OrderResult
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
		if r.proven = r.Name != "" && !l.HasErrors(); r.proven {
			out.Orders = append(out.Orders, r)
		}
	}
}

// order makes one array.
func (s *session) order(out *Outcome, o project.Order) (OrderResult, diag.List) {
	var l diag.List
	name := "order-" + o.Name
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
		return OrderResult{}, l
	}
	opt := gang.Options{Name: name, Width: o.Width, Height: o.Height, Rail: o.Rail, Gap: o.Gap, Mask: mask}
	parting := fmt.Sprintf("routed slots of %v, broken out at tabs with holes of 0.5 mm", o.Gap)
	if o.Cut == "v-cut" {
		opt.Cut = gang.Vcuts
		parting = "V-cuts from both sides, a third of the laminate left, on the lines of the V-cut layer"
	}
	plan, found := gang.Make(pieces, opt)
	if l = append(l, found...); l.HasErrors() {
		return OrderResult{}, l
	}
	fab, found := s.fabFiles(plan.Art, clearance, report.Pack{Array: strings.Join(listed, ", "), Parting: parting})
	l = append(l, found...)
	if !l.HasErrors() {
		l = append(l, ownPack(proveOrder(plan, pieces, fab), name)...)
	}
	size := plan.Art.Size
	r := OrderResult{Name: o.Name, Cut: o.Cut, Width: size.W().MM(), Height: size.H().MM(), Utilisation: num(plan.Used, 4),
		Packing: plan.Method, Tabs: len(plan.Tabs), Boards: []OrderBoardResult{}, Travel: drillTravel(plan.Art)}
	for _, b := range plan.Boards {
		r.Boards = append(r.Boards, OrderBoardResult{pieces[b.Piece].Art.Name, num(b.Box.Min.X.MM(), 6), num(b.Box.Min.Y.MM(), 6), 90 * b.Turn})
	}
	what := fmt.Sprintf("%.2f × %.2f mm, %.0f %% boards", r.Width, r.Height, 100*plan.Used)
	for _, f := range fab {
		r.files = append(r.files, bundle.File{Path: "fab/" + f.Path, Data: f.Data})
	}
	r.files = append(r.files,
		bundle.File{Path: name + "-fab.zip", Data: bundle.Zip(fab)},
		bundle.File{Path: "array-top.svg", Data: picture.Array(plan.Art, geom.Top, name, what)},
		bundle.File{Path: "array-bottom.svg", Data: picture.Array(plan.Art, geom.Bottom, name, "bottom, seen through the board: "+what)})
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
