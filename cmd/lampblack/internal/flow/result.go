package flow

import (
	"bytes"
	"encoding/json"
	"math"
	"path/filepath"

	"lampblack/led"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Result is result.json. Lengths are mm in the drawing's frame, areas mm², the rest SI. Field names are stable; more may
// be added.
type Result struct {
	Lampblack string          `json:"lampblack"`
	Console   string          `json:"console"`
	Revision  string          `json:"revision,omitempty"`
	Date      string          `json:"date,omitempty"`
	Supply    *SupplyResult   `json:"supply,omitempty"`
	Chains    []ChainResult   `json:"chains"`
	Panels    []PanelResult   `json:"panels"`
	FabClass  string          `json:"fab_class,omitempty"`
	Orders    []OrderResult   `json:"orders,omitempty"`
	Files     []string        `json:"files"`
	Findings  []FindingResult `json:"findings"`
}

// SupplyResult is the supply and what the console asks of it.
type SupplyResult struct {
	Volts    WindowResult `json:"volts"`
	RatedA   float64      `json:"rated_a"`
	TypicalA float64      `json:"typical_a"`
	WorstA   float64      `json:"worst_a"`
	OtherA   float64      `json:"other_a"`
	DemandA  float64      `json:"demand_a"` // the most that boards and other loads ask for together
	Verdict  string       `json:"verdict"`

	Ohms          float64        `json:"ohms,omitempty"`
	TerminalVolts float64        `json:"terminal_volts"`
	Battery       *BatteryResult `json:"battery,omitempty"`
	Spread        *SpreadResult  `json:"spread,omitempty"`
}

// WindowResult is a range of voltages.
type WindowResult struct {
	Min     float64 `json:"min"`
	Nominal float64 `json:"nominal"`
	Max     float64 `json:"max"`
}

// ChainResult is a run of boards, the one nearest the supply first.
type ChainResult struct {
	From     string       `json:"from,omitempty"` // the panel that feeds it; else the supply
	Links    []LinkResult `json:"links"`
	BothEnds bool         `json:"both_ends,omitempty"`
	Back     *LinkResult  `json:"back,omitempty"` // the further feed to the last board
}

// LinkResult is one board of a chain.
type LinkResult struct {
	Panel         string  `json:"panel"`
	SegmentA      float64 `json:"segment_a"`
	SegmentWorstA float64 `json:"segment_worst_a"`
	Volts         float64 `json:"volts"`
	RelativeLight float64 `json:"relative_light"`   // of the brightest panel, dimmed as it is
	OfAsked       float64 `json:"current_of_asked"` // of its LEDs, relative to the current asked for
	FeedMM        float64 `json:"feed_mm"`
	FeedOhms      float64 `json:"feed_ohms"`
}

// PanelResult is one panel; what was not reached is left out.
type PanelResult struct {
	Name             string         `json:"name"`
	Drawing          string         `json:"drawing"`
	BBox             [4]float64     `json:"bbox_mm"`
	OutlineArea      float64        `json:"outline_area_mm2"`
	OutlinePerimeter float64        `json:"outline_perimeter_mm"`
	Holes            HolesResult    `json:"holes"`
	Openings         []LoopResult   `json:"openings"`
	Bodies           []LoopResult   `json:"bodies"`
	Lettering        []TextResult   `json:"lettering"`
	Light            *LightResult   `json:"light,omitempty"`
	Strings          []StringResult `json:"strings,omitempty"`
	Board            *BoardResult   `json:"board,omitempty"`
	Stopped          string         `json:"stopped,omitempty"` // the stage that found an error
	Files            []string       `json:"files,omitempty"`
}

// HolesResult is the round holes.
type HolesResult struct {
	LED   []HoleResult `json:"led"`
	Mount []HoleResult `json:"mount"`
}

// HoleResult is a hole's centre and diameter.
type HoleResult struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	D float64 `json:"d"`
}

// LoopResult is a closed loop.
type LoopResult struct {
	Area float64    `json:"area_mm2"`
	BBox [4]float64 `json:"bbox_mm"`
}

