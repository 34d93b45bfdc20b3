package flow

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/bundle"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/led"
	"lampblack/led/part"
)

// report gathers report.html from the result and the files written so far. What it shows is what the files hold: pictures
// and lists are taken from their bytes.
func (s *session) report(out *Outcome) report.Console {
	r := out.Result
	files := map[string][]byte{}
	for _, f := range out.Files {
		files[f.Path] = f.Data
	}
	picture := func(path string, caption, alt string, args ...any) report.Picture {
		return report.Picture{Path: path, Data: files[path], Caption: caption, Alt: fmt.Sprintf(alt, args...)}
	}
	c := report.Console{
		Name: orElse(r.Console, "Console"), Revision: r.Revision, Date: r.Date, Version: r.Lampblack,
		Findings: reportFindings(r.Findings),
		Picture:  picture(string(result.ConsolePNG), "All panels in the dark, as they will glow.", "The panels of the console lit in the dark, in their places."),
		Wiring: picture(string(result.WiringSVG), "What is wired to what.",
			"Wiring of the console: the supply, the feed and the boards; the tables of the chains below tell the same in numbers."),
		Supply: supplyTables(*out), Unbuilt: s.unbuilt(out),
		Lists: []report.Table{partsTable("Parts to buy", files[string(result.PartsCSV)]), orderTable(files[string(result.OrderCSV)])},
	}
	leds := 0
	for i, b := range out.Built {
		if b.Stopped != "" || len(b.Files) == 0 {
			continue
		}
		leds += len(b.Wiring.LEDs)
		c.Panels = append(c.Panels, reportPanel(b, r.Panels[i], volts(out.Circuit, b.Panel.Name), out.Circuit.Source.Max, picture))
	}
	c.Summary = fmt.Sprintf("%d of %d panels built, %d LEDs", len(c.Panels), len(c.Panels)+len(c.Unbuilt), leds)
	if r.Supply != nil {
		c.Verdict = report.Verdict{Word: r.Supply.Verdict, Sentence: out.Circuit.Source.Sentence()}
	}
	for _, o := range out.Orders {
		c.Arrays = append(c.Arrays, reportArray(o, picture))
	}
	for _, f := range result.Files() {
		if f.Of == result.OfConsole && f.Name != result.ReportHTML {
			c.Files = append(c.Files, report.File{Path: string(f.Name), What: f.What})
		}
	}
	return c
}

func reportFindings(l []result.Finding) []report.Finding {
	var out []report.Finding
	for _, f := range l {
		one := report.Finding{Severity: f.Severity, Code: f.Code, Panel: f.Panel, Text: f.Text, Advice: f.Advice,
			Place: placed(f.File, f.Line, f.Layer, f.At)}
		for _, r := range f.Related {
			text := r.Text
			if at := placed(r.File, r.Line, "", r.At); at != "" {
				text += " (" + at + ")"
			}
			one.Related = append(one.Related, text)
		}
		out = append(out, one)
	}
	return out
}

// placed is a place in words.
func placed(file string, line int, layer string, at *[2]float64) string {
	var parts []string
	if file != "" {
		if line > 0 {
			file += fmt.Sprintf(", line %d", line)
		}
		parts = append(parts, file)
	}
	if layer != "" {
		parts = append(parts, "layer "+layer)
	}
	if at != nil {
		parts = append(parts, "at "+plain(at[0])+", "+plain(at[1])+" mm")
	}
	return strings.Join(parts, ", ")
}

