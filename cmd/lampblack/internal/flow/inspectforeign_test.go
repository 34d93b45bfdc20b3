package flow

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/bundle"
	"lampblack/panel/diag"
)

// foreign makes of a pack one as others write it: no attributes, in inches, one drill file for all holes, names that say
// nothing, neither job file nor component layers nor README.txt.
func foreign(t testing.TB, files map[string][]byte) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	var drills []string
	names := []string{}
	for n := range files {
		names = append(names, n)
	}
	slices.Sort(names)
	for i, n := range names {
		s := string(files[n])
		switch {
		case strings.Contains(n, "component"):
		case strings.HasSuffix(n, ".gbr"):
			out[fmt.Sprintf("sheet%d", i)] = []byte(inches(s))
		case strings.HasSuffix(n, ".drl"):
			drills = append(drills, s)
		case strings.HasSuffix(n, ".ipc"):
			out["test"] = []byte(s)
		}
	}
	out["holes"] = []byte(oneDrill(drills))
	return out
}

// inches rewrites a layer of ours.
func inches(s string) string {
	s = regexp.MustCompile(`(?m)^(%T[FAOD].*|G04 .*)\n`).ReplaceAllString(s, "")
	s = strings.Replace(s, "%MOMM*%", "%MOIN*%", 1)
	scale := func(v string) string {
		f, _ := strconv.ParseFloat(v, 64)
		return strconv.FormatFloat(f/25.4, 'f', 8, 64)
	}
	s = regexp.MustCompile(`(?m)^%ADD\d+[CRO],([0-9.X]+)\*%$`).ReplaceAllStringFunc(s, func(m string) string {
		i := strings.IndexByte(m, ',')
		parts := strings.Split(strings.TrimSuffix(m[i+1:], "*%"), "X")
		for k := range parts {
			parts[k] = scale(parts[k])
		}
		return m[:i+1] + strings.Join(parts, "X") + "*%"
	})
	at := regexp.MustCompile(`([XYIJ])(-?\d+)`)
	var out []string
	for _, line := range strings.Split(s, "\n") {
		if strings.HasPrefix(line, "X") || strings.HasPrefix(line, "Y") || strings.HasPrefix(line, "I") || strings.HasPrefix(line, "J") {
			line = at.ReplaceAllStringFunc(line, func(m string) string {
				v, _ := strconv.ParseFloat(m[1:], 64)
				return m[:1] + strconv.FormatFloat(float64(int64(v/25.4)), 'f', 0, 64)
			})
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

// oneDrill joins drill files of ours to one without attributes.
func oneDrill(files []string) string {
	var head, body []string
	n := 0
	for _, s := range files {
		first := n
		for _, line := range strings.Split(s, "\n") {
			m := regexp.MustCompile(`^T(\d+)(C.*)?$`).FindStringSubmatch(strings.TrimSpace(line))
			switch {
			case m != nil && m[1] != "0":
				k, _ := strconv.Atoi(m[1])
				n = max(n, first+k)
				word := fmt.Sprintf("T%02d", first+k)
				if m[2] != "" {
					head = append(head, word+m[2])
				} else {
					body = append(body, word)
				}
			case strings.HasPrefix(line, "X") || strings.HasPrefix(line, "Y"):
				body = append(body, line)
			}
		}
	}
	return "M48\nMETRIC\n" + strings.Join(head, "\n") + "\n%\nG05\n" + strings.Join(body, "\n") + "\nM30\n"
}

// padsAsAreas paints rectangular flashes of a layer as small regions.
func padsAsAreas(s string) string {
	size := map[string][2]float64{}
	for _, m := range regexp.MustCompile(`(?m)^%ADD(\d+)R,([0-9.]+)X([0-9.]+)\*%$`).FindAllStringSubmatch(s, -1) {
		w, _ := strconv.ParseFloat(m[2], 64)
		h, _ := strconv.ParseFloat(m[3], 64)
		size[m[1]] = [2]float64{w * 1e6 / 2, h * 1e6 / 2}
	}
	tool := ""
	var out []string
	flash := regexp.MustCompile(`^X(-?\d+)Y(-?\d+)D03\*$`)
	pick := regexp.MustCompile(`^D(\d\d+)\*$`)
	for _, line := range strings.Split(s, "\n") {
		if m := pick.FindStringSubmatch(line); m != nil {
			tool = m[1]
		}
		m := flash.FindStringSubmatch(line)
		half, ok := size[tool]
		if m == nil || !ok {
			out = append(out, line)
			continue
		}
		x, _ := strconv.ParseFloat(m[1], 64)
		y, _ := strconv.ParseFloat(m[2], 64)
		at := func(dx, dy float64, op string) string {
			return fmt.Sprintf("X%.0fY%.0f%s*", x+dx*half[0], y+dy*half[1], op)
		}
		out = append(out, "G01*", "G36*", at(-1, -1, "D02"), at(1, -1, "D01"), at(1, 1, "D01"), at(-1, 1, "D01"), at(-1, -1, "D01"), "G37*")
	}
	return strings.Join(out, "\n")
}

// edgesApart writes each line of a file of lines alone for itself, the last one first.
func edgesApart(s string) string {
	if strings.Contains(s, "D03*") || strings.Contains(s, "G36*") || !strings.Contains(s, "%FS") {
		return s
	}
	x, y, mode, first := "0", "0", "G01*", -1
	lines := strings.Split(s, "\n")
	var strokes, rest []string
	op := regexp.MustCompile(`^(?:X(-?\d+))?(?:Y(-?\d+))?((?:I-?\d+)?(?:J-?\d+)?)D0([12])\*$`)
	for i, line := range lines {
		m := op.FindStringSubmatch(line)
		switch {
		case m == nil && first >= 0 && (line == "G01*" || line == "G02*" || line == "G03*"):
			mode = line
		case m == nil:
			rest = append(rest, line)
			if line == "G01*" || line == "G02*" || line == "G03*" {
				mode = line
			}
		default:
			if first < 0 {
				first = i
			}
			nx, ny := x, y
			if m[1] != "" {
				nx = m[1]
			}
			if m[2] != "" {
				ny = m[2]
			}
			if m[4] == "1" {
				strokes = append(strokes, fmt.Sprintf("X%sY%sD02*\n%s\nX%sY%s%sD01*", x, y, mode, nx, ny, m[3]))
			}
			x, y = nx, ny
		}
	}
	slices.Reverse(strokes)
	return strings.Join(slices.Concat(rest[:first], strokes, rest[first:]), "\n")
}

// zipped writes files in the order of their names.
func zipped(files map[string][]byte) []byte {
	var all []bundle.File
	for n, d := range files {
		all = append(all, bundle.File{Path: n, Data: d})
	}
	slices.SortFunc(all, func(a, b bundle.File) int { return strings.Compare(a.Path, b.Path) })
	return bundle.Zip(nil, all)
}

// A pack as others write it: its layers are recognised by their content, which is told, and it is good; the same pack with a
// short, an open, a mask that is not aligned, a hole too few or a narrow gap is refused.
func TestInspectForeignPacks(t *testing.T) {
	for _, p := range goodPacks(t) {
		files := func(harm func(*harmed) bool) map[string][]byte {
			h := map[string][]byte{}
			src, ok := p.zip(t, harm, nil)
			require.True(t, ok)
			got, l := unpacked("x", src)
			require.Empty(t, l)
			for _, f := range got {
				h[f.Name] = f.Data
			}
			return foreign(t, h)
		}
		good := must(Inspect(context.Background(), "x.zip", zipped(files(func(*harmed) bool { return true })), fine(), "test", false))
		require.False(t, good.List.HasErrors(), "%s: %v", p.name, good.Findings)
		recognised := map[string]bool{}
		for _, f := range good.Contents {
			recognised[f.Function] = true
		}
		for _, want := range []string{"copper-top", "copper-bottom", "soldermask-top", "soldermask-bottom", "silkscreen-top", "silkscreen-bottom", "paste-bottom", "profile"} {
			require.True(t, recognised["taken for "+want], "%s: %s of %v", p.name, want, recognised)
		}
		require.True(t, slices.ContainsFunc(good.List, func(f diag.Finding) bool { return f.Code == "inspect-not-judged" }), "what was not judged is named")
		for _, manner := range []func(string) string{padsAsAreas, edgesApart} {
			other := files(func(*harmed) bool { return true })
			for n, d := range other {
				other[n] = []byte(manner(string(d)))
			}
			got := must(Inspect(context.Background(), "x.zip", zipped(other), fine(), "test", false))
			require.False(t, got.List.HasErrors(), "%s: %v", p.name, got.Findings)
		}
		for _, c := range slices.Concat(copperFaults(), maskFaults(), drillFaults()) {
			want := map[string]string{
				"two nets joined by a track":     "inspect-short",
				"two nets joined by an area":     "inspect-short",
				"the tracks of a net are gone":   "inspect-open",
				"a track of 0.08":                "check-thin-track",
				"copper 0.05 from another net's": "check-copper-gap",
				"a track over the board's edge":  "readback-outside-profile",
				"a mask missing":                 "inspect-mask-missing",
				"a hole of a lead missing":       "inspect-netlist-hole",
				"all holes shifted by 1 mm":      "inspect-netlist-hole",
				"a hole of 0.3 for a lead":       "inspect-netlist-drill",
				"a copper layer shifted by 1 mm": "readback-netlist-point",
				"too much paste":                 "inspect-paste-stray",
				"a mask opening missing":         "inspect-mask-covers-pad",
			}[c.what]
			if want == "" {
				continue
			}
			got := must(Inspect(context.Background(), "x.zip", zipped(files(c.harm)), fine(), "test", false))
			if !slices.Contains(codesOf(got), want) {
				t.Errorf("%s: %s: %s is not told, but %v", p.name, c.what, want, codesOf(got))
			}
		}
	}
}
