package compare

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"lampblack/export/result"
)

// Difference is everything that changed.
type Difference struct {
	Old     string   `json:"old" doc:"the old side, as called"`
	New     string   `json:"new" doc:"the new side, as called"`
	Same    bool     `json:"same" doc:"nothing differs, and all could be compared"`
	Changes []Change `json:"changes" doc:"what differs: of the console first, then panel by panel, gravest first"`
	Boards  []Board  `json:"boards" doc:"boards of the old side: whether they fit the new one"`
	Unknown []string `json:"not_compared,omitempty" doc:"what could not be compared, and why"`
}

// Change is one thing that differs.
type Change struct {
	Code  string `json:"code" doc:"what kind of change it is, as led-moved"`
	Panel string `json:"panel,omitempty" doc:"of which panel; absent: of the console"`
	Board string `json:"board,omitempty" doc:"of which of the panel's boards, where it has several"`
	Text  string `json:"text" doc:"what changed"`
}

// Board is one board as it was made of the old side.
type Board struct {
	Panel string   `json:"panel" doc:"that it is behind"`
	Board string   `json:"board" doc:"its name"`
	Fits  bool     `json:"fits" doc:"it can be used in the new console"`
	Why   []string `json:"why,omitempty" doc:"why it cannot"`
}

// codes are all kinds of change, gravest first: what changes what is bought and cut before what follows from it.
var codes = []string{
	"supply", "supply-verdict", "panel-gone", "panel-added", "panel-size", "board-gone", "board-added", "led-moved", "led-gone", "led-added", "led-hole",
	"screw-moved", "screw-gone", "screw-added", "screw-hole", "opening-gone", "opening-added", "body-gone", "body-added", "room-gone", "room-added", "behind", "board-size", "connector-moved", "laminate", "string",
	"part-gone", "part-added", "part-moved", "part-turned", "part", "nets", "hole-gone", "hole-added", "hole", "feed",
	"sheet", "sheet-gone", "sheet-added", "lettering-gone", "lettering-added", "light", "layer-gone", "layer-added", "copper", "vias", "mask", "print", "paste", "currents", "finding-new", "finding-gone", "order", "nest", "parts", "name", "revision", "copies",
	"references", "net-names",
}

// Consoles sets two consoles against each other.
func Consoles(was, is result.Console) Difference {
	d := Difference{Changes: []Change{}, Boards: []Board{}}
	d.console(was, is)
	for _, p := range was.Panels {
		k := named(is.Panels, p.Name)
		if k < 0 {
			d.add(Change{"panel-gone", p.Name, "", "the panel is gone"})
			for _, b := range p.Every() {
				d.Boards = append(d.Boards, Board{Panel: p.Name, Board: b.Name, Why: []string{"there is no such panel any more"}})
			}
			continue
		}
		d.panel(p, is.Panels[k], was, is)
	}
	for _, p := range is.Panels {
		if named(was.Panels, p.Name) < 0 {
			d.add(Change{"panel-added", p.Name, "", "the panel is new"})
		}
	}
	d.findings(was.Findings, is.Findings)
	d.sheetFiles(was, is)
	var order []string
	for _, all := range [2][]result.Panel{was.Panels, is.Panels} {
		for _, p := range all {
			order = append(order, p.Name)
		}
	}
	return Sorted(d, order...)
}

// Sorted puts changes in order, those of the console first, then panel by panel as named, gravest first, and says whether all is the same.
func Sorted(d Difference, panels ...string) Difference {
	rank := map[string]int{}
	for _, p := range panels {
		if _, ok := rank[p]; !ok {
			rank[p] = len(rank) + 1
		}
	}
	slices.SortStableFunc(d.Changes, func(a, b Change) int {
		return cmp.Or(rank[a.Panel]-rank[b.Panel], slices.Index(codes, a.Code)-slices.Index(codes, b.Code))
	})
	d.Same = len(d.Changes) == 0 && len(d.Unknown) == 0
	return d
}

func (d *Difference) add(c Change) { d.Changes = append(d.Changes, c) }

func named(all []result.Panel, name string) int {
	return slices.IndexFunc(all, func(p result.Panel) bool { return p.Name == name })
}