// unbuilt is the panels without a board: those that stopped, and those whose drawing gave none.
func (s *session) unbuilt(out *Outcome) []report.Unbuilt {
	var all []report.Unbuilt
	known := map[string]bool{}
	add := func(name, drawing, stage string, own []result.Finding) {
		if known[name] {
			return
		}
		known[name] = true
		u := report.Unbuilt{Name: name, Drawing: drawing, Reason: "It was not asked for."}
		errors := 0
		for _, f := range append(ofPanel(out.Result.Findings, name), own...) {
			if f.Severity != "error" {
				continue
			}
			if errors++; errors == 1 {
				u.Reason, u.Advice = f.Text, f.Advice
			}
		}
		if errors == 0 && stage != "" {
			u.Reason = "Stopped at: " + stage + "."
		}
		if errors > 1 {
			u.Reason += fmt.Sprintf(" (and %d more, see the findings)", errors-1)
		}
		all = append(all, u)
	}
	for i, b := range out.Built {
		if b.Stopped == "" && len(b.Files) > 0 {
			known[b.Panel.Name] = true
			continue
		}
		var own []result.Finding
		if b.Stopped == "circuit" {
			own = ofPanel(out.Result.Findings, "") // an error of the whole console stops every board
		}
		add(b.Panel.Name, out.Result.Panels[i].Drawing, b.Stopped, own)
	}
	for _, d := range s.drawings {
		if len(d.Panels) > 0 {
			continue
		}
		var own []result.Finding
		if len(ofPanel(out.Result.Findings, d.Entry.Name)) == 0 {
			own = s.relative(result.FindingsOf(d.Findings))
		}
		add(d.Entry.Name, told(d.Entry.Drawing), "reading the drawing", own)
	}
	// Panels of a drawing that holds others which are good.
	for _, f := range out.Result.Findings {
		if f.Severity == "error" && f.Panel != "" {
			add(f.Panel, f.File, "", nil)
		}
	}
	return all
}

func ofPanel(l []result.Finding, name string) []result.Finding {
	var out []result.Finding
	for _, f := range l {
		if f.Panel == name {
			out = append(out, f)
		}
	}
	return out
}

// volts is what arrives at a panel; on no feed the supply's.
func volts(c led.Circuit, name string) part.Volt {
	for _, chain := range c.Chains {
		for _, k := range chain.Links {
			if k.Panel == name {
				return k.Volts
			}
		}
	}
	return c.Source.Nominal
}

// reportPanel is a panel that was built.
func reportPanel(b Built, r result.Panel, at, highest part.Volt, picture func(path, caption, alt string, args ...any) report.Picture) report.Panel {
	name := b.Panel.Name
	p := report.Panel{Name: name, Drawing: r.Drawing, Facts: panelFacts(b, r, at, highest),
		Glow: picture(result.GlowPNG.Of(name), "Lit in the dark.", "Panel %s as it will glow in the dark.", name),
		Boards: []report.Picture{
			picture(result.BoardTop.Of(name), "Board, top: the side of the LEDs, as the viewer would see it.", "Board %s from the front: copper, pads and holes of the side with the LEDs.", name),
			picture(result.BoardBottom.Of(name), "Board, bottom, seen from behind.", "Board %s from behind: the side with resistors and connectors.", name),
			picture(result.AssemblySVG.Of(name), "Assembly: what to solder where.", "Assembly drawing of board %s; placement.csv lists the same parts with their places.", name),
		},
	}
	t := report.Table{Title: "Strings", Head: []string{"<resistor", "ohm", "rated, W", "at worst, W", "LEDs", "current, mA", "least, mA", "most, mA", "~which LEDs"}}
	for _, g := range r.Strings {
		t.Rows = append(t.Rows, []string{g.Resistor, plain(g.Ohms), plain(g.RatedW), fixed(g.WorstW, 3), strconv.Itoa(len(g.LEDs)),
			fixed(1e3*g.TypicalA, 2), fixed(1e3*g.MinA, 2), fixed(1e3*g.MaxA, 2), strings.Join(g.LEDs, " ")})
	}
	p.Tables = append(p.Tables, t)
	for _, f := range b.Files {
		if f.Path == result.PanelParts.Within(name) {
			p.Tables = append(p.Tables, partsTable("Parts", f.Data))
		}
	}
	p.Files, p.Pack = reportFiles(name, b.Files)
	return p
}

