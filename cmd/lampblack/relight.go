package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/bundle"
	"lampblack/export/result"
	"lampblack/export/result/tables"
	"lampblack/export/table"
	"lampblack/led"
	"lampblack/panel/diag"
)

func (a *app) relight() *cobra.Command {
	var ask flow.Ask
	var apply bool
	c := &cobra.Command{
		Use:   "relight PANEL [PROJECT]",
		Short: "Place a panel's LEDs anew, so that its lettering glows evenly",
		Long: `Relight finds places for a number of LEDs, or the fewest LEDs that reach an evenness, so that the
darkest place of the lettering comes as near to its mean as can be. LEDs stay clear of openings, bodies,
mounts, edges and each other. It tells the light before and after, that of a plain grid of as many LEDs,
and what follows: strings, resistors, currents, the supply's verdict, parts, and the proof of the board.

PANEL is the name of a panel of the project, or a DXF drawing, which is then taken with the defaults.
The result is a new drawing beside the old one, with the LEDs replaced and all else as it was. The project
goes on using the old one; with --apply its drawing key is changed to the new one, and the project file as it
was is kept beside it as NAME.before. Nothing else is overwritten.

Nothing is written unless the board with the new places is proven: places that hinder it are left free and
others tried, and where none will do it is told why.

Of a panel whose LEDs are in sets (groups with set: yes) each set is placed by itself, as if the others were off, and
--count is the LEDs of each set. The drawing has them as the rules of led tell their kinds, or as those drawn have them.

With --count the lettering keeps nine tenths of the light that it has as drawn with as many LEDs, and where room
and evenness allow of what as many in even steps along its words would give. With --even its darkest place gets
so much of the mean, its brightest no more than twice the mean, and each LED gives on average two fifths of what
one along the words gives, unless the panel is lit evenly by dimmer ones alone.

Method: several starts, then coordinate exchange (Meyer and Nachtsheim 1995), quasi-Newton steps of all LEDs at
once (Liu and Nocedal 1989) and kicks; the same seed gives the same places. How few LEDs reach an evenness does
not depend on the seed, and comes with a lower bound from linear programs whose LEDs may be divided (coefficients reduced after Crowder, Johnson and
Padberg 1983).`,
		Example: `  lampblack relight dome --count 12
  lampblack relight focus examples/observatory --even 60%
  lampblack relight dome --keep --count 20 --apply
  lampblack relight my-sketch.dxf --count 12`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) < 1 || len(args) > 2 {
				return usage("relight needs the name of a panel, or a drawing, and may have a project behind it; %d names are given", len(args))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			switch even, count := cmd.Flags().Changed("even"), cmd.Flags().Changed("count"); {
			case even && count:
				return usage("--count and --even: ask for one of them")
			case count && ask.Count < 1:
				return usage("--count %d: ask for at least one LED", ask.Count)
			case !even && !count:
				return usage("tell how many LEDs (--count 40) or how even (--even 70%%)")
			}
			return a.relightPanel(cmd.Context(), args, ask, apply)
		},
	}
	c.Flags().IntVar(&ask.Count, "count", 0, "number of LEDs in all, or in each set")
	c.Flags().Var((*share)(&ask.Even), "even", "take the fewest LEDs whose darkest place of lettering is this share of the mean: 70% or 0.7")
	c.Flags().BoolVar(&ask.Keep, "keep", false, "leave the present LEDs where they are and add what is missing")
	c.Flags().Uint64Var(&ask.Seed, "seed", 1, "orders the moves that are tried")
	c.Flags().BoolVar(&apply, "apply", false, "make the project use the new drawing")
	return c
}

func (a *app) relightPanel(ctx context.Context, args []string, ask flow.Ask, apply bool) error {
	ask.Panel = args[0]
	rest := args[1:]
	if len(rest) == 0 && strings.EqualFold(filepath.Ext(args[0]), ".dxf") {
		rest = args[:1]
		ask.Panel = project.NameOf(args[0])
	}
	o, err := open(rest)
	if err != nil {
		return err
	}
	if apply && o.bare {
		return usage("--apply: there is no project whose drawing could be changed; name one")
	}
	if o.findings.HasErrors() {
		return a.tell(o.findings, o.unreadable)
	}
	progress := a.screen.NewProgress()
	ask.Step = func(done, total int) { progress.Step(done, total, "placing LEDs") }
	r, err := flow.Relight(ctx, o.project, flow.Settings{Version: version, Told: o.findings}, ask)
	progress.Close()
	if err != nil {
		return err
	}
	if r.Findings.HasErrors() || r.DXF == nil {
		return a.tell(append(r.Findings, r.Before.Findings...).Sorted().Grouped(), r.Unreadable)
	}
	name := flow.FreeName(r.Path, func(n string) bool { _, err := os.Lstat(n); return err == nil })
	if err := bundle.New(name, r.DXF); err != nil {
		return failed("%s cannot be written: %w; copy the drawing to a folder that can be written, and call lampblack there", name, cause(err))
	}
	kept := ""
	if apply {
		if kept, err = applied(o.project, r, name); err != nil {
			return err
		}
	}
	// What was so before is no news; errors of the new board are.
	end := a.tell(news(r), r.Unreadable)
	res := relightResult(r, name, apply)
	res.Kept = filepath.ToSlash(kept)
	if a.json {
		if err := a.print(res); err != nil {
			return err
		}
		return end
	}
	for _, t := range tables.Relit(res) {
		term.Table(a.out, t)
	}
	if n := len(res.LEDs); res.Least > 0 {
		fmt.Fprintf(a.out, "%s\n", fewest(n, res.Least))
	}
	fmt.Fprintf(a.out, "The drawing with the new LEDs is %s.\n", name)
	if apply {
		fmt.Fprintf(a.out, "%s now uses it; it used %s before, and is kept as it was in %s.\n", o.project.File, o.project.Panels[r.Entry].Drawing, kept)
	} else if !o.bare {
		fmt.Fprintf(a.out, "The project still uses %s; with --apply it takes the new one.\n", o.project.Panels[r.Entry].Drawing)
	}
	return end
}

