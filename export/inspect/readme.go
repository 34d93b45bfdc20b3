package inspect

import (
	"bytes"
	"path"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// readme compares README.txt, as this program writes it, with the files: name, size, laminate, silkscreen, tracks, holes,
// and the list of files. What others write for people is not read.
func (p *inspector) readme() {
	if !p.own {
		return
	}
	for i, e := range p.pack.Files {
		if e.Kind != "other" || i >= len(p.files) || path.Base(e.Name) != export.ReadMeFileName {
			continue
		}
		p.page(p.files[i].Data, e.Name)
		p.did("README.txt")
		return
	}
	p.fail("inspect-no-readme", "the pack has no %s", export.ReadMeFileName).Fix("write the pack anew")
}

// rows returns the rows of a page by their names: two blanks, a name, blanks, the text, which goes on where a line is
// indented as far as the text.
func rows(src []byte) (heading string, row map[string]string, files []string) {
	row = map[string]string{}
	at := regexp.MustCompile(`^  ([A-Z][A-Za-z]+(?: [a-z]+)?) {2,}(.*)$`)
	last, section := "", ""
	var before string
	for line := range strings.Lines(string(src)) {
		line = strings.TrimRight(line, "\r\n")
		switch m := at.FindStringSubmatch(line); {
		case strings.HasPrefix(line, "----"):
			section = before
			if heading == "" {
				heading = before
			}
		case section == "Files":
			if w := strings.Fields(line); len(w) > 0 && strings.HasPrefix(line, "  ") && !strings.HasPrefix(line, "   ") && strings.Contains(w[0], ".") {
				if len(w) == 1 || strings.HasPrefix(line[2+len(w[0]):], "  ") {
					files = append(files, w[0])
				}
			}
		case m != nil:
			last = m[1]
			if _, twice := row[last]; !twice {
				row[last] = m[2]
			}
		case last != "" && strings.HasPrefix(line, "      "):
			row[last] += " " + strings.TrimSpace(line)
		default:
			last = ""
		}
		before = line
	}
	return heading, row, files
}

// numbers returns the numbers of a text.
func numbers(s string) []float64 {
	var out []float64
	for _, n := range regexp.MustCompile(`[0-9]+(?:\.[0-9]+)?`).FindAllString(s, 20) {
		if v, err := strconv.ParseFloat(n, 64); err == nil {
			out = append(out, v)
		}
	}
	return out
}

func (p *inspector) page(src []byte, name string) {
	if len(src) > 1<<20 || bytes.IndexByte(src, 0) >= 0 {
		return
	}
	heading, row, files := rows(src)
	fail := func(format string, args ...any) {
		p.fail("inspect-readme", "README.txt says "+format, args...).In(name, 0).Fix("it is of another board or run: write the pack anew")
	}
	a := p.pack.Artwork
	if own := p.pack.Name(); own != "" && !strings.HasSuffix(heading, own) && !strings.HasSuffix(heading, export.ASCII(own)) {
		fail("that it is of %q, the layers are of %s", strings.TrimPrefix(strings.TrimPrefix(heading, "Lighting board "), "Lighting boards on one panel: "), own)
	}
	if of := strings.HasPrefix(heading, "Lighting boards on one panel"); of != a.Array && heading != "" {
		fail("%q, and the layers call themselves a %v", heading, a.Part())
	}
	if v, ok := p.attribute(".ProjectId"); ok && len(v) > 2 && row["Revision"] != "" && row["Revision"] != v[2] && row["Revision"] != export.ASCII(v[2]) {
		fail("revision %s, the layers are of %s", row["Revision"], v[2])
	}
	if v := numbers(row["Size"]); len(v) >= 2 && !a.Size.Empty() {
		if d := max(abs(v[0]-a.Size.W().MM()), abs(v[1]-a.Size.H().MM())); d > 0.006 {
			fail("%.2f x %.2f mm, the profile is %.2f x %.2f mm", v[0], v[1], a.Size.W().MM(), a.Size.H().MM())
		}
	} else {
		fail("no size")
	}
	if v := numbers(row["Layers"]); len(v) > 0 && v[0] != 2 {
		fail("%g layers, the pack has 2", v[0])
	}
	if v := numbers(strings.TrimPrefix(row["Material"], "FR-4")); len(v) > 0 && a.Laminate.Thickness > 0 && abs(v[0]-a.Laminate.Thickness.MM()) > 5e-4 {
		fail("a board %g mm thick, the job file %v", v[0], a.Laminate.Thickness)
	}
	if v := numbers(row["Copper"]); len(v) > 0 && a.Laminate.Copper > 0 && abs(v[0]-float64(a.Laminate.Copper)/float64(geom.Micrometre)) > 0.5 {
		fail("copper of %g um, the job file %v", v[0], a.Laminate.Copper)
	}
	p.pageColours(row, fail)
	p.pageParts(row, fail)
	p.pageHoles(row, fail)
	p.pageBreaks(row, fail)
	p.pageInk(row["Silkscreen"], fail)
	p.pageFiles(files, name, fail)
}

// attribute returns the values of a file attribute of the first layer that has it.
func (p *inspector) attribute(name string) ([]string, bool) {
	for _, l := range p.pack.Artwork.Layers {
		if v, ok := readback.Attribute(l.FileAttributes, name); ok {
			return v, true
		}
	}
	return nil, false
}

// pageColours compares the colours that are asked for with the job file's.
func (p *inspector) pageColours(row map[string]string, fail func(format string, args ...any)) {
	for _, c := range []struct{ row, kind string }{{"Soldermask", "soldermask"}, {"Silkscreen", "legend"}} {
		said, _, _ := strings.Cut(row[c.row], ",")
		told := p.job.colours(c.kind)
		if said == "" || said == "none" || len(told) == 0 {
			continue
		}
		for _, t := range told {
			if !strings.EqualFold(said, t) {
				fail("%s %s, the job file %s", strings.ToLower(c.row), strings.ToLower(said), strings.ToLower(t))
				break
			}
		}
	}
}

// pageParts compares what is told of LEDs, connectors and boards with the component layers.
func (p *inspector) pageParts(row map[string]string, fail func(format string, args ...any)) {
	if len(p.fitted) == 0 {
		return // told
	}
	lamps, boards := 0, map[string]bool{}
	for _, c := range p.fitted {
		if c.lamp() {
			lamps++
		}
		boards[c.ref[:strings.IndexFunc(c.ref+"X", unicode.IsLetter)]] = true
	}
	if v := numbers(row["LEDs"]); len(v) > 0 && int(v[0]) != lamps {
		fail("%g LEDs, the component layers have %d", v[0], lamps)
	}
	if p.pack.Artwork.Array {
		n := 0
		for _, of := range strings.Split(row["Boards"], ",") {
			if v := numbers(of); len(v) > 0 {
				n += int(v[0])
			}
		}
		if n != len(boards) {
			fail("%d boards, the component layers have %d", n, len(boards))
		}
	}
	for _, c := range p.fitted {
		if c.Component == nil || !c.connector() {
			continue
		}
		if m := regexp.MustCompile(`\b` + regexp.QuoteMeta(c.ref) + ` is ([A-Z]+),`).FindStringSubmatch(row["Connectors"]); m != nil && c.Value != "" && m[1] != c.Value {
			fail("%s is %s, the component layer calls it %s", c.ref, m[1], c.Value)
		}
		for _, m := range regexp.MustCompile(`\b(\d+) is ([^\s,;]+)`).FindAllStringSubmatch(row["Pins"], 20) {
			for _, pin := range c.pins {
				if pin.Pin == m[1] && (pin.PinFn == "-") != (m[2] == "-") {
					fail("that pin %s of connectors is %s, the pack calls it %s at %s", m[1], m[2], pin.PinFn, c.ref)
				}
			}
		}
	}
}

func (p *inspector) pageHoles(row map[string]string, fail func(format string, args ...any)) {
	track, least, n := p.narrowest(), geom.Nm(0), p.drilled
	for _, d := range p.pack.Artwork.Drills {
		for _, t := range d.Tools {
			if least == 0 || t.D < least {
				least = t.D
			}
		}
	}
	if v := numbers(row["Tracks"]); len(v) > 0 && abs(v[0]-track.MM()) > 5e-4 {
		fail("tracks of at least %g mm, the narrowest is %v", v[0], track)
	}
	if v := numbers(row["Holes"]); len(v) > 1 && (int(v[0]) != n || abs(v[1]-least.MM()) > 5e-4) {
		fail("%g holes, the smallest %g mm; the drill files have %d, the smallest %v", v[0], v[1], n, least)
	} else if len(v) == 0 && n > 0 {
		fail("nothing of holes, the drill files have %d", n)
	}
}

// pageBreaks compares what an array's page says of tabs and scored lines: five holes stand in each row.
func (p *inspector) pageBreaks(row map[string]string, fail func(format string, args ...any)) {
	if !p.pack.Artwork.Array {
		return
	}
	v, _ := p.pack.Artwork.Layer(export.Vcut)
	for _, c := range []struct {
		name string
		at   int // which number of the row
		have int
		what string
	}{{"Tabs", 1, len(p.torn) / 5, "rows of holes that perforate tabs"}, {"Scored", 0, len(v.Objects), "lines to score"}} {
		n := 0
		if v := numbers(row[c.name]); len(v) > c.at {
			n = int(v[c.at])
		}
		if n != c.have {
			fail("%d %s, the files have %d", n, c.what, c.have)
		}
	}
}

func (p *inspector) pageInk(said string, fail func(format string, args ...any)) {
	var sides []string
	for _, l := range p.pack.Artwork.Layers {
		if l.Function.Silkscreen() && len(l.Objects) > 0 {
			sides = append(sides, l.Function.Side().String())
		}
	}
	want := "both sides"
	switch len(sides) {
	case 0:
		want = "none"
	case 1:
		want = sides[0] + " only"
	}
	if said != "" && !strings.Contains(said, want) {
		fail("silkscreen %q, the pack has it on: %s", said, want)
	}
}

func (p *inspector) pageFiles(files []string, own string, fail func(format string, args ...any)) {
	have, told := map[string]bool{}, map[string]bool{}
	for _, e := range p.pack.Files {
		have[export.ASCII(path.Base(e.Name))] = true
	}
	for _, f := range files {
		told[f] = true
		if !have[f] {
			fail("that there is a file %s, which is not in the pack", f)
		}
	}
	for _, e := range p.pack.Files {
		if n := export.ASCII(path.Base(e.Name)); !told[n] && e.Name != own {
			fail("nothing of the file %s, which is in the pack", n)
		}
	}
	if len(files) == 0 {
		fail("nothing of the pack's files")
	}
}

func abs(v float64) float64 { return max(v, -v) }