func panelFacts(b Built, r result.Panel, at, highest part.Volt) []report.Fact {
	var facts []report.Fact
	add := func(name, value, aside string) {
		facts = append(facts, report.Fact{Name: name, Value: value, Aside: aside})
	}
	panel := "panel " + size(r.BBox[2]-r.BBox[0], r.BBox[3]-r.BBox[1])
	if r.Board != nil {
		add("Board, mm", size(r.Board.Width, r.Board.Height), panel)
	}
	var typical, most part.Amp
	var ohms []string
	for _, g := range b.Wiring.Strings {
		typical, most = typical+g.Nominal, most+g.Max
		if o := plain(float64(b.Wiring.Resistors[g.Resistor].Ohms)) + " Ω"; !slices.Contains(ohms, o) {
			ohms = append(ohms, o)
		}
	}
	of := counted(len(b.Wiring.Strings), "string", "strings")
	if len(ohms) > 0 {
		of += " with " + strings.Join(ohms, ", ")
	}
	add("LEDs", strconv.Itoa(len(b.Wiring.LEDs)), of)
	add("Current, all full on", milliamps(typical), "at worst "+milliamps(most))
	// The worst: every string at its greatest current, and the whole of the supply's greatest voltage across the board.
	add("Power, all full on", fixed(float64(typical)*float64(at), 2)+" W", "at worst "+fixed(float64(most)*float64(highest), 2)+" W")
	if l := r.Light; l != nil {
		mean := "mean not known: no intensity is told for an LED"
		if !l.Relative {
			mean = "mean " + strconv.FormatFloat(l.Mean, 'g', 3, 64) + " cd/m²"
		}
		add("Light, least to mean", fixed(l.MinToMean, 2), mean)
	}
	if q := r.Board; q != nil {
		if t := q.Tightest; t != nil {
			add("Tightest limit, mm", fixed(t.Found, 2), t.Limit+", at least "+fixed(t.Required, 2))
		}
		add("Tracks, m", fixed(q.TrackMM/1e3, 2), fmt.Sprintf("%s, %s", counted(q.Connections, "joint", "joints"), counted(q.Vias, "via", "vias")))
	}
	return facts
}

func reportArray(o Ordered, picture func(path, caption, alt string, args ...any) report.Picture) report.Array {
	name := result.OrderFolder(o.Name)
	var kinds []string
	count := map[string]int{}
	for _, b := range o.Boards {
		if count[b.Panel]++; count[b.Panel] == 1 {
			kinds = append(kinds, b.Panel)
		}
	}
	for i, k := range kinds {
		kinds[i] = fmt.Sprintf("%d × %s", count[k], k)
	}
	a := report.Array{Name: o.Name, Picture: picture(result.ArrayTop.Of(o.Name), "The array from the front.", "Boards of the order %s on their manufacturing panel.", o.Name),
		Facts: []report.Fact{
			{Name: "Size, mm", Value: size(o.Width, o.Height), Aside: fixed(100*o.Utilisation, 0) + " % boards"},
			{Name: "Boards", Value: strconv.Itoa(len(o.Boards)), Aside: strings.Join(kinds, ", ")},
			{Name: "Parted by", Value: o.Cut},
		}}
	a.Files, a.Pack = reportFiles(name, o.files)
	return a
}

// reportFiles parts a folder's files into those to use and those of the pack.
func reportFiles(dir string, l []bundle.File) (files, pack []report.File) {
	for _, f := range l {
		known, _ := result.FileAt(dir + "/" + f.Path)
		one := report.File{Path: dir + "/" + f.Path, What: known.What}
		if known.Pack() {
			pack = append(pack, one)
		} else {
			files = append(files, one)
		}
	}
	return files, pack
}

func partsTable(title string, src []byte) report.Table {
	t := report.Table{Title: title, Head: []string{"<part", "quantity", "<rating", "<package", "~which", "~note"}}
	for _, r := range records(src, 7) {
		t.Rows = append(t.Rows, []string{strings.TrimSpace(r[2] + " " + r[3]), r[1], r[4], r[5], r[0], r[6]})
	}
	return t
}

