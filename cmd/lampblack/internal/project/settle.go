package project

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel/diag"
)

// settle fills in what the file leaves out, and tells what its keys say against each other.
func (d *draft) settle(r *reader) {
	p := &d.Project
	p.Stack, p.Mask, p.Plate, p.Thick, p.Depth, p.DarkEdges = d.sheets.Stack, d.sheets.board, d.sheets.plate, d.sheets.thick, d.sheets.depth, d.sheets.edges != "" && d.sheets.edges != bareEdges
	d.settleRules(r)
	if at, ok := r.places["chains"]; ok && r.has("chain") {
		f := r.diags.Add(diag.Error, "project-two-chains", "both chain and chains are given")
		f.Place = at
		f.Fix("keep one: chain for a single run of boards, chains for several").
			By("keep chain", diag.Remove, "chains", nil).By("keep chains", diag.Remove, "chain", nil)
	}
	r.supplySense(p)
	for i := range p.Panels { // after all keys, since defaults may stand below panels
		r.inherit(p, i)
	}
	var kinds, controls, groups, orders []string
	for _, k := range d.controls {
		p.ControlKinds = append(p.ControlKinds, k.Kind)
		controls = append(controls, k.Name)
	}
	for _, k := range d.lamps {
		p.Kinds = append(p.Kinds, k.LED)
		kinds = append(kinds, k.Name)
	}
	for _, g := range p.Groups {
		groups = append(groups, g.Name)
	}
	for i := range p.Orders {
		if p.Orders[i].Name == "" {
			p.Orders[i].Name = strconv.Itoa(i + 1)
		}
		orders = append(orders, p.Orders[i].Name)
	}
	r.distinct(p, "leds", "LED kinds", kinds)
	r.distinct(p, "control_kinds", "kinds of controls", controls)
	r.distinct(p, "groups", "groups", groups)
	r.distinct(p, "order", "orders", orders)
	explicit := d.chains
	if r.has("chain") {
		explicit = append([]Run{{Boards: d.chain}}, explicit...)
	}
	d.called(r, explicit)
	r.join(p, explicit)
	r.kinds(p)
	r.controlSense(p)
	r.groupSense(p)
	r.standSense(p)
	r.ruleSense(p)
	r.fineSense(p)
}

// standSense tells where only some panels have a place in the console: connectors need that of both ends of a feed.
func (r *reader) standSense(p *Project) {
	first := -1
	var others []string
	for i, q := range p.Panels {
		switch {
		case !q.Stands.Set:
			others = append(others, q.Name)
		case first < 0:
			first = i
		}
	}
	if first < 0 || len(others) == 0 || r.diags.HasErrors() {
		return
	}
	f := r.diags.Add(diag.Note, "project-stands-alone", "stands_at is not told of %s: connectors face each other only between panels that both have a place, and console.png shows the others below",
		strings.Join(others, ", "))
	f.Place = p.Place("panels." + strconv.Itoa(first) + ".stands_at")
	f.Fix("tell stands_at of all panels, or of none")
}

// supplySense tells a supply of which too little or too much is told.
func (r *reader) supplySense(p *Project) {
	at, battery := r.places["supply.battery"]
	volts := r.has("supply.volts")
	if battery && volts {
		f := r.diags.Add(diag.Error, "project-two-supplies", "both volts and battery are given, and a battery tells its voltage itself")
		f.Place = at
		f.Fix("keep one of the two").By("keep battery", diag.Remove, "supply.volts", nil).By("keep volts", diag.Remove, "supply.battery", nil)
	}
	if r.diags.HasErrors() {
		return
	}
	if !volts && !battery {
		f := r.diags.Add(diag.Warning, "project-no-supply", "the supply's voltage is not told; %g V taken", float64(p.Supply.Volts.Nominal))
		f.Place = p.Place("supply")
		f.Fix("write supply: {volts: 12 V, amps: 2 A} with the values of yours").
			By(fmt.Sprintf("it is %v", p.Supply.Volts.Nominal), diag.Set, "supply.volts", p.Supply.Volts.Nominal.String())
	} else if !r.has("supply.amps") {
		f := r.diags.Add(diag.Warning, "project-no-rating", "the supply's rated current is not told; %g A taken", float64(p.Supply.Amps))
		f.Place = p.Place("supply")
		f.Fix("write amps: in supply, as its label says").
			By(fmt.Sprintf("it gives %v", p.Supply.Amps), diag.Set, "supply.amps", p.Supply.Amps.String())
	}
}

// inherit gives panel i what it does not say itself.
func (r *reader) inherit(p *Project, i int) {
	q := &p.Panels[i]
	said := func(key string) bool { return r.has("panels." + strconv.Itoa(i) + "." + key) }
	if !said("feed_length") {
		q.FeedLength = p.Defaults.FeedLength
	}
	if !said("keep_turn") {
		q.KeepTurn = p.Defaults.KeepTurn
	}
	if !said("space_behind") {
		q.Behind = p.Defaults.Behind
	}
	if !said("sheet_distance") {
		q.Sheet = p.Defaults.Sheet
	}
	if !said("spacer_sheet") {
		q.Spacer = p.Defaults.Spacer
	}
	if !said("slots") {
		q.Slots = p.Defaults.Slots
	}
	if !said("frame") {
		q.Frame = p.Defaults.Frame
	}
	if !said("paint") {
		q.PaintedBehind = p.Defaults.PaintedBehind
	}
	if !said("place") {
		q.Place = p.Defaults.Place
	}
	if !said("bodies_from") {
		q.Bodies, q.BodiesSaid = p.Defaults.Bodies, p.Defaults.BodiesSaid
	}
	if !said("connectors.in") {
		q.Connectors.In = p.Defaults.Connectors.In
	}
	if !said("connectors.out") {
		q.Connectors.Out = p.Defaults.Connectors.Out
	}
	if !said("print.front") {
		q.Print.Front = p.Defaults.Print.Front
	}
	if !said("print.back") {
		q.Print.Back = p.Defaults.Print.Back
	}
	if !said("led") {
		q.LEDs = slices.Clone(p.Defaults.LEDs)
		for k := range q.LEDs {
			q.LEDs[k].Shared = true
		}
	}
	if !said("controls") {
		q.Controls = slices.Clone(p.Defaults.Controls)
		for k := range q.Controls {
			q.Controls[k].Shared = true
		}
	}
	if !said("room") {
		q.Room = slices.Clone(p.Defaults.Room)
		for k := range q.Room {
			q.Room[k].Shared = true
		}
	}
}

// distinct tells entries of a list that have one name; the empty name counts for none.
func (r *reader) distinct(p *Project, list, what string, names []string) {
	for i, name := range names {
		for _, other := range names[:i] {
			if name != "" && strings.EqualFold(name, other) {
				f := r.diags.Add(diag.Error, "project-same-name", "two %s are named %s", what, name)
				f.Place = p.Place(list + "." + strconv.Itoa(i))
				f.Fix("give one another name")
				break
			}
		}
	}
}
