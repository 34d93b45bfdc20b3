package flow

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/footprint"
	"lampblack/cmd/lampblack/internal/project"
	desk "lampblack/cmd/lampblack/internal/starter"
	"lampblack/export/result"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/role"
)

// starter returns the starter project and a reader of its drawing under any of the names given.
func starter(t *testing.T, panels ...string) (project.Project, Settings) {
	t.Helper()
	src, err := desk.Drawing()
	require.NoError(t, err)
	p, l := project.Bare(panels)
	require.Empty(t, l)
	return p, Settings{Version: "test", Pack: true, Read: func(path string) ([]byte, error) {
		switch {
		case strings.HasPrefix(path, "gone"):
			return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
		case strings.HasPrefix(path, "broken"):
			return []byte("no drawing"), nil
		}
		return src, nil
	}}
}

// must returns what a call gave that nobody stopped.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// The same input gives the same bytes on any number of cores.
func TestBuildIsDeterministic(t *testing.T) {
	build := func(cores int) Outcome {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		p, set := starter(t, "a.dxf", "b.dxf")
		return must(Build(context.Background(), p, set))
	}
	one, many := build(1), build(8)
	require.Equal(t, 2, one.Packs, "%v", one.Findings)
	require.Equal(t, one.Findings, many.Findings)
	require.Len(t, many.Files, len(one.Files))
	for i, f := range one.Files {
		require.Equal(t, f.Path, many.Files[i].Path)
		require.True(t, bytes.Equal(f.Data, many.Files[i].Data), f.Path)
	}
}

func TestBuild(t *testing.T) {
	p, set := starter(t, "/somewhere/else/a.dxf")
	out := must(Build(context.Background(), p, set))
	t.Run("files", func(t *testing.T) { files(t, out) })
	t.Run("result", func(t *testing.T) { fullResult(t, out) })
}

// Everything that the design lists is written, once, and result.json names it.
func files(t *testing.T, out Outcome) {
	require.False(t, out.Findings.HasErrors(), "%v", out.Findings)
	got := map[string]bool{}
	for _, f := range out.Files {
		require.False(t, got[f.Path], "%s twice", f.Path)
		require.NotEmpty(t, f.Data, f.Path)
		got[f.Path] = true
	}
	for _, want := range []string{
		"result.json", "report.html", "parts.csv", "wires.csv", "order.csv", "cost.csv", "chain.cir", "wiring.svg", "harness.svg",
		"laser.html", "guide.html", "guide.pdf", "test-kerf.svg", "test-kerf.dxf", "test-engraving.svg", "test-engraving.dxf", "a/a-fab.zip", "a/sheet-face.svg", "a/sheet-diffuser.svg", "a/sheet-led.svg",
		"a/sheet-face.dxf", "a/sheet-diffuser.dxf", "a/sheet-led.dxf", "a/sheets.svg", "a/side.svg",
		"a/glow.png", "a/day.png", "a/glow-map.svg", "console.png", "console.glb", "a/board.glb",
		"a/findings.svg", // two LEDs are seen past the starter's edge
		"a/board-top.svg", "a/board-bottom.svg", "a/assembly.svg", "a/assembly.pdf", "a/service.svg", "a/panel.pdf", "a/parts.csv", "a/placement.csv",
		"a/fab/a-copper-top.gbr", "a/fab/a-copper-bottom.gbr", "a/fab/a-soldermask-top.gbr", "a/fab/a-soldermask-bottom.gbr",
		"a/fab/a-silkscreen-top.gbr", "a/fab/a-silkscreen-bottom.gbr", "a/fab/a-paste-bottom.gbr", "a/fab/a-profile.gbr",
		"a/fab/a-component-top.gbr", "a/fab/a-component-bottom.gbr", "a/fab/a-drill-plated.drl", "a/fab/a-drill-unplated.drl", "a/fab/a-job.gbrjob", "a/fab/a-netlist.ipc", "a/fab/README.txt",
	} {
		require.True(t, got[want], want)
		delete(got, want)
	}
	require.Empty(t, got, "files that no one asked for")
	var r result.Console
	for _, f := range out.Files {
		if f.Path == "result.json" {
			require.NoError(t, json.Unmarshal(f.Data, &r))
		}
	}
	listed := len(r.Files)
	for _, q := range r.Panels {
		listed += len(q.Files)
	}
	require.Equal(t, len(out.Files), listed)
	// Every file but result.json has its digest there.
	require.Len(t, r.Digests, len(out.Files)-1)
	for _, f := range out.Files {
		if f.Path != "result.json" {
			require.Equal(t, fmt.Sprintf("%x", sha256.Sum256(f.Data)), r.Digests[f.Path], f.Path)
		}
	}
}

