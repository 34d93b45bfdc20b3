package flow

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/result"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/read"
	"lampblack/panel/seat"
)

// LEDs where none are drawn: under the lettering for even light, and where there is none to be lit, an even field.
const (
	usualEven   = 0.7                  // of the lettering's darkest place over its mean
	usualPitch  = 25 * geom.Millimetre // of a field: some three times the way to the diffuser that most consoles have
	usualPlaced = 60                   // LEDs at most where the project tells no number: a supply of 2 A carries several such panels
	coarsest    = 40 * geom.Millimetre // pitches that are tried for an evenness, from here on
)

// benchIn is a panel without LEDs and lettering, the room behind it included, and the LEDs that it is to be given.
type benchIn struct {
	Panel    panel.Panel
	Package  string
	Hole     geom.Nm
	Rules    board.Rules
	Laminate board.Laminate
}

type benchOut struct {
	says
	Seats shape.Seats
}

// benching finds where LEDs have room. It is asked again when a board with fewer of them is tried, and answers at once then.
var benching = stage[benchIn, benchOut]{"room for LEDs", func(_ context.Context, in benchIn) benchOut {
	return benchOut{Seats: shape.SeatsOf(in.Panel, in.Package, in.Hole, in.Rules, in.Laminate)}
}}

// seatIn is a panel without LEDs, where they have room, and what it is to be given.
type seatIn struct {
	Of      engraved
	Bench   memo.Kept[benchOut]
	Kind    part.LED
	Current part.Amp
	Stack   light.Stack
	Hot     float64 // the brightest place to the mean, at most; 0: however bright
	Wish    project.Place
	Told    bool            // the project tells Wish
	Kinds   []read.KindRule // that the project tells for LEDs that are drawn
	Sets    []seatSet       // of LEDs, in place of Kind, Current and Bench, where there are several
	Fewer   int             // this many, since a board with more, or placed otherwise, found no room for its parts and tracks; 0: as is wished
}

// seatSet is a set of LEDs that is to light all of the lettering by itself, and where such LEDs have room.
type seatSet struct {
	Name    string
	Kind    part.LED
	Current part.Amp
	Bench   memo.Kept[benchOut]
}

type seatOut struct {
	says
	LEDs []panel.Hole
}

// seating places the LEDs of a panel that has none.
var seating = stage[seatIn, seatOut]{"LEDs", func(ctx context.Context, in seatIn) seatOut {
	p, hole := in.Of.Panel, holeOf(in.Of.Panel, in.Kind)
	var out seatOut
	if len(in.Sets) > 0 {
		out.LEDs, out.Findings = inSets(ctx, in)
		return out
	}
	seats := in.Bench.Value.Seats
	s := seater{seatIn: in, hole: hole, rows: light.Rows{Ample: seats.Ample, Tight: seats.Tight, Spacing: seats.Spacing}}
	if in.Fewer > 0 && len(seats.Ample) > 0 {
		s.rows.Tight = seats.Ample // where LEDs have room, tracks have too
	}
	at := s.places(ctx, &out.Findings)
	if len(at) == 0 {
		if !out.Findings.HasErrors() {
			out.Findings.Add(diag.Error, "led-no-room", "no LED holes are drawn, and none finds room on a board behind the panel: what openings, bodies and screws leave of it is too narrow").
				Of(p.Name).About(diag.PanelKey(p.Name, "place"), "defaults.place").InsteadOf("panel-no-leds").
				Fix("leave the board more room, or write place: no, for the sheets alone")
		}
		return out
	}
	for _, q := range at {
		out.LEDs = append(out.LEDs, panel.Hole{At: q, D: hole, Placed: true})
	}
	s.tell(at, &out.Findings)
	return out
}}

// seater is a panel's LEDs in the making.
type seater struct {
	seatIn
	hole geom.Nm
	rows light.Rows
	why  string // what they are placed for, in words
}

func (s *seater) lettered() bool { return len(s.Of.Panel.Lettering)+len(s.Of.Panel.Symbols) > 0 }