func orderTable(src []byte) report.Table {
	t := report.Table{Title: "Boards to order", Head: []string{"<board", "width, mm", "height, mm", "layers", "thickness, mm", "copper, µm", "quantity"}}
	for _, r := range records(src, 7) {
		t.Rows = append(t.Rows, []string{r[0], r[1], r[2], r[3], r[5], r[6], r[4]})
	}
	return t
}

// records is a list of ours without its head; n is its number of columns.
func records(src []byte, n int) [][]string {
	in := csv.NewReader(bytes.NewReader(src))
	in.FieldsPerRecord = n
	rows, err := in.ReadAll()
	if err != nil || len(rows) == 0 {
		return nil
	}
	return rows[1:]
}

// supplyTables are the supply, its battery and the chains.
func supplyTables(out Outcome) []report.Table {
	r := out.Result.Supply
	if r == nil {
		return nil
	}
	v := plain(r.Volts.Nominal)
	if r.Volts.Min != r.Volts.Max {
		v = plain(r.Volts.Min) + " to " + plain(r.Volts.Max)
	}
	all := []report.Table{{Title: "Supply", Head: []string{"<volts", "rated, A", "boards, A", "boards at worst, A", "others, A", "all at worst, A", "of its rating, %", "<verdict"},
		Rows: [][]string{{v, plain(r.RatedA), fixed(r.TypicalA, 3), fixed(r.WorstA, 3), fixed(r.OtherA, 3), fixed(r.DemandA, 3), share(r.DemandA, r.RatedA), r.Verdict}}}}
	if b := r.Battery; b != nil {
		all = append(all, report.Table{Title: "Battery", Head: []string{"<chemistry", "cells", "Ah", "light when full, %", "on the charger, %", "empty, %", "hours to plan with", "hours by its label"},
			Rows: [][]string{{b.Chemistry, plain(float64(b.Cells)), plain(b.CapacityAh), fixed(100*b.LightFull, 0), fixed(100*b.LightCharging, 0), fixed(100*b.LightEmpty, 0), fixed(b.PlanHours, 1), fixed(b.Hours, 1)}}})
	}
	for i, c := range out.Circuit.Chains {
		all = append(all, chainTable(i, len(out.Circuit.Chains), c))
	}
	return all
}

func chainTable(i, n int, c led.Chain) report.Table {
	t := report.Table{Title: "Chain", Head: []string{"<panel", "<wire", "feed, mm", "feed, A", "at worst, A", "wire stands, A", "at the board, V", "LED current, % of asked"}}
	if n > 1 {
		t.Title = fmt.Sprintf("Chain %d", i+1)
	}
	t.Title += ", from " + orElse(c.From, "the supply") + " on"
	if c.BothEnds {
		t.Title += ", fed at both ends"
	}
	for _, k := range c.Links {
		t.Rows = append(t.Rows, []string{k.Panel, k.Feed.Wire, fixed(k.Feed.Length.MM(), 0), amps(k.Segment), amps(k.SegmentWorst), plain(float64(k.Feed.Rated)),
			fixed(float64(k.Volts), 3), fixed(100*k.OfAsked, 0)})
	}
	if c.BothEnds {
		t.Rows = append(t.Rows, []string{"(back to the start)", c.Back.Wire, fixed(c.Back.Length.MM(), 0), amps(c.BackAmps), amps(c.BackWorst), plain(float64(c.Back.Rated)), "", ""})
	}
	return t
}

func share(of, whole float64) string {
	if whole <= 0 {
		return ""
	}
	return fixed(100*of/whole, 0)
}

func size(w, h float64) string { return fixed(w, 1) + " × " + fixed(h, 1) }

func fixed(v float64, k int) string { return strconv.FormatFloat(v, 'f', k, 64) }

func plain(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

func milliamps(i part.Amp) string { return strconv.FormatFloat(1e3*float64(i), 'f', 0, 64) + " mA" }

func amps(i part.Amp) string { return fixed(float64(i), 3) }

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