func (d *Difference) console(was, is result.Console) {
	say := func(code, text string) { d.add(Change{Code: code, Text: text}) }
	if was.Console != is.Console {
		say("name", fmt.Sprintf("the console was called %q, it is %q", was.Console, is.Console))
	}
	if was.Revision != is.Revision {
		say("revision", fmt.Sprintf("revision was %q, it is %q", was.Revision, is.Revision))
	}
	if a, b := max(was.Copies, 1), max(is.Copies, 1); a != b {
		say("copies", fmt.Sprintf("%d consoles were to be made, now %d", a, b))
	}
	a, b := was.Supply, is.Supply
	switch {
	case a == nil && b == nil:
	case a == nil:
		say("supply", "currents are computed now, they were not")
	case b == nil:
		say("supply", "currents cannot be computed any more")
	default:
		if a.Volts != b.Volts || a.RatedA != b.RatedA || a.Ohms != b.Ohms || a.OtherA != b.OtherA {
			say("supply", fmt.Sprintf("supply was %s, it is %s", supplyWords(*a), supplyWords(*b)))
		}
		if a.Verdict != b.Verdict {
			say("supply-verdict", fmt.Sprintf("whether the supply holds: was %s, is %s", a.Verdict, b.Verdict))
		}
		how := now("usually", 1000*a.TypicalA, 1000*b.TypicalA, 1, "mA")
		if a.PeakA != a.TypicalA || b.PeakA != b.TypicalA {
			how = append(how, now("all groups on", 1000*a.PeakA, 1000*b.PeakA, 1, "mA")...)
		}
		if how = append(how, now("at worst", 1000*a.WorstA, 1000*b.WorstA, 1, "mA")...); len(how) > 0 {
			say("currents", "what the boards take: "+strings.Join(how, "; "))
		}
	}
	d.feeds(was.Chains, is.Chains)
	if !same(ordersOf(was), ordersOf(is)) {
		say("order", "boards are ordered together in another way")
	}
	if !same(was.Nests, is.Nests) {
		say("nest", "sheets lie on stock in another way, or take more or less of it")
	}
}

func supplyWords(s result.Supply) string {
	w := fmt.Sprintf("%s V (%s to %s), %s A", figure(s.Volts.Nominal), figure(s.Volts.Min), figure(s.Volts.Max), figure(s.RatedA))
	if s.Ohms > 0 {
		w += fmt.Sprintf(", %s ohm inside", figure(s.Ohms))
	}
	if s.OtherA > 0 {
		w += fmt.Sprintf(", %s A of it for others", figure(s.OtherA))
	}
	return w
}

// ordersOf leaves out what follows from the files.
func ordersOf(c result.Console) []result.Order {
	all := slices.Clone(c.Orders)
	for i := range all {
		all[i].Files, all[i].Travel = nil, nil
	}
	return all
}

// feeds tells of the chains: which board hangs on which, over what wire.
func (d *Difference) feeds(was, is []result.Chain) {
	words := func(all []result.Chain) map[string]string {
		out := map[string]string{}
		for _, c := range all {
			from := c.From
			if from == "" {
				from = "the supply"
			}
			head := ""
			if c.FuseA > 0 {
				head = fmt.Sprintf(" over a fuse of %s A", figure(c.FuseA))
			}
			for _, k := range c.Links {
				out[k.Panel] = fmt.Sprintf("from %s%s by %s mm of %s", from, head, figure(k.FeedMM), cmp.Or(k.Wire, "wire"))
				from, head = k.Panel, ""
			}
			if c.Back != nil {
				out[c.Back.Panel] += fmt.Sprintf(", and from the other end by %s mm of %s", figure(c.Back.FeedMM), cmp.Or(c.Back.Wire, "wire"))
			}
		}
		return out
	}
	a, b := words(was), words(is)
	for _, name := range slices.Sorted(maps.Keys(a)) {
		if now, ok := b[name]; ok && now != a[name] {
			d.add(Change{Code: "feed", Text: fmt.Sprintf("%s was fed %s, now %s", name, a[name], now)})
		}
	}
}

// findings tells of kinds of finding that came or went; figures in their words move with everything.
func (d *Difference) findings(was, is []result.Finding) {
	type kind struct{ code, panel, board string }
	tell := func(code, words string, all, other []result.Finding) {
		known := map[kind]bool{}
		for _, f := range other {
			known[kind{f.Code, f.Panel, f.Board}] = true
		}
		for _, f := range all {
			if k := (kind{f.Code, f.Panel, f.Board}); !known[k] {
				known[k] = true
				d.add(Change{code, f.Panel, f.Board, fmt.Sprintf("%s %s: %s (%s)", words, f.Severity, f.Text, f.Code)})
			}
		}
	}
	tell("finding-new", "new", is, was)
	tell("finding-gone", "no longer", was, is)
}
