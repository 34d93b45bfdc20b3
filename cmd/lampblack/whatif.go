package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/result"
	"lampblack/export/result/tables"
	"lampblack/export/table"
	"lampblack/led/bright"
	"lampblack/led/part"
)

// whatIf shows a console before and after changes.
func (a *app) whatIf(o opened, text string, run func(project.Project, flow.Settings) (flow.Outcome, error)) error {
	changes, err := flow.ParseChanges(text, o.project)
	if err != nil {
		return usage("--what-if: %w", err)
	}
	before, err := a.work(o, run)
	if err != nil {
		return err
	}
	after, err := a.work(o, func(p project.Project, set flow.Settings) (flow.Outcome, error) {
		p, set = changes.Apply(p, set)
		return run(p, set)
	})
	if err != nil {
		return err
	}
	// What holds of both would only hide what the change brings.
	end := a.tell(after.Findings, after.Unreadable)
	if a.json {
		err := a.print(result.WhatIf{WhatIf: text, Before: before.Result, After: after.Result})
		if err != nil {
			return err
		}
		return end
	}
	t := table.New("What if "+text, table.Text(""), table.Text(""), table.Text("before"), table.Text("after"))
	for i := range max(len(before.Result.Panels), len(after.Result.Panels)) {
		name, was, is := "", panelLines(before, i), panelLines(after, i)
		if i < len(after.Result.Panels) {
			name = after.Result.Panels[i].Name
		}
		if slices.Equal(was, is) {
			continue
		}
		sideBySide(&t, name, panelWords(), was, is)
	}
	sideBySide(&t, "console", consoleWords(), consoleLines(before), consoleLines(after))
	term.Table(a.out, t)
	fmt.Fprint(a.out, "before: ")
	conclude(a.out, before)
	fmt.Fprint(a.out, "after:  ")
	conclude(a.out, after)
	fmt.Fprintln(a.out, "nothing is changed: write what you like into the project file and the drawings.")
	return end
}

// sideBySide adds rows that differ, and all of the console's.
func sideBySide(t *table.Table, name string, words, was, is []string) {
	show := name
	for i, w := range words {
		if was[i] == is[i] && name != "console" {
			continue
		}
		t.Add(show, w, was[i], is[i])
		show = "" // named once
	}
}

func panelWords() []string {
	return []string{"LEDs", "strings", "resistors", "current of an LED", "at its limits", "heat in a resistor", "voltage at the board"}
}

// panelLines describes one panel in the order of panelWords.
func panelLines(o flow.Outcome, i int) []string {
	out := make([]string, len(panelWords()))
	if i >= len(o.Result.Panels) || len(o.Result.Panels[i].Strings) == 0 {
		out[0] = "-"
		return out
	}
	p := o.Result.Panels[i]
	lengths, values := tally{}, tally{}
	leds, least, most, typical, hot := 0, p.Strings[0].MinA, 0.0, 0.0, 0.0
	for _, s := range p.Strings {
		lengths.add(fmt.Sprintf("of %d", len(s.LEDs)))
		values.add("x " + part.Ohm(s.Ohms).Code())
		leds += len(s.LEDs)
		typical += s.TypicalA * float64(len(s.LEDs))
		least, most, hot = min(least, s.MinA), max(most, s.MaxA), max(hot, s.WorstW)
	}
	out[0] = fmt.Sprint(leds)
	out[1], out[2] = lengths.String(), values.String()
	out[3] = table.Fixed(1e3*typical/float64(leds), 1) + " mA"
	out[4] = table.Fixed(1e3*least, 1) + " .. " + table.Fixed(1e3*most, 1) + " mA"
	out[5] = table.Fixed(1e3*hot, 0) + " mW"
	for _, c := range o.Circuit.Chains {
		for _, k := range c.Links {
			if k.Panel == p.Name {
				out[6] = table.Fixed(float64(k.Volts), 2) + " V"
			}
		}
	}
	return out
}

func consoleWords() []string {
	return []string{"supply", "boards", "other loads", "all at worst", "verdict", "fuses", "LEDs", "resistors", "darkest panel", "brightness, full on", "dimmer"}
}

// consoleLines describes the console in the order of consoleWords.
func consoleLines(o flow.Outcome) []string {
	out := make([]string, len(consoleWords()))
	r := o.Result.Supply
	if r == nil {
		out[0] = "not computed"
		return out
	}
	leds, resistors := tally{}, 0
	for _, b := range o.Built {
		resistors += len(b.Wiring().Resistors)
		for _, l := range b.Wiring().LEDs {
			leds.add("x " + l.Kind.Name)
		}
	}
	out[0] = tables.Volts(r.Volts) + " V, " + table.Plain(r.RatedA) + " A"
	out[1] = table.Fixed(r.TypicalA, 3) + " A"
	out[2] = table.Fixed(r.OtherA, 3) + " A"
	out[3] = table.Fixed(r.DemandA, 3) + " A"
	out[4] = r.Verdict
	fuses := tally{}
	for _, t := range o.Circuit.Tables().Chains {
		if t.Fuse > 0 {
			fuses.add("x " + t.Fuse.String())
			if t.Back != nil {
				fuses.add("x " + t.Fuse.String())
			}
		}
	}
	out[5] = fuses.String()
	out[6] = leds.String()
	out[7] = fmt.Sprint(resistors)
	if s := r.Spread; s != nil && len(s.Panels) > 1 {
		out[8] = table.Fixed(100*s.Evenness.P50, 0) + " % of the brightest"
	}
	if b := o.Result.Bright; b != nil {
		low, high := math.Inf(1), 0.0
		for _, p := range b.Panels {
			low, high = min(low, p.Level), max(high, p.Level)
		}
		out[9] = bright.Shown(low) + " .. " + bright.Shown(high) + " cd/m2"
		var marks []string
		for _, d := range b.Dimmers {
			mark := bright.Percent(d.Full)
			if d.Night > 0 {
				mark = bright.Percent(d.Night) + " .. " + mark
			}
			marks = append(marks, mark)
		}
		out[10] = strings.Join(marks, ", ")
	}
	return out
}

// tally counts words in the order they first come.
type tally struct {
	words []string
	n     []int
}

func (t *tally) add(w string) {
	i := slices.Index(t.words, w)
	if i < 0 {
		t.words, t.n = append(t.words, w), append(t.n, 0)
		i = len(t.words) - 1
	}
	t.n[i]++
}

// String returns the counts, most first; beyond four it sums the rest up.
func (t *tally) String() string {
	order := make([]int, len(t.words))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return t.n[b] - t.n[a] })
	var out []string
	for k, i := range order {
		if k == 4 && len(order) > 5 {
			rest := 0
			for _, j := range order[4:] {
				rest += t.n[j]
			}
			out = append(out, fmt.Sprintf("%d others", rest))
			break
		}
		out = append(out, fmt.Sprintf("%d %s", t.n[i], t.words[i]))
	}
	return strings.Join(out, ", ")
}