// places returns where the LEDs go.
func (s *seater) places(ctx context.Context, l *diag.List) []geom.Pt {
	if len(s.rows.Tight) == 0 {
		return nil
	}
	opt := light.Options{
		Stack: s.Stack, Kind: s.Kind, Current: s.Current, Hole: s.hole, Room: s.rows.Ample, Spacing: s.rows.Spacing, Engraving: s.Of.areas(),
		Count: s.Wish.Count, Even: s.Wish.Even, Most: usualPlaced,
	}
	if s.Fewer > 0 {
		opt.Count, opt.Even = s.Fewer, 0
	}
	if len(opt.Room) == 0 {
		opt.Room = s.rows.Tight
	}
	switch {
	case s.lettered():
		if opt.Count == 0 && opt.Even == 0 {
			opt.Even = usualEven
		}
		plan, _ := light.Place(ctx, s.Of.Panel, opt)
		if len(plan.LEDs) == 0 {
			break // far from all lettering there may be room yet
		}
		if s.Told && plan.After.MinToMean < s.Wish.Even {
			s.uneven(plan.After.MinToMean, l)
		}
		s.why = fmt.Sprintf("under the lettering, whose darkest place gets %.0f %% of its mean", 100*plan.After.MinToMean)
		at := make([]geom.Pt, len(plan.LEDs))
		for i, h := range plan.LEDs {
			at[i] = h.At
		}
		return at
	}
	s.why = "in an even field, as there is no lettering to be lit"
	if s.lettered() {
		s.why = "in an even field, as too few find room under the lettering"
	}
	var at []geom.Pt
	switch {
	case s.Fewer > 0 && s.Wish.Count == 0:
		at = s.rows.Of(s.Fewer)
	case s.Wish.Count > 0:
		if at = s.rows.Of(s.Wish.Count); len(at) < s.Wish.Count {
			l.Add(diag.Warning, "led-place-fewer", "only %d LEDs find room behind the panel; %d are wanted", len(at), s.Wish.Count).Of(s.Of.Panel.Name).
				About(diag.PanelKey(s.Of.Panel.Name, "place"), "defaults.place").Fix("ask for fewer, or make room").
				By(fmt.Sprintf("ask for %d", len(at)), diag.Set, diag.PanelKey(s.Of.Panel.Name, "place"), diag.Pairs{{Key: "count", Value: strconv.Itoa(len(at))}})
		}
	case s.Wish.Even > 0:
		at = s.even(ctx, l)
	default:
		at = s.field(usualPitch)
	}
	return at
}

// field returns an even field of the pitch, or of a wider one where that would be too many.
func (s *seater) field(pitch geom.Nm) []geom.Pt {
	for {
		at := s.rows.At(pitch, usualPlaced+1)
		if len(at) <= usualPlaced {
			return at
		}
		pitch = pitch * 11 / 10
	}
}

// dimmest is the least mean of a field that is chosen for its evenness, as a share of what the usual field gives: as relight has it.
const dimmest = 0.5

// even returns the widest field that lights the panel as evenly as is wanted, without a bright spot and not dimly, or the one that
// comes nearest to that: few LEDs far from all may be even, and dark.
func (s *seater) even(ctx context.Context, l *diag.List) []geom.Pt {
	lit := func(at []geom.Pt) light.Figures {
		return light.Illumination(ctx, s.Of.Panel, at, light.Options{Stack: s.Stack, Kind: s.Kind, Current: s.Current, Hole: s.hole, Engraving: s.Of.areas()})
	}
	floor := dimmest * lit(s.field(usualPitch)).Mean
	var best []geom.Pt
	most, got, before := 0.0, 0.0, 0
	for pitch := coarsest; pitch >= s.rows.Spacing; pitch = pitch * 4 / 5 {
		at := s.rows.At(pitch, usualPlaced+1)
		if len(at) > usualPlaced || ctx.Err() != nil {
			break
		}
		if len(at) == before {
			continue
		}
		before = len(at)
		f := lit(at)
		good := min(f.MinToMean, s.Wish.Even)
		if s.Hot > 0 && f.Max > s.Hot*f.Mean {
			good *= s.Hot * f.Mean / f.Max
		}
		if f.Mean < floor {
			good *= f.Mean / floor
		}
		if len(best) == 0 || good > most {
			best, most, got = at, good, f.MinToMean
		}
		if good >= s.Wish.Even {
			break
		}
	}
	if got < s.Wish.Even {
		s.uneven(got, l)
	}
	return best
}