// news returns the findings about the panel and the supply that the new placement brought.
func news(r flow.Relit) diag.List {
	old := map[string]bool{}
	for _, f := range r.Before.Findings {
		for _, g := range f.Each() {
			old[g.Code+g.Text] = true
		}
	}
	out := r.Findings
	for _, f := range r.After.Findings {
		for _, g := range f.Each() {
			if (g.Panel == "" || g.Panel == r.Panel) && !old[g.Code+g.Text] {
				out = append(out, g)
			}
		}
	}
	return out.Sorted().Grouped()
}

// applied changes the drawing of the panel's entry in the project file to the new one, and nothing else in it, and returns the
// name of the file that keeps it as it was.
func applied(p project.Project, r flow.Relit, name string) (string, error) {
	src, err := flow.ReadFile(p.File)
	if err != nil {
		return "", failed("%s: %w", p.File, cause(err))
	}
	old := p.Panels[r.Entry].Drawing
	fresh := filepath.ToSlash(filepath.Join(filepath.Dir(filepath.FromSlash(old)), filepath.Base(name)))
	changed, ok := project.Redrawn(src, p.File, r.Entry, fresh)
	if !ok {
		return "", failed("%s: the drawing of %s is written in a way that is not changed by itself: write drawing: %s there (the new drawing is written)", p.File, r.Panel, fresh)
	}
	kept, err := bundle.Replace(p.File, src, changed)
	if err != nil {
		return "", failed("%s cannot be changed: %w; write drawing: %s there yourself (the new drawing is written)", p.File, cause(err), fresh)
	}
	return kept, nil
}

// fewest tells how far from the fewest possible a number of LEDs is at most.
func fewest(n, least int) string {
	if n <= least {
		return fmt.Sprintf("No fewer than %d LEDs reach that evenness: the bound of the relaxed problem, in which LEDs may be divided, is the same.", n)
	}
	return fmt.Sprintf("%d is the fewest LEDs found for that evenness. It takes %d at least, by the relaxed problem in which LEDs may be divided: no other places save more than %d.", n, least, n-least)
}

func relightResult(r flow.Relit, name string, applied bool) result.Relit {
	lit := result.GlowOf
	res := result.Relit{Panel: r.Panel, Drawing: filepath.ToSlash(name), Applied: applied, Seed: r.Plan.Seed, Least: r.Plan.Least, Grid: lit(r.Plan.Plain), GridLEDs: len(r.Plan.Grid)}
	for _, c := range r.Plan.Colours {
		res.Colours = append(res.Colours, result.Recolour{Name: c.Name, Drawn: c.Drawn, LEDs: c.LEDs, Before: lit(c.Before), After: lit(c.After), Grid: lit(c.Plain), OnGrid: c.GridLEDs})
	}
	counts := map[string]*result.PartCount{}
	state := func(o flow.Outcome, first bool) result.Placement {
		var s result.Placement
		for i, p := range o.Result.Panels {
			if p.Name != r.Panel {
				continue
			}
			b := o.Built[i]
			_, own := b.Field.Alone()
			s = result.Placement{LEDs: len(b.Panel.LEDs), Light: lit(own.Figures), Strings: p.Strings, Supply: o.Result.Supply, Board: p.Board, Stopped: b.Stopped}
			for _, q := range p.Boards { // of several, what is compared of all together
				s.Strings = append(s.Strings, q.Strings...)
				if q.Board != nil {
					if s.Board == nil {
						s.Board = &result.Board{}
					}
					s.Board.TrackMM, s.Board.Unrouted = s.Board.TrackMM+q.Board.TrackMM, s.Board.Unrouted+q.Board.Unrouted
				}
			}
			if !first {
				res.LEDs = p.Holes.LED
			}
			for _, n := range partsOf(b.Wiring()) {
				if counts[n] == nil {
					counts[n] = &result.PartCount{Part: n}
				}
				if first {
					counts[n].Before++
				} else {
					counts[n].After++
				}
			}
		}
		return s
	}
	res.Before = state(r.Before, true)
	res.After = state(r.After, false)
	var names []string
	for n := range counts {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, n := range names {
		res.Parts = append(res.Parts, *counts[n])
	}
	return res
}

// partsOf names every part of a board.
func partsOf(w led.Wiring) []string {
	var out []string
	for _, l := range w.LEDs {
		out = append(out, "LED "+l.Kind.Name)
	}
	for _, q := range w.Resistors {
		out = append(out, fmt.Sprintf("resistor %s, %s W, %s", q.Ohms.Code(), table.Plain(float64(q.Rated)), q.Package))
	}
	for _, c := range w.Connectors {
		out = append(out, "connector "+c.Package)
	}
	return out
}