// TextResult is a piece of lettering, by its anchor.
type TextResult struct {
	Text   string  `json:"text"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Height float64 `json:"height"`
}

// LightResult is how evenly the lettering is lit, in cd/m².
type LightResult struct {
	LitResult
	Relative bool        `json:"relative,omitempty"` // an LED's intensity is not known: only ratios mean something
	Words    []LitResult `json:"words,omitempty"`
}

// LitResult is the light of a word or of all lettering, in cd/m².
type LitResult struct {
	Text      string  `json:"text,omitempty"`
	Mean      float64 `json:"mean"`
	Min       float64 `json:"min"`
	Max       float64 `json:"max"`
	MinToMean float64 `json:"min_to_mean"`
	MaxToMin  float64 `json:"max_to_min"`
}

func litResult(text string, f light.Figures) LitResult {
	return LitResult{text, num(f.Mean, 3), num(f.Min, 3), num(f.Max, 3), num(f.MinToMean, 4), num(f.MaxToMin, 4)}
}

// StringResult is one string.
type StringResult struct {
	LEDs     []string `json:"leds"`
	Resistor string   `json:"resistor"`
	Ohms     float64  `json:"ohms"`
	RatedW   float64  `json:"rated_w"`
	WorstW   float64  `json:"worst_w"`
	TypicalA float64  `json:"typical_a"`
	MinA     float64  `json:"min_a"`
	MaxA     float64  `json:"max_a"`
}

// BoardResult is one finished board.
type BoardResult struct {
	Width        float64 `json:"width_mm"`
	Height       float64 `json:"height_mm"`
	Area         float64 `json:"area_mm2"`
	Nets         int     `json:"nets"`
	Connections  int     `json:"connections"`
	Unrouted     int     `json:"unrouted"`
	TrackMM      float64 `json:"track_mm"`
	Vias         int     `json:"vias"`
	MinClearance float64 `json:"min_clearance_mm"`

	SignalMM    float64        `json:"signal_mm"`    // tracks within the strings
	SignalRatio float64        `json:"signal_ratio"` // over their spanning trees
	Hops        HopsResult     `json:"hops"`
	SignalVias  int            `json:"signal_vias"`
	StitchVias  int            `json:"stitch_vias"` // between areas
	Areas       int            `json:"areas"`
	Spokes      int            `json:"spokes"`
	Cover       float64        `json:"cover"`             // share of both sides that areas cover
	Through     *ThroughResult `json:"through,omitempty"` // from IN to OUT
	MinTrack    float64        `json:"min_track_mm"`
	MinRing     float64        `json:"min_ring_mm"`
	MinHole     float64        `json:"min_hole_mm"`
	MinEdge     float64        `json:"min_edge_mm"` // copper to the board's edge

	Tightest *LimitResult       `json:"tightest,omitempty"` // the limit that the board comes nearest to
	Travel   *DrillTravelResult `json:"drill_travel,omitempty"`
}

// LimitResult is a limit and what the board uses of it.
type LimitResult struct {
	Limit    string  `json:"limit"`
	Found    float64 `json:"found_mm"`
	Required float64 `json:"required_mm"`
}

// HopsResult is the way from LED to LED within the strings: between the centres of the LEDs, the least that any grouping could
// have, and how much keeping all LEDs one way costs.
type HopsResult struct {
	MM         float64 `json:"mm"`
	BoundMM    float64 `json:"bound_mm"`
	Ratio      float64 `json:"ratio"`
	KeepTurnMM float64 `json:"keep_turn_mm,omitempty"`
}

// ThroughResult is the resistance from IN to OUT of the supply and of 0 V: of the copper as it is, and by the ruler along the
// tracks alone.
type ThroughResult struct {
	PlusOhms        float64 `json:"plus_ohms"`
	MinusOhms       float64 `json:"minus_ohms"`
	SimplePlusOhms  float64 `json:"simple_plus_ohms"`
	SimpleMinusOhms float64 `json:"simple_minus_ohms"`
}

// FindingResult is one finding.
type FindingResult struct {
	Code     string          `json:"code"`
	Severity string          `json:"severity"`
	Panel    string          `json:"panel,omitempty"`
	File     string          `json:"file,omitempty"`
	Line     int             `json:"line,omitempty"`
	Column   int             `json:"column,omitempty"`
	Layer    string          `json:"layer,omitempty"`
	Handle   string          `json:"handle,omitempty"`
	At       *[2]float64     `json:"at,omitempty"`
	Text     string          `json:"text"`
	Advice   string          `json:"advice,omitempty"`
	Related  []RelatedResult `json:"related,omitempty"`
}

// RelatedResult is a second place that explains a finding.
type RelatedResult struct {
	Text string      `json:"text"`
	File string      `json:"file,omitempty"`
	Line int         `json:"line,omitempty"`
	At   *[2]float64 `json:"at,omitempty"`
}

// JSON returns the result as result.json has it.
func (r Result) JSON() []byte { return encoded(r) }

func encoded(v any) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		panic("flow: result: " + err.Error()) // numbers are finite by num, the rest cannot fail
	}
	return b.Bytes()
}

// num rounds to k decimals; what is no number becomes 0, as JSON has no other word for it.
func num(v float64, k int) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	p := math.Pow10(k)
	if math.Abs(v) > 1e15/p {
		return v
	}
	return math.Round(v*p)/p + 0 // + 0 makes -0 plain 0
}

// result fills out.Result from what was reached.
func (s *session) result(out *Outcome) {
	r := &out.Result
	*r = Result{
		Lampblack: s.set.Version, Console: s.project.Console, Revision: s.project.Revision, Date: s.day(),
		Chains: []ChainResult{}, Panels: []PanelResult{}, Files: []string{},
		Findings: s.relative(Findings(out.Findings)),
	}
	if out.Circuit.Boards != nil {
		c := out.Circuit.Source
		r.Supply = &SupplyResult{
			Volts:  WindowResult{num(float64(c.Min), 6), num(float64(c.Nominal), 6), num(float64(c.Max), 6)},
			RatedA: num(float64(c.Rated), 9), TypicalA: num(float64(c.Typical), 9),
			WorstA: num(float64(c.Worst), 9), OtherA: num(float64(c.Other), 9), DemandA: num(float64(c.Demand), 9),
			Verdict: c.Verdict.String(), Ohms: num(float64(c.Ohms), 9), TerminalVolts: num(float64(c.Volts), 6),
			Battery: batteryResult(c.Battery), Spread: spreadResult(out.Spread),
		}
	}
	for _, c := range out.Circuit.Chains {
		r.Chains = append(r.Chains, chainResult(c))
	}
	if !s.supplyOnly {
		r.FabClass = s.project.Class
	}
	for _, o := range out.Orders {
		if !s.set.Pack {
			o.Files = nil // nothing is written
		}
		r.Orders = append(r.Orders, o)
	}
	for _, b := range out.Built {
		p := Panel(b.Panel)
		s.panelResult(&p, b)
		r.Panels = append(r.Panels, p)
	}
	if out.Packs > 0 && !s.supplyOnly && s.set.Pack {
		r.Files = []string{"result.json", "report.html", "parts.csv", "order.csv", "chain.cir", "wiring.svg", "console.png"}
	}
}

func (s *session) panelResult(p *PanelResult, b Built) {
	p.Strings = stringResults(b.Wiring)
	p.Stopped = b.Stopped
	if s.supplyOnly {
		return
	}
	if b.Field.Mean > 0 {
		p.Light = &LightResult{LitResult: litResult("", b.Field.Figures), Relative: b.Field.Assumed}
		for _, w := range b.Field.Words {
			p.Light.Words = append(p.Light.Words, litResult(w.Text, w.Figures))
		}
	}
	if len(b.Board.Outline) > 0 {
		box := b.Board.Outline.Box()
		p.Board = &BoardResult{
			Width: (box.Max.X - box.Min.X).MM(), Height: (box.Max.Y - box.Min.Y).MM(),
			Area: num(b.Board.Material().Area(), 4),
			Nets: b.Figures.Nets, Connections: b.Figures.Connections, Unrouted: b.Figures.Unrouted,
			TrackMM: num(b.Figures.TrackLen.MM(), 3), Vias: b.Figures.Vias, MinClearance: b.Figures.MinClearance.MM(),
			MinTrack: b.Figures.MinTrack.MM(), MinRing: b.Figures.MinRing.MM(), MinHole: b.Figures.MinDrill.MM(), MinEdge: b.Figures.MinEdge.MM(),
			Travel: b.Travel,
		}
		if t := b.Figures.Tightest; t.Name != "" {
			p.Board.Tightest = &LimitResult{t.Name, t.Found.MM(), t.Required.MM()}
		}
	}
	if p.Board != nil {
		p.Board.quality(b)
	}
	if !s.set.Pack {
		return // nothing is written
	}
	for _, f := range b.Files {
		p.Files = append(p.Files, b.Panel.Name+"/"+f.Path)
	}
}

func stringResults(w led.Wiring) []StringResult {
	var out []StringResult
	for _, t := range w.Strings {
		r := w.Resistors[t.Resistor]
		one := StringResult{
			LEDs: []string{}, Resistor: r.Ref, Ohms: num(float64(r.Ohms), 6), RatedW: num(float64(r.Rated), 6),
			WorstW: num(float64(t.Worst), 9), TypicalA: num(float64(t.Nominal), 9),
			MinA: num(float64(t.Min), 9), MaxA: num(float64(t.Max), 9),
		}
		for _, i := range t.LEDs {
			one.LEDs = append(one.LEDs, w.LEDs[i].Ref)
		}
		out = append(out, one)
	}
	return out
}

// Panel returns what the drawing alone tells of a panel.
func Panel(q panel.Panel) PanelResult {
	f := frame(q.Origin)
	p := PanelResult{
		Name: q.Name, Drawing: q.Drawing, BBox: f.box(q.Outline.Box()),
		OutlineArea: num(q.Outline.Area(), 6), OutlinePerimeter: num(q.Outline.Perimeter(), 6),
		Holes:    HolesResult{LED: f.holes(q.LEDs), Mount: f.holes(q.Mounts)},
		Openings: []LoopResult{}, Bodies: []LoopResult{}, Lettering: []TextResult{},
	}
	for _, o := range q.Openings {
		p.Openings = append(p.Openings, f.loop(o.Contour))
	}
	for _, c := range q.Bodies {
		p.Bodies = append(p.Bodies, f.loop(c))
	}
	for _, t := range q.Lettering {
		x, y := f.at(t.At)
		p.Lettering = append(p.Lettering, TextResult{t.Text, x, y, t.Height.MM()})
	}
	return p
}

// frame takes positions of a panel to its drawing.
type frame panel.Origin

func (f frame) at(p geom.Pt) (x, y float64) { return num(p.X.MM()+f.X, 6), num(p.Y.MM()+f.Y, 6) }

func (f frame) box(b geom.Box) [4]float64 {
	x0, y0 := f.at(b.Min)
	x1, y1 := f.at(b.Max)
	return [4]float64{x0, y0, x1, y1}
}

func (f frame) holes(hs []panel.Hole) []HoleResult {
	out := []HoleResult{}
	for _, h := range hs {
		x, y := f.at(h.At)
		out = append(out, HoleResult{x, y, h.D.MM()})
	}
	return out
}

func (f frame) loop(c geom.Contour) LoopResult {
	return LoopResult{num(c.Area(), 6), f.box(c.Box())}
}

// Findings returns findings as result.json has them.
func Findings(l diag.List) []FindingResult {
	out := []FindingResult{}
	for _, d := range l {
		f := FindingResult{
			Code: d.Code, Severity: d.Severity.String(), Panel: d.Panel, File: d.Place.File, Line: d.Place.Line, Column: d.Place.Column,
			Layer: d.Place.Layer, Handle: d.Place.Handle, At: point(d.Place.At), Text: d.Text, Advice: d.Advice,
		}
		for _, r := range d.Related {
			f.Related = append(f.Related, RelatedResult{r.Text, r.Place.File, r.Place.Line, point(r.Place.At)})
		}
		out = append(out, f)
	}
	return out
}

// relative names files as the project does, so that a result does not depend on the folder that lampblack is called in.
func (s *session) relative(l []FindingResult) []FindingResult {
	name := func(file string) string {
		if file != "" && file == s.project.File {
			return filepath.Base(file)
		}
		for i, q := range s.project.Panels {
			if file == s.project.Path(i) {
				return told(q.Drawing)
			}
		}
		return file
	}
	for i := range l {
		l[i].File = name(l[i].File)
		for j := range l[i].Related {
			l[i].Related[j].File = name(l[i].Related[j].File)
		}
	}
	return l
}

func point(p *diag.Point) *[2]float64 {
	if p == nil {
		return nil
	}
	return &[2]float64{num(p.X, 6), num(p.Y, 6)}
}
