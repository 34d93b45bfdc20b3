package result

import (
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Console is result.json.
type Console struct {
	Lampblack   string       `json:"lampblack" doc:"version of Lampblack"`
	Console     string       `json:"console" doc:"name of the whole"`
	Revision    string       `json:"revision,omitempty" doc:"as printed on the boards"`
	Date        string       `json:"date,omitempty" doc:"year-month-day, where one was given" schema:"format=date"`
	Copies      int          `json:"copies,omitempty" doc:"consoles to make" schema:"min=1"`
	Supply      *Supply      `json:"supply,omitempty" doc:"the supply; absent where no currents could be computed"`
	Bright      *Bright      `json:"bright,omitempty" doc:"how bright the lettering is; absent where that is not known"`
	AnotherLots []AnotherLot `json:"another_lots,omitempty" doc:"resistors for LEDs of a further lot that is brighter or dimmer"`
	Chains      []Chain      `json:"chains" doc:"runs of boards along the feed"`
	Panels      []Panel      `json:"panels" doc:"the panels, in the project's order"`
	FabClass    string       `json:"fab_class,omitempty" doc:"class of fabrication that the limits are of"`
	Orders      []Order      `json:"orders,omitempty" doc:"several boards on one manufacturing panel"`
	Nests       []Nest       `json:"nests,omitempty" doc:"the panels' sheets on stock, where the project has it"`
	Cost        *Cost        `json:"cost,omitempty" doc:"work, material and what they cost; absent where nothing was built"`
	Files       []string     `json:"files" doc:"files of the whole console, below the output folder"`
	Findings    []Finding    `json:"findings" doc:"what the user must know, gravest first"`

	// By these, a file that was edited since is known, and kept.
	Digests map[string]string `json:"digests,omitempty" doc:"SHA-256 of each file that is written but of this one, by its path below the output folder" schema:"pattern=^[0-9a-f]{64}$"`
	Seal    string            `json:"seal,omitempty" doc:"SHA-256 of this file with zeros in the place of these digits" schema:"pattern=^[0-9a-f]{64}$"`
}

// Supply is the supply and what the console asks of it.
type Supply struct {
	Volts    Window  `json:"volts" doc:"at its terminals"`
	RatedA   float64 `json:"rated_a" doc:"what it can deliver, A" schema:"min=0"`
	TypicalA float64 `json:"typical_a" doc:"what the boards take, of dimmed groups in the mean, A" schema:"min=0"`
	PeakA    float64 `json:"peak_a" doc:"what the boards take while all groups are on, A" schema:"min=0"`
	WorstA   float64 `json:"worst_a" doc:"what the boards take at worst, A" schema:"min=0"`
	OtherA   float64 `json:"other_a" doc:"what other loads on it take, A" schema:"min=0"`
	DemandA  float64 `json:"demand_a" doc:"the most that boards and other loads ask for together, A" schema:"min=0"`
	Verdict  string  `json:"verdict" doc:"whether it holds; none: nothing can be said" schema:"enum=ok|tight|over|none"`
	Sentence string  `json:"sentence" doc:"the verdict in a sentence"`

	Ohms          float64     `json:"ohms,omitempty" doc:"inside it" schema:"min=0"`
	TerminalVolts float64     `json:"terminal_volts" doc:"at its terminals under the typical load, all groups on" schema:"min=0"`
	SwitchOnA     float64     `json:"switch_on_a,omitempty" doc:"the most that all asks for when it is switched on at once, where an other load tells its inrush, A" schema:"min=0"`
	Switching     []Switching `json:"switching,omitempty" doc:"what switching on an other load does while all else is on, where the supply has a resistance"`
	Battery       *Battery    `json:"battery,omitempty" doc:"where it is a battery"`
	Spread        *Spread     `json:"spread,omitempty" doc:"consoles built by chance, where they were asked for"`
}

// Switching is what switching on an other load does to the supply's voltage and to the light.
type Switching struct {
	Load   string  `json:"load" doc:"its name"`
	Before float64 `json:"before_v" doc:"at the supply's terminals without it, V" schema:"min=0"`
	After  float64 `json:"after_v" doc:"with it, V" schema:"min=0"`
	Light  float64 `json:"light" doc:"with it, relative to that without" schema:"min=0"`
	Inrush *Inrush `json:"inrush,omitempty" doc:"the first moment, where the load tells its inrush"`
}

// Inrush is the moment in which a load is switched on.
type Inrush struct {
	Volts float64 `json:"volts" doc:"at the supply's terminals, V" schema:"min=0"`
	Light float64 `json:"light" doc:"relative to that without the load" schema:"min=0"`
}

func switchingOf(c led.Source) []Switching {
	var out []Switching
	for _, s := range c.Steps {
		one := Switching{Load: s.Name, Before: num(float64(s.Before), 6), After: num(float64(s.After), 6), Light: num(s.Light, 4)}
		if s.Momentary {
			one.Inrush = &Inrush{num(float64(s.Inrush), 6), num(s.InrushLight, 4)}
		}
		out = append(out, one)
	}
	return out
}

// Window is a range of voltages.
type Window struct {
	Min     float64 `json:"min" doc:"V" schema:"min=0"`
	Nominal float64 `json:"nominal" doc:"V" schema:"min=0"`
	Max     float64 `json:"max" doc:"V" schema:"min=0"`
}

// Battery is what a battery does for the console; light is relative to that at the nominal voltage.
type Battery struct {
	Chemistry     string  `json:"chemistry" doc:"its chemistry"`
	Cells         int     `json:"cells" doc:"in series" schema:"min=1"`
	CapacityAh    float64 `json:"capacity_ah,omitempty" doc:"by its label, Ah" schema:"min=0"`
	LightFull     float64 `json:"light_full" doc:"when it is full, relative to its nominal voltage" schema:"min=0"`
	LightCharging float64 `json:"light_charging" doc:"on the charger" schema:"min=0"`
	LightEmpty    float64 `json:"light_empty" doc:"when it is empty" schema:"min=0"`
	Hours         float64 `json:"hours,omitempty" doc:"that it lasts by its label" schema:"min=0"`
	PlanHours     float64 `json:"plan_hours,omitempty" doc:"to plan with" schema:"min=0"`
}

// Spread is how consoles built from parts drawn by chance come out; light is relative to the current asked for.
type Spread struct {
	Seed     uint64       `json:"seed" doc:"of the draws" schema:"min=0"`
	Consoles int          `json:"consoles" doc:"how many were built" schema:"min=1"`
	Panels   []PanelLight `json:"panels" doc:"the light of each panel"`
	Evenness Percentiles  `json:"evenness" doc:"darkest panel over brightest"`
	DemandA  Percentiles  `json:"demand_a" doc:"what the supply is asked for, A"`
}

// PanelLight is the light of one panel.
type PanelLight struct {
	Panel string      `json:"panel" doc:"its name"`
	Light Percentiles `json:"light" doc:"relative to the current asked for"`
}

// Percentiles are values that 5, 50 and 95 of a hundred consoles stay below.
type Percentiles struct {
	P5  float64 `json:"p5" doc:"5 of a hundred stay below"`
	P50 float64 `json:"p50" doc:"50 of a hundred stay below"`
	P95 float64 `json:"p95" doc:"95 of a hundred stay below"`
}

// Chain is a run of boards, the one nearest the supply first.
type Chain struct {
	From     string `json:"from,omitempty" doc:"the panel that feeds it; absent: the supply"`
	Links    []Link `json:"links" doc:"its boards, the one nearest the supply first"`
	BothEnds bool   `json:"both_ends,omitempty" doc:"fed at both ends"`
	Back     *Link  `json:"back,omitempty" doc:"the further feed to the last board"`

	FuseA      float64 `json:"fuse_a,omitempty" doc:"of the fuse between the supply and it, A" schema:"min=0"`
	FuseOhms   float64 `json:"fuse_ohms,omitempty" doc:"of that fuse, cold, and the contacts of its holder" schema:"min=0"`
	SwitchOhms float64 `json:"switch_ohms,omitempty" doc:"of the switch before it" schema:"min=0"`
}

// Link is one board of a chain and the feed that leads to it.
type Link struct {
	Panel         string  `json:"panel" doc:"its name"`
	SegmentA      float64 `json:"segment_a" doc:"in the feed that leads to it, all groups full on, A"`
	SegmentMeanA  float64 `json:"segment_mean_a,omitempty" doc:"the same in the mean, where LEDs are dimmed in groups"`
	SegmentWorstA float64 `json:"segment_worst_a" doc:"the same at worst"`
	Volts         float64 `json:"volts" doc:"at the board; of its supply conductors that have LEDs here the least"`
	RelativeLight float64 `json:"relative_light" doc:"of the brightest panel, dimmed as it is" schema:"min=0"`
	OfAsked       float64 `json:"current_of_asked" doc:"of its LEDs, relative to the current asked for" schema:"min=0"`
	FeedMM        float64 `json:"feed_mm" doc:"length of the feed" schema:"min=0"`
	Wire          string  `json:"wire,omitempty" doc:"of the feed, as it is called"`
	WireA         float64 `json:"wire_a,omitempty" doc:"what the wire stands, A" schema:"min=0"`
	FeedOhms      float64 `json:"feed_ohms" doc:"of both its conductors" schema:"min=0"`

	Lost   *Lost     `json:"lost,omitempty" doc:"where the voltage on the way to it is lost"`
	Groups []Current `json:"groups,omitempty" doc:"of its supply conductors, where LEDs are dimmed in groups"`
}

// Lost is where the voltage between the supply without load and a board is lost; negative where current comes the other way.
type Lost struct {
	Supply   float64 `json:"supply_v" doc:"inside the supply, V"`
	Switch   float64 `json:"switch_v" doc:"in the switch, V"`
	Fuse     float64 `json:"fuse_v" doc:"in the fuse, V"`
	Contacts float64 `json:"contacts_v" doc:"in contacts of connectors, V"`
	Wires    float64 `json:"wires_v" doc:"in wires, V"`
	Boards   float64 `json:"boards_v" doc:"in the boards' copper, V"`
}

func lostOf(l led.Loss) *Lost {
	v := func(x part.Volt) float64 { return num(float64(x), 6) }
	return &Lost{v(l.Supply), v(l.Switch), v(l.Fuse), v(l.Contacts), v(l.Wires), v(l.Boards)}
}

// Current is what one supply conductor of a feed carries.
type Current struct {
	Group  string  `json:"group" doc:"of LEDs; empty: those of no group"`
	A      float64 `json:"segment_a" doc:"in the feed that leads to the board, all groups full on, A"`
	WorstA float64 `json:"segment_worst_a" doc:"the same at worst"`
}

// SupplyOf tells of a supply, and of consoles built by chance on it.
func SupplyOf(c led.Source, spread led.Spread) *Supply {
	s := &Supply{
		Volts:  Window{num(float64(c.Min), 6), num(float64(c.Nominal), 6), num(float64(c.Max), 6)},
		RatedA: num(float64(c.Rated), 9), TypicalA: num(float64(c.Typical), 9), PeakA: num(float64(c.Peak), 9),
		WorstA: num(float64(c.Worst), 9), OtherA: num(float64(c.Other), 9), DemandA: num(float64(c.Demand), 9),
		Verdict: c.Verdict.String(), Sentence: c.Sentence(), Ohms: num(float64(c.Ohms), 9), TerminalVolts: num(float64(c.Volts), 6),
		Switching: switchingOf(c), Battery: batteryOf(c.Battery), Spread: spreadOf(spread),
	}
	if all, _, ok := c.SwitchOn(); ok {
		s.SwitchOnA = num(float64(all), 9)
	}
	return s
}

func batteryOf(b led.Battery) *Battery {
	if !b.Any() {
		return nil
	}
	return &Battery{
		b.Chemistry.Name, b.Cells, num(b.AmpHours, 6), num(b.Full, 4), num(b.Charging, 4), num(b.Empty, 4), num(b.Hours, 3), num(b.PlanHours, 3),
	}
}

func spreadOf(s led.Spread) *Spread {
	if s.Consoles == 0 {
		return nil
	}
	of := func(p led.Percentiles) Percentiles {
		return Percentiles{num(p.P5, 5), num(p.P50, 5), num(p.P95, 5)}
	}
	r := &Spread{Seed: s.Seed, Consoles: s.Consoles, Panels: []PanelLight{}, Evenness: of(s.Evenness), DemandA: of(s.Demand)}
	for _, p := range s.Panels {
		r.Panels = append(r.Panels, PanelLight{p.Panel, of(p.Light)})
	}
	return r
}

// ChainsOf tells of a circuit's runs of boards.
func ChainsOf(c led.Circuit) []Chain {
	groups := map[string][]led.Group{}
	for _, w := range c.Boards {
		if w.Grouped() {
			groups[w.Panel] = w.Groups
		}
	}
	out := []Chain{}
	for _, k := range c.Chains {
		out = append(out, chainOf(k, groups))
	}
	return out
}

// currentsOf tells what the conductors of a feed carry; nothing of a single one without a name.
func currentsOf(carried []led.Current, groups []led.Group) []Current {
	var out []Current
	for i, g := range groups {
		if i < len(carried) {
			out = append(out, Current{g.Name, num(float64(carried[i].Typical), 9), num(float64(carried[i].Worst), 9)})
		}
	}
	return out
}

// meanOf returns what a feed carries in the mean; 0 where nothing is dimmed, and the mean is no other current.
func meanOf(carried []led.Current, groups []led.Group) float64 {
	mean, dimmed := 0.0, false
	for i, g := range groups {
		if i < len(carried) {
			mean += float64(float64(carried[i].Typical) * g.Duty)
			dimmed = dimmed || g.Duty < 1
		}
	}
	if !dimmed {
		return 0
	}
	return num(mean, 9)
}

func chainOf(c led.Chain, groups map[string][]led.Group) Chain {
	r := Chain{
		From: c.From, Links: []Link{}, BothEnds: c.BothEnds,
		FuseA: num(float64(c.Guard.Fuse), 6), FuseOhms: num(float64(c.Guard.FuseOhms), 9), SwitchOhms: num(float64(c.Guard.SwitchOhms), 9),
	}
	for _, k := range c.Links {
		r.Links = append(r.Links, Link{
			Panel: k.Panel, SegmentA: num(float64(k.Segment), 9), SegmentMeanA: meanOf(k.Carried, groups[k.Panel]), SegmentWorstA: num(float64(k.SegmentWorst), 9),
			Volts: num(float64(k.Volts), 6), RelativeLight: num(k.RelativeLight, 6), OfAsked: num(k.OfAsked, 6),
			FeedMM: k.Feed.Length.MM(), FeedOhms: num(float64(k.Feed.Ohms), 9), Wire: k.Feed.Wire, WireA: num(float64(k.Feed.Rated), 6),
			Lost: lostOf(k.Lost), Groups: currentsOf(k.Carried, groups[k.Panel]),
		})
	}
	if n := len(r.Links); c.BothEnds && n > 0 {
		back := r.Links[n-1]
		back.Lost = nil
		back.SegmentMeanA = meanOf(c.BackCarried, groups[back.Panel])
		back.SegmentA, back.SegmentWorstA = num(float64(c.BackAmps), 9), num(float64(c.BackWorst), 9)
		back.FeedMM, back.FeedOhms = c.Back.Length.MM(), num(float64(c.Back.Ohms), 9)
		back.Wire, back.WireA = c.Back.Wire, num(float64(c.Back.Rated), 6)
		back.Groups = currentsOf(c.BackCarried, groups[back.Panel])
		r.Back = &back
	}
	return r
}

// Order is one manufacturing panel with several boards.
type Order struct {
	Name        string       `json:"name" doc:"its name"`
	Cut         string       `json:"cut" doc:"how its boards are parted" schema:"enum=tabs|v-cut"`
	Width       float64      `json:"width_mm" doc:"of the whole" schema:"min=0"`
	Height      float64      `json:"height_mm" doc:"of the whole" schema:"min=0"`
	Quantity    int          `json:"quantity" doc:"of the whole to order" schema:"min=0"`
	Utilisation float64      `json:"utilisation" doc:"share of its area that is boards" schema:"min=0,max=1"`
	Packing     string       `json:"packing" doc:"the heuristic that packed it"`
	Tabs        int          `json:"tabs" doc:"that hold the boards" schema:"min=0"`
	Boards      []OrderBoard `json:"boards" doc:"its boards"`
	Travel      *DrillTravel `json:"drill_travel,omitempty" doc:"way of the drill over it"`
	Files       []string     `json:"files,omitempty" doc:"its files, below the output folder"`
}

// OrderBoard is one board of an order.
type OrderBoard struct {
	Panel string  `json:"panel" doc:"whose board it is"`
	X     float64 `json:"x" doc:"of its lower left corner, mm from that of the whole"`
	Y     float64 `json:"y" doc:"of its lower left corner, mm from that of the whole"`
	Turn  int     `json:"turn" doc:"degrees counter-clockwise" schema:"enum=0|90|180|270"`
}

// OrderBoardOf tells of a board that lies at box, turned by quarters counter-clockwise.
func OrderBoardOf(panel string, box geom.Box, quarters int) OrderBoard {
	return OrderBoard{panel, num(box.Min.X.MM(), 6), num(box.Min.Y.MM(), 6), geom.QuarterDegrees * quarters}
}

// OrderOf tells of a manufacturing panel of that size, of whose area used is boards.
func OrderOf(name, cut string, size geom.Box, used float64) Order {
	return Order{Name: name, Cut: cut, Width: size.W().MM(), Height: size.H().MM(), Utilisation: num(used, 4), Boards: []OrderBoard{}}
}

// DrillTravel is the way of the drill's spindle, as written and in the board's own order.
type DrillTravel struct {
	Written float64 `json:"written_mm" doc:"as written" schema:"min=0"`
	Plain   float64 `json:"plain_mm" doc:"in the board's own order" schema:"min=0"`
}

// DrillTravelOf tells of the way of the drill; nil where it has none.
func DrillTravelOf(written, plain geom.Nm) *DrillTravel {
	if plain == 0 {
		return nil
	}
	return &DrillTravel{num(written.MM(), 1), num(plain.MM(), 1)}
}
