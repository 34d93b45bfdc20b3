package flow

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/export/cost"
	"lampblack/export/parts"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/export/result/tables"
	"lampblack/export/table"
	"lampblack/export/wires"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/led/stray"
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
		Unbuilt: s.unbuilt(out),
	}
	beside, items := s.toBuy(out), s.items(out)
	buy, order := bought(beside.list(parts.Hardware(out.mounts(), s.project.Copies), items...)), s.ordered(out)
	cutting := wires.Table(beside.Cuts, s.project.Copies)
	buy.Title = "Parts to buy"
	if n := s.project.Copies; n > 1 {
		buy.Title += fmt.Sprintf(", for %d consoles", n)
		order.Title += fmt.Sprintf(", for %d consoles", n)
		cutting.Title += fmt.Sprintf(", for %d consoles", n)
	}
	c.Lists = []table.Table{buy, cutting, tables.Controls(r), tables.Screws(r), tables.Depths(r), tables.Fit(r), tables.Held(r), order}
	c.Cost = []table.Table{cost.Cents(out.Costs), cost.Effort(out.Costs)}
	if len(c.Cost[0].Rows) > 0 {
		c.Priced = cost.Details(out.Costs)
	}
	if r.Supply != nil {
		c.Supply = append(tables.Supply(*r.Supply), tables.Chains(r)...)
		c.Verdict = report.Verdict{Word: r.Supply.Verdict, Sentence: r.Supply.Sentence}
	}
	c.Bright = slices.Concat(tables.Bright(r), []table.Table{tables.Ends(r)}, tables.Lots(r))
	if t := tables.Windows(r); len(t.Rows) > 0 {
		c.Bright = append(c.Bright, t)
	}
	leds := 0
	for i, b := range out.Built {
		if !b.written() {
			continue
		}
		leds += b.LEDs()
		c.Panels = append(c.Panels, reportPanel(b, s.mounting(b.Panel.Name), r.Panels[i], out.Circuit, picture))
	}
	c.Summary = fmt.Sprintf("%d of %d panels built, %d LEDs", len(c.Panels), len(c.Panels)+len(c.Unbuilt), leds)
	for _, o := range out.Orders {
		c.Arrays = append(c.Arrays, reportArray(o, picture))
	}
	if len(r.Nests) > 0 {
		c.Nests = report.Nests{Table: tables.Nests(r), Picture: picture(string(result.NestsSVG), "The sheets of stock with what is cut from them.",
			"Sheets of stock, and on each the outlines of the panels' sheets with their names.")}
		for _, n := range r.Nests {
			for _, path := range n.Files {
				known, _ := result.FileAt(path)
				c.Nests.Files = append(c.Nests.Files, report.File{Path: path, What: known.What})
			}
		}
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
			Place: placed(f.File, f.Line, f.Layer, f.At), Related: related(f.Related), Number: f.Number}
		if len(f.Places) > 0 {
			one.Place = f.File
		}
		for _, p := range f.Places {
			at := report.Place{Text: p.Text, Advice: p.Advice, Place: placed("", 0, p.Layer, p.At), Related: related(p.Related)}
			if p.File != f.File {
				at.Place = placed(p.File, p.Line, p.Layer, p.At)
			}
			one.Places = append(one.Places, at)
		}
		if n := len(f.Places); n > 0 && f.Count > n {
			one.Places = append(one.Places, report.Place{Text: fmt.Sprintf("and %d more", f.Count-n)})
		}
		out = append(out, one)
	}
	return out
}

