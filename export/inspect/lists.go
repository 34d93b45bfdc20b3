package inspect

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// most rows of a list that are read: as many parts as no board has.
const mostRows = 200_000

// list is a file of comma-separated values with headings of ours.
type list struct {
	name string
	at   map[string]int // column by its heading
	rows [][]string
}

// lists returns the files that have all of the headings.
func (p *inspector) lists(headings ...string) []list {
	var out []list
	for i, e := range p.pack.Files {
		if e.Kind != "other" || i >= len(p.files) || !bytes.HasPrefix(p.files[i].Data, []byte(headings[0]+",")) {
			continue
		}
		r := csv.NewReader(bytes.NewReader(p.files[i].Data))
		l := list{name: e.Name, at: map[string]int{}}
		for len(l.rows) < mostRows {
			row, err := r.Read()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				line := len(l.rows) + 1
				var bad *csv.ParseError
				if errors.As(err, &bad) {
					line = bad.Line
				}
				p.fail("inspect-list", "%s is no list: line %d has not the columns of its heading", e.Name, line).In(e.Name, line).Fix("write the pack anew")
				break
			}
			l.rows = append(l.rows, row)
		}
		if len(l.rows) == 0 {
			continue
		}
		for k, h := range l.rows[0] {
			l.at[h] = k
		}
		l.rows = l.rows[1:]
		if !slices.ContainsFunc(headings, func(h string) bool { _, ok := l.at[h]; return !ok }) {
			out = append(out, l)
		}
	}
	return out
}

// placement compares lists of places with the component layers: each part once, where the layer has it, turned as it says, on that
// side, of that value and package.
func (p *inspector) placement() {
	all := p.lists("reference", "x_mm", "y_mm", "rotation_deg", "side", "value", "package")
	if len(all) == 0 {
		return
	}
	known := map[string]component{}
	for _, c := range p.fitted {
		if c.main && c.Component != nil {
			known[c.ref] = c
		}
	}
	if len(known) == 0 {
		p.cannot("the list of the parts' places", "the pack has no component layers")
		return
	}
	for _, l := range all {
		told := map[string]bool{}
		for k, row := range l.rows {
			cell := func(h string) string { return row[l.at[h]] }
			ref := cell("reference")
			fail := func(format string, args ...any) {
				p.fail("inspect-placement", format, args...).OfPart(ref).In(l.name, k+2).
					Fix("a machine would set it so: list and component layers are of different boards or runs, write the pack anew")
			}
			c, ok := known[ref]
			if !ok {
				fail("the list of places has %s, which the component layers do not know", ref)
				continue
			}
			if told[ref] {
				fail("the list of places has %s twice", ref)
			}
			told[ref] = true
			at, there := place(cell("x_mm"), cell("y_mm"))
			turn, err := strconv.ParseFloat(cell("rotation_deg"), 64)
			off := math.Mod(turn-c.Rotation, 360)
			switch {
			case !there || at.Dist(c.at) > float64(readback.Same):
				fail("the list of places has %s at %s, %s mm, the component layer at %.3f, %.3f mm", ref, cell("x_mm"), cell("y_mm"), c.at.X.MM(), c.at.Y.MM())
			case err != nil || math.Abs(off) > 0.01 && math.Abs(off) < 359.99:
				fail("the list of places turns %s by %s degrees, the component layer by %g", ref, cell("rotation_deg"), c.Rotation)
			case cell("side") != c.on.String():
				fail("the list of places has %s on the %s, the component layer on the %v", ref, cell("side"), c.on)
			case cell("value") != c.Value || cell("package") != c.Footprint:
				fail("the list of places calls %s %s %s, the component layer %s %s", ref, cell("value"), cell("package"), c.Value, c.Footprint)
			}
		}
		for _, c := range p.fitted {
			if _, ok := known[c.ref]; ok && !told[c.ref] {
				p.fail("inspect-placement", "the list of places does not have %s", c.ref).OfPart(c.ref).In(l.name, 0).At(c.at.X.MM(), c.at.Y.MM()).
					Together("the list of places leaves %d parts out").Fix("write the pack anew")
			}
		}
	}
	p.did("the list of the parts' places")
}

func place(x, y string) (geom.Pt, bool) {
	most := geom.MaxCoord.MM()
	a, err := strconv.ParseFloat(x, 64)
	b, also := strconv.ParseFloat(y, 64)
	if err != nil || also != nil || !(math.Abs(a) < most && math.Abs(b) < most) {
		return geom.Pt{}, false
	}
	return geom.PtMM(a, b), true
}

// bought compares lists of parts with the component layers: as many of each value and package.
func (p *inspector) bought() {
	all := p.lists("quantity", "designators", "part", "value", "package")
	if len(all) == 0 {
		return
	}
	have := map[string]int{}
	for _, c := range p.fitted {
		if c.Component != nil {
			value := c.Value
			if c.connector() {
				value = "" // IN and OUT are one to whoever buys
			}
			have[kind(value, c.Footprint)]++
		}
	}
	if len(have) == 0 {
		return // told with the places, or as missing
	}
	for _, l := range all {
		want := map[string]int{}
		for _, row := range l.rows {
			n, err := strconv.Atoi(strings.TrimSpace(row[l.at["quantity"]]))
			if err != nil || n < 0 || n > mostRows {
				n = -mostRows // agrees with nothing
			}
			value := row[l.at["value"]]
			if row[l.at["part"]] == "connector" {
				value = ""
			}
			want[kind(value, row[l.at["package"]])] += n
		}
		var packages []string
		for k := range have {
			packages = append(packages, k)
		}
		for k := range want {
			if have[k] == 0 {
				packages = append(packages, k)
			}
		}
		slices.Sort(packages)
		for _, k := range packages {
			if have[k] != want[k] {
				p.fail("inspect-parts-list", "the list of parts counts %d of %q, the component layers %d", max(want[k], 0), k, have[k]).In(l.name, 0).
					Fix("the list is of another board or run: write the pack anew")
			}
		}
	}
	p.did("the list of parts")
}

// kind is what one buys.
func kind(value, pack string) string { return strings.TrimSpace(value + " " + pack) }
