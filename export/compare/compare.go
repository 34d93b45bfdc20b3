package compare

import (
	"cmp"
	"fmt"
	"slices"

	"lampblack/export/result"
)

// Difference is everything that changed.
type Difference struct {
	Old     string   `json:"old" doc:"the old side, as called"`
	New     string   `json:"new" doc:"the new side, as called"`
	Same    bool     `json:"same" doc:"nothing differs, and all could be compared"`
	Changes []Change `json:"changes" doc:"what differs, and behind it what follows from that: of the console first, then panel by panel, gravest first"`
	Boards  []Board  `json:"boards" doc:"boards of the old side: whether they fit the new one"`
	Unknown []string `json:"not_compared,omitempty" doc:"what could not be compared, and why"`
}

// Change is one thing that differs.
type Change struct {
	Code    string `json:"code" doc:"what kind of change it is, as led-moved"`
	Panel   string `json:"panel,omitempty" doc:"of which panel, by its old name; absent: of the console"`
	Board   string `json:"board,omitempty" doc:"of which of the panel's boards, where it has several"`
	Text    string `json:"text" doc:"what changed"`
	slight  bool   // so small that where it follows from others nobody needs it
	Follows bool   `json:"follows,omitempty" doc:"it may follow from changes told before it, as copper that runs otherwise from an LED that moved"`
}

// Board is one board as it was made of the old side.
type Board struct {
	Panel string   `json:"panel" doc:"that it is behind"`
	Board string   `json:"board" doc:"its name"`
	Fits  bool     `json:"fits" doc:"it can be used in the new console"`
	Open  bool     `json:"open,omitempty" doc:"nothing is known that is against it, but not all could be compared: it is not proved to fit"`
	Why   []string `json:"why,omitempty" doc:"why it cannot, or why that is open"`
}

// Consoles sets two consoles against each other.
func Consoles(was, is result.Console) Difference {
	d := Difference{Changes: []Change{}, Boards: []Board{}}
	renamed := Renamed(was, is)
	for _, q := range is.Panels {
		if name, ok := renamed[q.Name]; ok {
			d.tell("panel-renamed", name, "", "the panel is called %s now", q.Name)
		}
	}
	is = called(is, renamed)
	d.console(was, is)
	for _, p := range was.Panels {
		k := named(is.Panels, p.Name)
		if k < 0 {
			d.tell("panel-gone", p.Name, "", "the panel is gone")
			for _, b := range p.Every() {
				d.Boards = append(d.Boards, Board{Panel: p.Name, Board: b.Name, Why: []string{"there is no such panel any more"}})
			}
			continue
		}
		d.panel(p, is.Panels[k], was, is)
	}
	for _, p := range is.Panels {
		if named(was.Panels, p.Name) < 0 {
			d.tell("panel-added", p.Name, "", "the panel is new")
		}
	}
	d.bright(was.Bright, is.Bright)
	d.findings(was.Findings, is.Findings)
	d.sheetFiles(was, is)
	d.Loaded(was, is)
	var order []string
	for _, all := range [2][]result.Panel{was.Panels, is.Panels} {
		for _, p := range all {
			order = append(order, p.Name)
		}
	}
	return Sorted(d, order...)
}

// Sorted tells what follows from other changes, and puts that behind them: of the console first, then panel by panel as named, gravest
// first. It says whether all is the same.
func Sorted(d Difference, panels ...string) Difference {
	rank := map[string]int{}
	for _, p := range panels {
		if _, ok := rank[p]; !ok {
			rank[p] = len(rank) + 1
		}
	}
	last := map[bool]int{true: 1}
	for i, c := range d.Changes {
		d.Changes[i].Follows = follows(c, d.Changes)
	}
	d.Changes = slices.DeleteFunc(d.Changes, func(c Change) bool { return c.slight && c.Follows })
	slices.SortStableFunc(d.Changes, func(a, b Change) int {
		return cmp.Or(last[a.Follows]-last[b.Follows], rank[a.Panel]-rank[b.Panel], slices.Index(codes, a.Code)-slices.Index(codes, b.Code))
	})
	d.Same = len(d.Changes) == 0 && len(d.Unknown) == 0
	return d
}

// Says is whether it fits, in words that follow its name.
func (b Board) Says() string {
	switch {
	case b.Fits:
		return "fits"
	case b.Open:
		return "is not proved to fit"
	}
	return "does not fit"
}

// Sum says how much changed, in a sentence without its stop.
func (d Difference) Sum() string {
	following := 0
	for _, c := range d.Changes {
		if c.Follows {
			following++
		}
	}
	text := term(len(d.Changes)-following, "change")
	switch {
	case d.Same:
		return "The same in all that was compared"
	case len(d.Changes) == 0:
		return "No change in what was compared, but not all was"
	case following == 1:
		text += ", and 1 thing that follows"
	case following > 1:
		text += fmt.Sprintf(", and %d things that follow", following)
	}
	return text
}

// slightly marks the change told last as one of figures that hardly moved.
func (d *Difference) slightly(is bool) {
	if k := len(d.Changes) - 1; is && k >= 0 {
		d.Changes[k].slight = true
	}
}

func (d *Difference) tell(code, panel, board, format string, args ...any) {
	d.Changes = append(d.Changes, Change{Code: code, Panel: panel, Board: board, Text: fmt.Sprintf(format, args...)})
}

func named(all []result.Panel, name string) int {
	return slices.IndexFunc(all, func(p result.Panel) bool { return p.Name == name })
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
				d.tell(code, f.Panel, f.Board, "%s %s: %s (%s)", words, f.Severity, f.Text, f.Code)
			}
		}
	}
	tell("finding-new", "new", is, was)
	tell("finding-gone", "no longer", was, is)
}