func related(l []result.Related) []string {
	var out []string
	for _, r := range l {
		text := r.Text
		if at := placed(r.File, r.Line, "", r.At); at != "" {
			text += " (" + at + ")"
		}
		out = append(out, text)
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
		parts = append(parts, "at x "+table.Fixed(at[0], 2)+", y "+table.Fixed(at[1], 2)+" mm")
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
		for _, b := range out.Built {
			if b.Panel.Name == name && len(b.marked) > 0 {
				u.Marked = report.Picture{Path: result.FindingsSVG.Of(name), Data: b.marked[0].Data, Inside: true,
					Caption: "Where the findings are, by their numbers above.", Alt: "Panel " + name + " with the places of its findings."}
			}
		}
		for _, b := range out.Built {
			for _, m := range b.Boards {
				if b.Panel.Name == name && len(m.stuck) > 0 {
					u.Open = append(u.Open, report.Picture{Path: m.stuck[0].Path, Data: m.stuck[0].Data, Inside: true,
						Caption: "The board as far as it came, and the nets that stay open.", Alt: "Board " + m.Name() + " with its open nets and what is in their way."})
				}
			}
		}
		if errors > 1 {
			u.Reason += fmt.Sprintf(" (and %d more, see the findings)", errors-1)
		}
		all = append(all, u)
	}
	for i, b := range out.Built {
		if b.written() {
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

// seenThrough ends a caption by what engraving a picture of the light holds for.
func seenThrough(f light.Field) string {
	if f.Finish == light.Clear {
		return "through clear engraving, straight from the front."
	}
	return "through frosted engraving."
}

// litHow says how the picture of a lit panel is to be read.
func litHow(f light.Field) string {
	if len(f.Sets) == 0 {
		return "Lit in the dark, " + seenThrough(f)
	}
	var names []string
	for _, s := range f.Sets {
		names = append(names, s.Set)
	}
	return "Lit in the dark by each set of LEDs alone, from the top " + strings.Join(names, ", ") + ", each as bright to the eye; " + seenThrough(f)
}

// reportPanel is a panel that was built.
func reportPanel(b Built, how project.Mounting, r result.Panel, c led.Circuit, picture func(path, caption, alt string, args ...any) report.Picture) report.Panel {
	name := b.Panel.Name
	p := report.Panel{Name: name, Drawing: r.Drawing, Facts: panelFacts(b, r, c)}
	if !b.Unlit {
		p.Glow = picture(result.GlowPNG.Of(name), litHow(b.Field), "Panel %s as it will glow in the dark.", name)
	}
	var items []parts.Item
	for i, m := range b.Boards {
		which := "Board"
		if !b.alone() {
			which = "Board " + m.Name()
		}
		p.Boards = append(p.Boards,
			picture(result.BoardTop.Of(m.Name()), which+", top: the side of the LEDs, as the viewer would see it.", "Board %s from the front: copper, pads and holes of the side with the LEDs.", m.Name()),
			picture(result.BoardBottom.Of(m.Name()), which+", bottom, seen from behind.", "Board %s from behind: the side with resistors and connectors.", m.Name()),
			picture(result.AssemblySVG.Of(m.Name()), "Assembly: what to solder where.", "Assembly drawing of board %s; placement.csv lists the same parts with their places.", m.Name()),
			picture(result.ServiceSVG.Of(m.Name()), "Service map: strings, resistors, and what a meter shows where.", "Service map of board %s: which LED is of which string, and the voltages along each.", m.Name()),
		)
		p.Tables = append(p.Tables, tables.Strings(r.Every()[i]))
		items = append(items, m.item())
	}
	plate := ""
	if len(b.cut.Value.Sheets) > 3 {
		plate = ", plate"
	}
	sheets := "The sheets, from the front: face, diffuser, LED sheet" + plate + ". The files for the laser lie beside this picture."
	if how.PaintedBehind {
		sheets += " Painted on the back: the file of the face is seen from behind, as it lies on the laser with its paint up."
	}
	p.Sheets = append(p.Sheets, picture(result.SheetsSVG.Of(name), sheets,
		"The sheets of panel %s: face with its lettering, diffuser, and the sheet that holds the LEDs.", name))
	p.Sheets = append(p.Sheets, picture(result.SideSVG.Of(name), "From the side, cut through along A–B, at scale: what lies behind what, and how deep the whole is.",
		"Panel %s from the side: its sheets and its board cut through, with what stands on them.", name))
	if !b.Unlit {
		whose, of := "its LEDs", ""
		if sets := b.Field.Sets; len(sets) > 0 {
			whose = "the LEDs of " + sets[0].Set
			var names []string
			for _, s := range sets {
				names = append(names, s.Set)
			}
			of = " by each set of LEDs alone, from the top " + strings.Join(names, ", ")
		}
		p.Sheets = append(p.Sheets, picture(result.DayPNG.Of(name), "By the light of a room, 538 lx: above unlit, below with "+whose+" on.", "Panel %s by daylight, unlit and lit.", name))
		p.Sheets = append(p.Sheets, picture(result.GlowMap.Of(name), "Light of the face"+of+", in steps, "+seenThrough(b.Field)+" Open it for their values.",
			"Map of the light on panel %s, in steps from dark to bright.", name))
	}
	if len(b.marked) > 0 {
		p.Marked = picture(result.FindingsSVG.Of(name), "Where the findings are, by their numbers above.", "Panel %s with the places of its findings.", name)
	}
	if !b.Unlit {
		p.Tables = append(p.Tables, bought(parts.Parts(items...).With(parts.Hardware(b.fastened.Mounts, 1))))
	}
	for _, dir := range b.folders() {
		files, pack := reportFiles(dir.name, dir.files)
		p.Files, p.Pack = append(p.Files, files...), append(p.Pack, pack...)
	}
	return p
}

// bought is the parts as a buyer reads them: what, how many, and only then where from, without the columns to leave out.
func bought(list table.Table, leave ...string) table.Table {
	var names []string
	for _, n := range []string{"part", "value", "quantity", parts.Beyond, parts.ForSpares, "rating", "package", "designators", "note", "number", "price"} {
		at := slices.IndexFunc(list.Columns, func(c table.Column) bool { return c.Name == n })
		own := n == "number" || n == "price" // empty, they are for whoever fills the file in
		if at >= 0 && !slices.Contains(leave, n) && (!own || slices.ContainsFunc(list.Rows, func(r []string) bool { return r[at] != "" })) {
			names = append(names, n)
		}
	}
	return list.Arranged(names...)
}

// named is a word in quotation marks, or a drawn thing by what it is.
func named(what string, drawn bool) string {
	if drawn {
		return what
	}
	return "“" + what + "”"
}

func panelFacts(b Built, r result.Panel, c led.Circuit) []report.Fact {
	var facts []report.Fact
	add := func(name, value, aside string) {
		facts = append(facts, report.Fact{Name: name, Value: value, Aside: aside})
	}
	if b.Unlit {
		add("Panel, mm", size(r.BBox[2]-r.BBox[0], r.BBox[3]-r.BBox[1]), "not lit, as the project wants it: sheets alone")
		return facts
	}
	panel := "panel " + size(r.BBox[2]-r.BBox[0], r.BBox[3]-r.BBox[1])
	what := "Board, mm"
	for _, q := range r.Every() {
		if !b.alone() {
			what = "Board " + q.Name + ", mm"
		}
		if q.Board != nil {
			add(what, size(q.Board.Width, q.Board.Height), panel)
		}
	}
	var own led.Current
	watts := 0.0 // typical
	var ohms []string
	strung := 0
	for _, m := range b.Boards {
		draws := m.Wiring.Draws()
		own = own.Plus(draws)
		watts += float64(float64(draws.Typical) * float64(volts(c, m.Name())))
		strung += len(m.Wiring.Strings)
		for _, g := range m.Wiring.Strings {
			if o := m.Wiring.Resistors[g.Resistor].Ohms.Code(); !slices.Contains(ohms, o) {
				ohms = append(ohms, o)
			}
		}
	}
	typical, most := own.Typical, own.Worst
	of := counted(strung, "string", "strings")
	if len(ohms) > 0 {
		of += " with " + strings.Join(ohms, ", ")
	}
	add("LEDs", strconv.Itoa(b.LEDs()), of)
	add("Current, all full on", milliamps(typical), "at worst "+milliamps(most))
	// The worst: all that the strings draw, and the whole of the supply's greatest voltage across the board.
	add("Power, all full on", table.Fixed(watts, 2)+" W", "at worst "+table.Fixed(float64(most)*float64(c.Source.Max), 2)+" W")
	if l := r.Light; l != nil {
		mean := "average not known: no intensity is told for an LED"
		if !l.Relative {
			mean = "average " + strconv.FormatFloat(l.Mean, 'g', 3, 64) + " cd/m²"
		}
		if len(l.Colours) == 0 {
			add("Darkest lettering", table.Fixed(100*l.MinToMean, 0)+" % of average", mean)
		}
		if k := l.Lasting; k != nil {
			below := ""
			if k.Below > 1 {
				below = fmt.Sprintf("; %d words or symbols keep less than a third without theirs", k.Below)
			}
			add("Hit worst by one string's failure", named(k.Word, k.Drawn), "keeps "+table.Fixed(100*k.Keeps, 0)+" % of its light without "+strings.Join(k.LEDs, ", ")+below)
		}
		if k := l.Spill; k != nil {
			add("Shows most while its group is off", named(k.Word, k.Drawn), "with "+table.Fixed(100*k.Share, 1)+" % of its own light, from "+cmp.Or(k.From, "the LEDs of no group"))
		}
		if k := l.Edge; k != nil && k.Times >= stray.Told {
			where := "the panel's rim, unless the console covers that"
			if k.At != stray.Rim.String() {
				where = "a control"
			}
			add("Diffuser's edge glows", strconv.FormatFloat(k.Times, 'g', 2, 64)+" times", "the lettering's average, at "+where)
		}
		for _, k := range l.Colours {
			name := k.Colour
			if k.Set != "" {
				name = k.Set + " (" + k.Colour + ")"
			}
			add("Darkest lettering, "+name, table.Fixed(100*k.MinToMean, 0)+" % of average", counted(k.Lettering, "word or symbol", "words and symbols"))
		}
	}
	if n := len(r.Seen); n > 0 {
		add("Seen directly", counted(n, "LED", "LEDs"), "past openings or edges, see the findings")
	}
	for _, one := range r.Every() {
		of := ""
		if !b.alone() {
			of = " of " + one.Name
		}
		if q := one.Board; q != nil {
			if t := q.Tightest; t != nil {
				add("Nearest to a limit"+of+", mm", table.Fixed(t.Found, 2), t.Limit+", at least "+table.Fixed(t.Required, 2))
			}
			price := ""
			if mm := q.Hops.KeepTurnMM; mm >= 1 {
				price = ", for " + table.Fixed(mm, 0) + " mm more of track"
			}
			switch {
			case q.Mixed:
				add("LEDs"+of+" stand", "different ways", "go by the plus at each")
			case len(q.Otherwise) > 0:
				add("LEDs"+of+" stand", "one way", "but for "+strings.Join(q.Otherwise, ", ")+", marked "+board.OddMark+price)
			default:
				add("LEDs"+of+" stand", "one way", "all of them"+price)
			}
			add("Tracks"+of+", m", table.Fixed(q.TrackMM/1e3, 2), fmt.Sprintf("%s, %s", counted(q.Connections, "connection", "connections"), counted(q.Vias, "via", "vias")))
		}
	}
	return facts
}

func reportArray(o Ordered, picture func(path, caption, alt string, args ...any) report.Picture) report.Array {
	name := result.OrderFolder(o.Name)
	a := report.Array{Name: o.Name, Picture: picture(result.ArrayTop.Of(o.Name), "The array from the front.", "Boards of the order %s on their manufacturing panel.", o.Name),
		Facts: []report.Fact{
			{Name: "Size, mm", Value: size(o.Width, o.Height), Aside: table.Fixed(100*o.Utilisation, 0) + " % boards"},
			{Name: "Boards", Value: strconv.Itoa(len(o.Boards)), Aside: tables.Ordered(o.Order)},
			{Name: "To order", Value: strconv.Itoa(o.Quantity), Aside: "of the whole"},
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

func size(w, h float64) string { return table.Fixed(w, 1) + " × " + table.Fixed(h, 1) }

func milliamps(i part.Amp) string { return table.Fixed(1e3*float64(i), 0) + " mA" }

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