func (s *seater) uneven(got float64, l *diag.List) {
	best := math.Floor(100*got) / 100
	l.Add(diag.Warning, "led-place-uneven", "an evenness of %.2g is wanted, and %.2g is the best that was found", s.Wish.Even, best).Of(s.Of.Panel.Name).
		About(diag.PanelKey(s.Of.Panel.Name, "place"), "defaults.place").By(fmt.Sprintf("ask for %.2g", best), diag.Set, diag.PanelKey(s.Of.Panel.Name, "place"), evenness(best)).
		Fix("ask for less, or for a number: place: {count: 40}; put the diffuser farther from the LEDs, or choose a denser grade")
}

// evenness is a place of the project file that asks for it.
func evenness(v float64) diag.Pairs { return diag.Pairs{{Key: "even", Value: fmt.Sprintf("%.2g", v)}} }

// tell says what was placed, and why.
func (s *seater) tell(at []geom.Pt, l *diag.List) {
	what := fmt.Sprintf("%d holes of %v for %s are placed", len(at), s.hole, s.Kind.Name)
	if len(at) == 1 {
		what = fmt.Sprintf("one hole of %v for %s is placed", s.hole, s.Kind.Name)
	}
	if s.Fewer > 0 && s.Wish.Count == 0 {
		s.why += "; a board with more of them found no room for its parts and tracks"
	}
	f := l.Add(diag.Note, "led-placed", "no LED holes are drawn: %s %s", what, s.why).Of(s.Of.Panel.Name).
		About(diag.PanelKey(s.Of.Panel.Name, "place"), "defaults.place").InsteadOf("panel-no-leds").
		Fix("look at them in %s, a drawing for CAD; to change them, write into the panel's entry of %s place: {even: 0.7}, or place: {count: 24}, or place: no, for the sheets alone; or draw them",
			result.PanelLEDs.Of(s.Of.Panel.Name), project.FileName)
	if !s.Told {
		f.ToldFirst()
	}
	var others []string
	for _, r := range s.Kinds {
		if name := fmt.Sprintf("%s for %s", r.Kind, r.Rule); !r.Shared && !strings.EqualFold(r.Kind, s.Kind.Name) && !slices.Contains(others, name) {
			others = append(others, name)
		}
	}
	if len(others) > 0 {
		l.Add(diag.Warning, "led-place-kinds", "all LEDs that are placed are %s, though the project tells other kinds by rules (%s): rules are for holes that are drawn, and none is", s.Kind.Name, strings.Join(others, ", ")).
			Of(s.Of.Panel.Name).About(diag.PanelKey(s.Of.Panel.Name, "led"), "defaults.led").
			Fix("draw the holes of all kinds, and %s makes each colour even; or write the one kind, led: %s", diag.Deed{Typed: "'lampblack relight'", Clicked: "placing them under Light"}, s.Kind.Name).
			By("all are "+s.Kind.Name, diag.Set, diag.PanelKey(s.Of.Panel.Name, "led"), s.Kind.Name)
	}
}

// seatSets returns the sets of LEDs of a panel, with where they have room.
func (s *session) seatSets(name string, foot, bare panel.Panel, set led.Settings) (out []seatSet, fault *diag.Finding, ok bool) {
	for _, g := range s.project.SetsOf(name) {
		kind, known := s.project.Kind(g.LEDs[0])
		if !known {
			continue
		}
		bench, fault, ok := benching.run(s, name, benchIn{bare, kind.Package, holeOf(foot, kind), s.project.Rules, s.project.Laminate})
		if !ok {
			return nil, fault, false
		}
		out = append(out, seatSet{g.Name, kind, set.CurrentOf(kind.Name), bench})
	}
	return out, nil, true
}

