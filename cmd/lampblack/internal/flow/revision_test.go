package flow

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"io"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/result"
)

// The revision stands in every file that has a place for words; which have none, and why, is told here. The Gerber Layer Format
// Specification 2021.02, 5.6, has it third in .ProjectId, which drill and job files share.
func TestRevisionIsInAllFiles(t *testing.T) {
	silent := map[string]string{
		".png":          "pixels of light",
		".glb":          "solids",
		".dxf":          "sheets for CAD and laser, which compare finds changed by their bytes alone; the SVG beside each tells it",
		"parts.csv":     "columns for spreadsheets",
		"wires.csv":     "columns for spreadsheets",
		"cost.csv":      "columns for spreadsheets",
		"placement.csv": "columns for machines",
	}
	d := newBench()
	d.panels, d.chain = d.panels[:2], []int{0, 1}
	d.revision, d.order, d.panels[0].wall = "Q7", true, true
	d.more = "stack: {plate: 2 mm}\nstock: {face: 300 x 200 mm, diffuser: 300 x 200 mm, frame: 300 x 200 mm}\n"
	p, set := d.open(t)
	out := must(Build(t.Context(), p, set))
	require.False(t, out.Findings.HasErrors(), "%v", out.Findings)
	bears := map[string]*regexp.Regexp{
		".gbr": regexp.MustCompile(`(?m)^%TF\.ProjectId,[^,]+,[^,]+,Q7\*%`),
		".drl": regexp.MustCompile(`(?m)^; #@! TF\.ProjectId,[^,]+,[^,]+,Q7$`),
		".svg": regexp.MustCompile(`<title>[^<]*\brevision Q7\b[^<]*</title>`),
		".pdf": regexp.MustCompile(`/Title \([^)]*revision Q7\)`),
	}
	data := map[string][]byte{}
	for _, f := range out.Files {
		data[f.Path] = f.Data
	}
	seen := map[string]bool{}
	for name, content := range data {
		kind := path.Ext(name)
		for _, why := range []string{silent[kind], silent[path.Base(name)]} {
			if why != "" {
				seen[kind] = true
				require.False(t, bytes.Contains(content, []byte("revision Q7")), "%s: %s", name, why)
			}
		}
		of := path.Base(name)
		if strings.HasPrefix(of, "order-") { // an array's lists bear its name
			_, of, _ = strings.Cut(strings.TrimPrefix(of, "order-"), "-")
		}
		if silent[kind] != "" || silent[of] != "" {
			continue
		}
		seen[kind] = true
		switch kind {
		case ".zip":
			r, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
			require.NoError(t, err)
			require.NotEmpty(t, r.File)
			for _, f := range r.File {
				in, err := f.Open()
				require.NoError(t, err)
				packed, err := io.ReadAll(in)
				require.NoError(t, err)
				require.True(t, bytes.Equal(data[path.Dir(name)+"/"+result.PackFolder+f.Name], packed), "%s: %s is what lies beside it", name, f.Name)
			}
		default:
			if of := bears[kind]; of != nil {
				require.True(t, of.Match(content), name)
			} else {
				require.True(t, bytes.Contains(content, []byte("Q7")), name)
			}
		}
	}
	for _, kind := range []string{".svg", ".pdf", ".html", ".json", ".cir", ".zip", ".gbr", ".drl", ".gbrjob", ".ipc", ".txt", ".csv", ".png", ".glb", ".dxf"} {
		require.True(t, seen[kind], kind)
	}
	rows, err := csv.NewReader(bytes.NewReader(data[string(result.OrderCSV)])).ReadAll()
	require.NoError(t, err)
	for i, r := range rows {
		require.Equal(t, []string{"revision", "Q7"}[min(i, 1)], r[len(r)-1])
	}
}

// Another revision draws no picture anew, and is in all of them.
func TestRevisionRedrawsNothing(t *testing.T) {
	d := newBench()
	d.panels, d.chain = d.panels[:1], []int{0}
	e := NewEngine(UsualBound())
	drawn := 0
	e.fault = func(stage, of string) {
		if stage == cutting.name || stage == glow.name {
			drawn++
		}
	}
	p, set := d.open(t)
	must(e.Build(t.Context(), p, set))
	require.Equal(t, 2, drawn)
	d.revision = "B"
	p, set = d.open(t)
	out := must(e.Build(t.Context(), p, set))
	require.Equal(t, 2, drawn)
	for _, f := range out.Files {
		if path.Ext(f.Path) == ".svg" {
			require.True(t, bytes.Contains(f.Data, []byte("revision B")), f.Path)
		}
	}
}