// result.json speaks the drawing's coordinates and has the design's field names.
func fullResult(t *testing.T, out Outcome) {
	require.Len(t, out.Result.Panels, 1)
	q := out.Result.Panels[0]
	require.Equal(t, "a.dxf", q.Drawing, "no path of this machine")
	require.Equal(t, [4]float64{0, 0, 140, 60}, q.BBox)
	// 140 by 60 with corners of radius 5: the square corners less the circle's quarters.
	require.InDelta(t, 140*60-(4-math.Pi)*25, q.OutlineArea, 1e-3)
	require.InDelta(t, 2*(130+50)+10*math.Pi, q.OutlinePerimeter, 1e-3)
	require.Len(t, q.Holes.LED, 16)
	require.Contains(t, q.Holes.LED, result.Hole{X: 24.0025, Y: 38.40875, D: 3})
	require.Contains(t, q.Holes.Mount, result.Hole{X: 134, Y: 54, D: 3.2})
	require.Len(t, q.Openings, 3)
	require.Len(t, q.Bodies, 3)
	require.InDelta(t, 14*16, q.Bodies[0].Area, 1e-6)
	require.Len(t, q.Lettering, 5)
	require.NotNil(t, q.Board)
	require.Zero(t, q.Board.Unrouted)
	n := 0
	for _, s := range q.Strings {
		n += len(s.LEDs)
		require.Positive(t, s.Ohms)
		require.LessOrEqual(t, s.WorstW, s.RatedW/2, "derated by half")
		require.LessOrEqual(t, s.MinA, s.TypicalA)
		require.LessOrEqual(t, s.TypicalA, s.MaxA)
	}
	require.Equal(t, 16, n)

	var tree map[string]any
	require.NoError(t, json.Unmarshal(out.Result.JSON(), &tree))
	for _, key := range []string{"lampblack", "console", "supply", "chains", "panels", "findings"} {
		require.Contains(t, tree, key)
	}
	one := tree["panels"].([]any)[0].(map[string]any)
	for _, key := range []string{"name", "drawing", "bbox_mm", "outline_area_mm2", "outline_perimeter_mm", "holes", "openings", "bodies", "lettering", "light", "strings", "board", "files"} {
		require.Contains(t, one, key)
	}
	for _, key := range []string{"width_mm", "height_mm", "area_mm2", "nets", "connections", "unrouted", "track_mm", "vias", "min_clearance_mm"} {
		require.Contains(t, one["board"], key)
	}
}

// A bad drawing stops its own panel only; the result, the chain and the exit know of it.
func TestOthersAreBuilt(t *testing.T) {
	p, set := starter(t, "a.dxf", "broken.dxf", "gone.dxf", "b.dxf")
	out := must(Build(context.Background(), p, set))
	require.Equal(t, 2, out.Packs, "%v", out.Findings)
	require.True(t, out.Unreadable)
	codes := map[string]bool{}
	for _, f := range out.Findings {
		codes[f.Code] = true
		require.NotEmpty(t, f.Advice, f.Code)
	}
	require.True(t, codes["file-missing"])
	require.True(t, codes["dxf-not-dxf"])
	require.True(t, codes["supply-incomplete"])
	require.Len(t, out.Circuit.Chains, 1)
	links := out.Circuit.Chains[0].Links
	require.Len(t, links, 2)
	// The wire still runs past the two panels that are left out.
	require.Equal(t, 3*p.Defaults.FeedLength, links[1].Feed.Length)
	for _, f := range out.Files {
		require.False(t, strings.HasPrefix(f.Path, "broken") || strings.HasPrefix(f.Path, "gone"), f.Path)
	}
}