// seated gives the panels that have no LEDs theirs, and tells of it.
func (s *session) seated(panels []panel.Panel, told *diag.List) []panel.Panel {
	out := slices.Clone(panels)
	for i, d := range s.drawings {
		for k, q := range d.Panels {
			if len(q.LEDs) == 0 && d.Entry.Place.None {
				var l diag.List
				l.Add(diag.Note, "led-not-placed", "no LED holes are drawn, and the project wants none placed: the panel gets its sheets, no board, and no place in the chain").
					Of(q.Name).About(diag.PanelKey(q.Name, "place"), "defaults.place").InsteadOf("panel-no-leds").Fix("nothing to do if that is meant")
				*told = joined(*told, s.shifted(l, panels))
			}
			at := slices.IndexFunc(out, func(o panel.Panel) bool { return o.Name == q.Name && o.Drawing == q.Drawing })
			if len(q.LEDs) > 0 || d.Entry.Place.None || at < 0 || slices.ContainsFunc(s.set.Counts, func(c Count) bool { return c.Panel == q.Name }) {
				continue
			}
			set := settings(s.project, d.Entry, Request(s.project, nil).Defaults)
			foot := sheets(q)
			foot.Room, foot.Unclosed = q.Room, slices.Concat(q.Unclosed, seat.Covered(q, sheetsOf(s.project)), s.taken(q, d.Entry.Connectors, set.ConnectorPackage))
			bare := foot
			bare.Lettering, bare.Symbols = nil, nil
			var seats memo.Kept[seatOut]
			bench, fault, ok := benching.run(s, q.Name, benchIn{bare, set.Kind.Package, holeOf(foot, set.Kind), s.project.Rules, s.project.Laminate})
			if ok {
				of := engraved{Panel: foot}
				var sets []seatSet
				if of.Lettering, fault, ok = engraving.run(s, q.Name, s.engraveIn(q)); ok && len(q.Lettering)+len(q.Symbols) > 0 {
					sets, fault, ok = s.seatSets(q.Name, foot, bare, set)
				}
				if ok {
					seats, fault, ok = seating.run(s, q.Name, seatIn{
						of, bench, set.Kind, set.Current, s.project.Stack, s.project.Light.Hot, d.Entry.Place, d.Entry.Place != (project.Place{}), d.Entry.LEDs, sets, s.fewer[q.Name],
					})
				}
			}
			l := seats.Value.Findings
			switch {
			case fault != nil:
				l = diag.List{*fault}
			case !ok:
				continue
			}
			*told = joined(*told, s.shifted(slices.Clone(l).WithPanel(q.Name), panels))
			q.LEDs = seats.Value.LEDs
			if len(q.Windows()) > 0 {
				q = q.Assigned()
			}
			out[at].LEDs, s.drawings[i].Panels[k].LEDs = q.LEDs, q.LEDs
		}
	}
	return out
}

