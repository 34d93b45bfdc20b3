package led

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lampblack/led/part"
)

// Guard is what lies between the supply and a chain that starts there: a switch, and behind it a fuse; two fuses, one in each
// of its feeds, where it is fed at both ends. Zero resistances are none.
type Guard struct {
	Fuse       part.Amp // rated current; 0: none fits
	FuseOhms   part.Ohm // cold, and the contacts of its holder
	SwitchOhms part.Ohm
}

// Loss is where the voltage between a supply without load and a board is lost, both conductors together. Of a chain fed at both
// ends it is that on the way from its first board; where current comes the other way a part of it is negative.
type Loss struct {
	Supply, Switch, Fuse part.Volt
	Contacts, Wires      part.Volt // of the feeds
	Boards               part.Volt // copper of the boards on the way and of the board itself
}

// Total returns all of it.
func (l Loss) Total() part.Volt {
	return l.Supply + l.Switch + l.Fuse + l.Contacts + l.Wires + l.Boards
}

// LossPart is one part of a loss.
type LossPart struct {
	Where string // in words that follow "lost"
	Volts part.Volt
}

// What a loss's parts are called.
const (
	InSupply   = "inside the supply"
	InSwitch   = "in the switch"
	InFuse     = "in the fuse"
	InContacts = "in contacts of connectors"
	InWires    = "in the wires"
	InBoards   = "in the boards' copper"
)

// Parts returns the parts that matter, a hundredth of the whole at least, the greatest first.
func (l Loss) Parts() []LossPart {
	all := []LossPart{{InSupply, l.Supply}, {InSwitch, l.Switch}, {InFuse, l.Fuse}, {InContacts, l.Contacts}, {InWires, l.Wires}, {InBoards, l.Boards}}
	all = slices.DeleteFunc(all, func(p LossPart) bool { return float64(p.Volts) < 0.01*float64(l.Total()) || p.Volts <= 0 })
	slices.SortStableFunc(all, func(a, b LossPart) int { return cmp.Compare(b.Volts, a.Volts) })
	return all
}

// String says what is lost where: "3.2 V inside the supply (89 %), 0.4 V in the wires (11 %)".
func (l Loss) String() string {
	var out []string
	for _, p := range l.Parts() {
		out = append(out, fmt.Sprintf("%s V %s (%.0f %%)", part.Trimmed(float64(p.Volts), 2), p.Where, 100*float64(p.Volts)/float64(l.Total())))
	}
	return strings.Join(out, ", ")
}