func TestNothingGood(t *testing.T) {
	p, set := starter(t, "broken.dxf")
	out := must(Build(context.Background(), p, set))
	require.Zero(t, out.Packs)
	require.Empty(t, out.Files)
	require.True(t, out.Findings.HasErrors())
	require.Contains(t, string(out.Result.JSON()), `"panels": []`)
}

func TestGuard(t *testing.T) {
	require.Nil(t, guard(func() {}))
	f := guard(func() { var p *panel.Panel; _ = p.Name })
	require.NotNil(t, f)
	require.Equal(t, diag.Error, f.Severity)
	require.Equal(t, "internal-fault", f.Code)
	require.Contains(t, f.Advice, "report it")
}

func BenchmarkConsole(b *testing.B) {
	dir := filepath.Join("..", "..", "..", "..", "examples", "observatory")
	src, err := os.ReadFile(filepath.Join(dir, project.FileName))
	if err != nil {
		b.Skip("the example has no project file yet")
	}
	p, l := project.Read(src, filepath.Join(dir, project.FileName))
	if l.HasErrors() {
		b.Fatal(l.Err())
	}
	var out Outcome
	for b.Loop() {
		out = must(Build(context.Background(), p, Settings{Version: "bench", Pack: true}))
	}
	unrouted, vias, track := 0, 0, 0.0
	for _, q := range out.Result.Panels {
		if q.Board != nil {
			unrouted += q.Board.Unrouted
			vias += q.Board.Vias
			track += q.Board.TrackMM
		}
	}
	b.ReportMetric(float64(out.Packs), "packs")
	b.ReportMetric(float64(unrouted), "unrouted")
	b.ReportMetric(float64(vias), "vias")
	b.ReportMetric(track, "track-mm")
}

// Circles count as too near each other for lamps where the flanges of those that a build puts there would meet.
func TestFlangesAreThoseOfTheFootprints(t *testing.T) {
	lamps := 0
	for _, k := range part.Kinds() {
		f, ok := footprint.Lookup(k.Package)
		require.True(t, ok, k.Package)
		if !held(k) {
			continue
		}
		lamps++
		require.InDelta(t, f.Body.Box().H().MM(), role.Flange(k.HoleMM), 0.01, "%s, whose flange is as wide as its body", k.Name)
	}
	require.NotZero(t, lamps)
}

// What is advised for holes that suit no LED chosen exists: a kind that goes with them, of the colour if there is one.
func TestAdviceForHoles(t *testing.T) {
	red, _ := part.Find("red-3mm")
	require.Equal(t, "choose a kind that fits: led: red-5mm", choose(red, geom.MM(5.1), part.Kinds()))
	require.Equal(t, "choose a kind that fits: led: red-plcc2", choose(red, geom.MM(4.8), part.Kinds()))
	require.Equal(t, "as no kind that is known goes with 2 mm, describe yours: leds: [{name: mine, hole: 2 mm, ...}]", choose(red, geom.MM(2)+1, part.Kinds()))
	mine := part.LED{Name: "tiny", Colour: "green", Package: "led-0805", HoleMM: 1.8}
	require.Equal(t, "choose a kind that fits: led: tiny", choose(red, geom.MM(2), append([]part.LED{mine}, part.Kinds()...)))
}

// Holes of another LED's size are told once for each kind and size, at the drawing's place.
func TestHolesOfAnotherLED(t *testing.T) {
	for _, c := range []struct{ kind, code string }{{"red-3mm", ""}, {"red-5mm", "led-hole-small"}, {"red-plcc2", "led-hole-small"}} {
		p, set := starter(t, "a.dxf")
		p.Defaults.LED = c.kind
		out := must(Supply(context.Background(), p, set))
		var got []string
		for _, f := range out.Findings {
			if strings.HasPrefix(f.Code, "led-hole") {
				got = append(got, f.Code)
				require.Equal(t, "a", f.Panel)
				require.NotNil(t, f.Place.At)
			}
		}
		if c.code == "" {
			require.Empty(t, got, c.kind)
		} else {
			require.Equal(t, []string{c.code}, got, c.kind)
		}
	}
}