// inSets places several sets of LEDs, each for even light by itself.
func inSets(ctx context.Context, in seatIn) (leds []panel.Hole, l diag.List) {
	name := in.Of.Panel.Name
	opt := light.Options{Stack: in.Stack, Engraving: in.Of.areas(), Count: in.Wish.Count, Even: in.Wish.Even, Most: usualPlaced}
	if opt.Count == 0 && opt.Even == 0 {
		opt.Even = usualEven
	}
	if in.Fewer > 0 {
		opt.Count, opt.Even = max(1, in.Fewer/len(in.Sets)), 0
	}
	var lamps []light.Lamp
	var amps []part.Amp
	for _, s := range in.Sets {
		seats := s.Bench.Value.Seats
		room := seats.Ample
		if len(room) == 0 {
			room = seats.Tight
		}
		lamps = append(lamps, light.Lamp{Name: s.Kind.Name, Kind: s.Kind, Hole: holeOf(in.Of.Panel, s.Kind), Room: room, Spacing: seats.Spacing})
		amps = append(amps, s.Current)
	}
	plans, _ := light.PlaceSets(ctx, in.Of.Panel, opt, lamps, amps)
	var what []string
	for i, s := range in.Sets {
		if i >= len(plans) || len(plans[i].LEDs) == 0 {
			l.Add(diag.Error, "led-no-room", "no LED holes are drawn, and the set %s finds no room behind the lettering", s.Name).
				Of(name).About(diag.PanelKey(name, "place"), "defaults.place").InsteadOf("panel-no-leds").
				Fix("leave the board more room, ask for fewer LEDs or less even light (place), or draw them")
			continue
		}
		even := plans[i].After.MinToMean
		what = append(what, fmt.Sprintf("%s %d of %s, whose darkest lettering gets %.0f %% of the mean", s.Name, len(plans[i].LEDs), s.Kind.Name, 100*even))
		if in.Told && even < in.Wish.Even {
			l.Add(diag.Warning, "led-place-uneven", "an evenness of %.2g is wanted, and %.2g is the best that was found for the set %s", in.Wish.Even, math.Floor(100*even)/100, s.Name).Of(name).
				About(diag.PanelKey(name, "place"), "defaults.place").By(fmt.Sprintf("ask for %.2g", math.Floor(100*even)/100), diag.Set, diag.PanelKey(name, "place"), evenness(math.Floor(100*even)/100)).
				Fix("ask for less, or for a number: place: {count: 40}; put the diffuser farther from the LEDs, or choose a denser grade")
		}
		for _, h := range plans[i].LEDs {
			leds = append(leds, panel.Hole{At: h.At, D: h.D, Kind: s.Kind.Name, Placed: true})
		}
	}
	if l.HasErrors() {
		return nil, l
	}
	f := l.Add(diag.Note, "led-placed", "no LED holes are drawn: LEDs are placed in sets, each for even light by itself: %s", strings.Join(what, "; ")).Of(name).
		About(diag.PanelKey(name, "place"), "defaults.place").InsteadOf("panel-no-leds").
		Fix("look at them in %s, a drawing for CAD; place: {even: 0.7} or place: {count: 24} in the panel's entry of %s says how even, or how many in each set", result.PanelLEDs.Of(name), project.FileName)
	if !in.Told {
		f.ToldFirst()
	}
	return leds, l
}

// place returns what the project says of LEDs for a panel that has none.
func (s *session) place(q panel.Panel) project.Place {
	if i, ok := s.drawn(q); ok {
		return s.drawings[i].Entry.Place
	}
	return project.Place{}
}

// unlit reports whether a panel is to have no LEDs: none are drawn, and the project wants none.
func (s *session) unlit(q panel.Panel) bool { return len(q.LEDs) == 0 && s.place(q).None }

// thin asks for fewer LEDs, seven of ten, on panels whose boards came to nothing with those that were placed, and reports whether
// there are any. Where the project tells their number, they are only moved to where they have ample room, once. What fewer LEDs do
// not mend, as a connector that is told to stand in an opening, leaves them as they are.
func (s *session) thin(out Outcome) bool {
	more := false
	for _, b := range out.Built {
		placed := slices.ContainsFunc(b.Panel.LEDs, func(h panel.Hole) bool { return h.Placed })
		if !placed || len(b.Panel.LEDs) < 2 || s.place(b.Panel).Count > 0 && s.fewer[b.Panel.Name] > 0 {
			continue
		}
		if b.Stopped == placing.name && slices.ContainsFunc(b.Boards, func(m Made) bool { return m.Placed.Regardless }) {
			continue
		}
		if b.Stopped == placing.name || b.Stopped == routing.name || b.Stopped == filling.name {
			n := max(1, len(b.Panel.LEDs)*7/10)
			if s.place(b.Panel).Count > 0 {
				n = len(b.Panel.LEDs)
			}
			s.fewer[b.Panel.Name], more = n, true
		}
	}
	return more
}
