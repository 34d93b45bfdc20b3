package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// allowed lists, for each package of this module, every package of this module that it may import. It is policy: what a
// package may know. Do not edit it to make a build pass; a change here wants a decision in DEVELOPERS.md. Words that end
// in /... allow a folder. Tests may import more: everything but cmd.
func allowed() map[string][]string {
	// The nouns that everything may know.
	nouns := []string{"panel/diag", "panel/disjoint", "panel/geom", "panel/work", "panel/writing"}
	with := func(more ...string) []string { return append(slices.Clone(nouns), more...) }
	verb := with("panel", "led", "led/part", "board", "board/footprint")
	artist := with("panel", "panel/lettering", "led", "led/part", "board", "export", "export/scene", "export/scene/svg")
	return map[string][]string{
		"panel/geom":             {},
		"panel/diag":             {},
		"panel/disjoint":         {},
		"panel/work":             {},
		"panel/writing":          {},
		"panel/dxf":              with(),
		"panel/control":          with(),
		"panel/material":         with(),
		"panel":                  with("panel/control"),
		"panel/room":             with("panel"),
		"panel/frame":            with("panel", "panel/work"),                                                           // walls in a panel's gap
		"panel/seat":             with("panel", "panel/control", "panel/material", "panel/room"),                        // whose shapes round openings it takes
		"panel/read":             with("panel", "panel/control", "panel/dxf", "panel/seat", "panel/role", "panel/room"), // a drawing's panels, and what the project tells of their openings
		"panel/role":             with("panel"),                                                                         // what its things are
		"panel/draft":            with("panel", "panel/dxf"),                                                            // a panel's drawing
		"panel/lettering":        with("panel"),
		"panel/paneltest":        with(),
		"panel/paneltest/sketch": with("panel", "panel/dxf", "panel/lettering"), // for tests

		"led/part":       with(),
		"led":            with("panel", "led/part"),
		"led/group":      with("panel", "led"),
		"led/solve":      with("led", "led/part"),
		"led/judge":      with("led", "led/part"),                                    // reads what was solved, solves nothing
		"led/chance":     with("led", "led/part", "led/solve"),                       // solves the console many times
		"led/expect":     with("led", "led/part", "led/solve"),                       // what a meter shows: circuits of its own
		"led/design":     with("panel", "led", "led/part", "led/group", "led/solve"), // brings the verbs together
		"led/bright":     with("led", "led/part"),                                    // levels, currents and dimmers; the light comes as figures
		"led/light":      with("panel", "panel/lettering", "led", "led/part"),
		"led/stray":      with("panel", "panel/control", "panel/seat"),                // what is seen, not how brightly it shines
		"led/photontest": {},                                                          // for tests of led/light, with which it shares nothing
		"led/ledtest":    with("panel", "led", "led/part", "led/design", "led/judge"), // for tests

		"board":           with("panel", "led", "led/part"), // the room that it keeps out of is the panel's
		"board/footprint": with("board", "led", "led/part"),
		"board/boardtest": with("panel", "led", "led/part", "led/design", "led/judge", "board", "board/footprint"),
		"board/boardtest/made": with("panel", "led", "led/part", "board", "board/bare", "board/boardtest", "board/fill", "board/legend", "board/place",
			"board/route", "board/shape"), // for tests beyond the stages' own
		"board/shape":  append(slices.Clone(verb), "panel/room"), // rooms that give way are drawn anew
		"board/place":  verb,
		"board/route":  verb,
		"board/bare":   with("led", "board"),
		"board/fill":   verb,
		"board/fasten": with("panel", "panel/material", "panel/seat", "board"),                                                     // where nuts and washers of controls come
		"board/height": with("panel", "panel/control", "panel/material", "panel/seat", "board", "board/footprint", "board/fasten"), // everything that stands before and behind a board
		"board/copper": with("led", "led/part", "board"),
		"board/legend": append(slices.Clone(verb), "panel/lettering"), // whose stroke letters it prints
		"board/check":  with("led", "led/part", "board"),              // never the verbs, or one bug would pass both

		"export":               with("led", "led/part", "board", "board/footprint"),
		"export/scene":         with(),
		"export/scene/svg":     with("export/scene"),
		"export/scene/pdf":     with("export/scene"),
		"export/scene/raster":  with(),
		"export/scene/png":     with("export/scene", "export/scene/raster"),
		"export/scene/dxf":     with("panel/dxf", "export/scene"),
		"export/scene/typeset": with("panel", "panel/lettering", "export/scene"), // whose letters it sets
		"export/gerber":        with("export"),
		"export/excellon":      with("export"),
		"export/netlist":       with("led", "led/part", "export"),
		"export/readback":      with("led", "led/part", "board", "export"),                                          // never a writer
		"export/inspect":       with("led", "board", "board/check", "board/footprint", "export", "export/readback"), // judges packs that were read; never a writer
		"export/stencil":       with("board", "export"),                                                             // packs that were read; never a writer
		"export/sheet":         append(slices.Clone(artist), "export/scene/dxf", "panel/dxf"),
		"export/picture":       append(slices.Clone(artist), "export/scene/...", "export/wires", "panel/read", "led/light", "board/height"), // it shows surveys, the light and wires
		"export/solid":         append(slices.Clone(artist), "panel/control", "panel/seat", "board/footprint", "board/height"),              // what height knows, with bodies
		"export/parts":         with("led", "led/part", "board", "board/fasten", "export", "export/table", "export/wires"),                  // whose wires it lists
		"export/wires":         with("led", "export/table"),
		"export/cost":          with("export/table"),
		"export/report":        with("panel", "panel/work", "led", "led/part", "board", "export", "export/paper", "export/table"),              // whose style its pages share
		"export/guide":         with("led", "led/expect", "led/part", "board", "export/paper", "export/scene", "export/table", "export/wires"), // pictures come as scenes
		"export/paper":         with("export/scene", "export/scene/svg", "export/scene/typeset", "export/table"),
		"export/result": with("panel", "panel/control", "panel/material", "panel/read", "led", "led/bright", "led/group", "led/light", "led/part", "led/stray", "board", "board/check", "board/copper", "board/fasten", "board/fill",
			"board/height", "board/place", "board/route", "export", "export/cost", "export/stencil"), // figures of merit of every stage; it calls none
		"export/compare":            {"export/result", "panel/geom"},
		"export/compare/overlay":    with("export", "export/compare", "export/paper", "export/readback", "export/result", "export/scene", "export/scene/typeset", "export/table"),
		"export/compare/pack":       with("export", "export/compare", "export/readback"), // packs that were read; never a writer
		"export/result/tables":      {"export/result", "export/table", "led/bright", "led/part", "panel", "panel/read"},
		"export/table":              {}, // a noun for whoever shows tables
		"export/bundle":             {"panel/work", "export/filename"},
		"export/filename":           {},                                                           // what the systems take
		"export/nest":               with(),                                                       // shapes on stock
		"export/nest/prove":         with("panel/dxf"),                                            // reads what is written, and knows nothing of how it came about
		"export/gang":               with("export"),                                               // artwork to artwork
		"export/exporttest/outside": {"export", "export/gerber", "export/excellon", "panel/geom"}, // tests only
		"export/exporttest":         {"panel/...", "led/...", "board/...", "export/..."},          // tests of all formats together

		"cmd/lampblack/internal/project": with("panel", "panel/control", "panel/dxf", "panel/frame", "panel/read", "panel/lettering", "panel/material", "led", "led/bright", "led/light", "led/part", "led/stray", "board", "board/footprint", "board/height",
			"export/cost", "export/filename", "export/nest", "export/parts", "export/scene", "export/sheet", "export/stencil"), // what its keys set
		"cmd/lampblack/internal/term":    {"panel/diag", "export/table"},
		"cmd/lampblack/internal/memo":    {"panel/diag", "panel/work"},
		"cmd/lampblack/internal/starter": {"panel/dxf", "export/bundle"},
		"cmd/lampblack/internal/flow": {"panel/...", "led/...", "board/...", "export/...", "cmd/lampblack/internal/memo", "cmd/lampblack/internal/project",
			"cmd/lampblack/internal/starter"}, // the last for tests: a small project that builds
		"cmd/lampblack/internal/desktest":    {},                                  // for tests
		"cmd/lampblack/internal/same":        {"cmd/lampblack/internal/desktest"}, // a test alone
		"cmd/lampblack/internal/scripts":     {},                                  // for tests
		"cmd/lampblack/internal/page":        {},
		"cmd/lampblack/internal/page/talk":   {}, // what page and engine say to each other
		"cmd/lampblack/internal/page/desk":   {"panel/...", "led/...", "board/...", "export/...", "examples", "cmd/lampblack/internal/flow", "cmd/lampblack/internal/project", "cmd/lampblack/internal/starter", "cmd/lampblack/internal/page/talk"},
		"cmd/lampblack/internal/page/folder": {"export/bundle", "export/filename", "cmd/lampblack/internal/flow", "cmd/lampblack/internal/project"}, // a project on disk
		"cmd/lampblack/internal/page/local":  {"cmd/lampblack/internal/page/talk"},                                                                  // the engine is whoever answers
		"cmd/lampblack/internal/page/whole":  {"cmd/lampblack/internal/page"},
		"cmd/lampblack/internal/page/wasm":   {"cmd/lampblack/internal/flow", "cmd/lampblack/internal/page/desk", "cmd/lampblack/internal/page/talk"},
		"cmd/lampblack/internal/page/bundle": {},
		"examples":                           {"export/bundle"}, // as files of a project
		"cmd/lampblack":                      {"panel/...", "led/...", "export/...", "cmd/lampblack/internal/..."},
		"cmd/gate":                           {}, // knows the go command, and nothing of ours
		"cmd/release":                        {}, // as cmd/gate
		"examples/...":                       {"panel/..."},
	}
}

const module = "lampblack"

// source is a parsed Go file of the module.
type source struct {
	path string // below the module's root, with slashes
	dir  string
	test bool
	file *ast.File
	set  *token.FileSet
}

// sources parses every Go file below the module's root.
func sources(t *testing.T) []source {
	t.Helper()
	root := filepath.Join("..", "..")
	_, err := os.Stat(filepath.Join(root, "go.mod"))
	require.NoError(t, err)
	var out []source
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if n := d.Name(); n == "testdata" || n == "node_modules" || strings.HasPrefix(n, ".") && len(n) > 2 {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(path, ".go") {
			return nil
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		out = append(out, source{rel, rel[:max(0, strings.LastIndexByte(rel, '/'))], strings.HasSuffix(rel, "_test.go"), f, set})
		return nil
	}))
	require.NotEmpty(t, out)
	return out
}

// covers reports whether one of the patterns allows the package.
func covers(patterns []string, pkg string) bool {
	for _, p := range patterns {
		if p == pkg {
			return true
		}
		if dir, ok := strings.CutSuffix(p, "/..."); ok && (pkg == dir || strings.HasPrefix(pkg, dir+"/")) {
			return true
		}
	}
	return false
}

func TestImportsPointOneWay(t *testing.T) {
	policy := allowed()
	for _, s := range sources(t) {
		patterns, ok := policy[s.dir]
		if !ok && strings.HasPrefix(s.dir, "examples/") {
			patterns, ok = policy["examples/..."], true
		}
		if !ok {
			t.Errorf("%s: package %s is in no policy; say in allowed what it may import", s.path, s.dir)
			continue
		}
		for _, imp := range s.file.Imports {
			path, err := strconv.Unquote(imp.Path.Value)
			require.NoError(t, err)
			if path == "C" || path == "unsafe" {
				t.Errorf("%s imports %s: everything must build without cgo", s.path, path)
			}
			pkg, ours := strings.CutPrefix(path, module+"/")
			if !ours {
				continue
			}
			if s.test && !strings.HasPrefix(pkg, "cmd/") || covers(patterns, pkg) || pkg == s.dir {
				continue
			}
			t.Errorf("%s imports %s, which the policy does not allow", s.path, pkg)
		}
	}
}

// A policy that would allow anything tests nothing: the edges that must never be.
func TestPolicyForbids(t *testing.T) {
	policy := allowed()
	for _, edge := range [][2]string{
		{"board/check", "board/route"}, {"board/check", "board/fill"}, {"board/route", "board/place"}, {"board/place", "board/route"},
		{"export/readback", "export/gerber"}, {"export/readback", "export/excellon"}, {"export/gerber", "export/excellon"},
		{"panel", "panel/dxf"}, {"panel", "panel/read"}, {"panel", "led"}, {"led", "led/solve"}, {"led/judge", "led/solve"},
		{"board/place", "led/solve"}, {"led", "board"}, {"board", "export"}, {"panel/geom", "panel"}, {"panel/dxf", "panel"},
	} {
		require.Contains(t, policy, edge[0])
		require.False(t, covers(policy[edge[0]], edge[1]), "%s must not import %s", edge[0], edge[1])
	}
	for pkg, patterns := range policy {
		if !strings.HasPrefix(pkg, "cmd/") {
			require.False(t, covers(patterns, "cmd/lampblack"), "%s must not import cmd", pkg)
		}
	}
}

// reached returns the packages of this module that are compiled into each: what it imports, and what that imports.
func reached(all []source) map[string]map[string]bool {
	edges := map[string][]string{}
	for _, s := range all {
		for _, imp := range s.file.Imports {
			if pkg, ours := strings.CutPrefix(strings.Trim(imp.Path.Value, `"`), module+"/"); ours && !s.test {
				edges[s.dir] = append(edges[s.dir], pkg)
			}
		}
	}
	out := map[string]map[string]bool{}
	for _, s := range all {
		if out[s.dir] != nil {
			continue
		}
		out[s.dir] = map[string]bool{}
		for todo := []string{s.dir}; len(todo) > 0; {
			pkg := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			for _, p := range edges[pkg] {
				if !out[s.dir][p] {
					out[s.dir][p] = true
					todo = append(todo, p)
				}
			}
		}
	}
	return out
}

// TestPanelsWithoutDrawings: whoever needs only a panel compiles no DXF.
func TestPanelsWithoutDrawings(t *testing.T) {
	for pkg, deps := range reached(sources(t)) {
		drawings := covers([]string{"panel/dxf", "panel/read", "panel/draft", "panel/paneltest/sketch", "export/picture", "export/scene/dxf", "export/sheet", "export/nest/prove", "export/result/...", "export/compare/...", "cmd/...", "examples/..."}, pkg) // these do read or write drawings
		if deps["panel/dxf"] && !drawings {
			t.Errorf("%s compiles panel/dxf in, which only what reads drawings needs", pkg)
		}
	}
	require.True(t, reached(sources(t))["panel/read"]["panel/dxf"], "the search finds nothing")
}

// Only main ends the process, nothing runs before main, and no package keeps state: the same input gives the same bytes.
func TestNoExitInitOrState(t *testing.T) {
	all := sources(t)
	for _, s := range all {
		if s.test {
			continue
		}
		for _, d := range s.file.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if d.Name.Name == "init" && d.Recv == nil {
					t.Errorf("%s: func init; pass settings as arguments", s.set.Position(d.Pos()))
				}
			case *ast.GenDecl:
				if d.Tok != token.VAR {
					continue
				}
				for _, spec := range d.Specs {
					v := spec.(*ast.ValueSpec)
					for _, n := range v.Names {
						if n.IsExported() && !strings.HasPrefix(n.Name, "Err") {
							t.Errorf("%s: package variable %s, which anyone could change; make it a function that returns the value", s.set.Position(n.Pos()), n.Name)
						}
						for _, w := range writes(all, s.dir, n.Name, v) {
							t.Errorf("%s: changes the package variable %s; pass it as an argument", w, n.Name)
						}
					}
				}
			}
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			x, ok := sel.X.(*ast.Ident)
			if ok && (x.Name == "os" && sel.Sel.Name == "Exit" || x.Name == "log" && strings.HasPrefix(sel.Sel.Name, "Fatal")) && !(s.file.Name.Name == "main" && filepath.Base(s.path) == "main.go") {
				t.Errorf("%s: only main may end the process", s.set.Position(n.Pos()))
			}
			return true
		})
	}
}

// What writes to the disk goes through export/bundle, which never loses a file of the user's. Programs for contributors make what is ours.
func TestOnlyBundleWrites(t *testing.T) {
	writers := []string{"Chmod", "Create", "CreateTemp", "CopyFS", "Link", "Mkdir", "MkdirAll", "MkdirTemp", "OpenFile", "OpenRoot", "Remove", "RemoveAll",
		"Rename", "Symlink", "Truncate", "WriteFile"}
	found := map[string]bool{}
	for _, s := range sources(t) {
		if s.test || strings.HasPrefix(s.dir, "examples/") || strings.HasPrefix(s.dir, "export/exporttest") || s.dir == "cmd/gate" || s.dir == "cmd/release" ||
			s.dir == "cmd/lampblack/internal/scripts" || s.dir == "cmd/lampblack/internal/page/bundle" || s.dir == "cmd/lampblack/internal/page/whole" {
			continue // the program has none of these
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if x, ok := sel.X.(*ast.Ident); ok && x.Name == "os" && slices.Contains(writers, sel.Sel.Name) {
				if found[s.dir] = true; s.dir != "export/bundle" {
					t.Errorf("%s: os.%s; write through export/bundle", s.set.Position(n.Pos()), sel.Sel.Name)
				}
			}
			return true
		})
	}
	require.True(t, found["export/bundle"], "the search finds nothing")
}

// writes returns the places where a package's own files change a variable that the spec declares: assign to it or to a
// part of it, count it up or down, or take its address. Tables that nothing changes are as good as constants.
func writes(all []source, dir, name string, spec *ast.ValueSpec) []token.Position {
	var out []token.Position
	for _, s := range all {
		if s.dir != dir || s.test {
			continue
		}
		check := func(x ast.Expr) {
			for {
				switch y := x.(type) {
				case *ast.IndexExpr:
					x = y.X
					continue
				case *ast.SelectorExpr:
					x = y.X
					continue
				case *ast.ParenExpr:
					x = y.X
					continue
				case *ast.StarExpr:
					x = y.X
					continue
				case *ast.SliceExpr:
					x = y.X
					continue
				}
				break
			}
			// In its own file the parser resolves the name to the spec, in others to nothing; a local of that name to itself.
			if id, ok := x.(*ast.Ident); ok && id.Name == name && (id.Obj == nil || id.Obj.Decl == any(spec)) {
				out = append(out, s.set.Position(id.Pos()))
			}
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.AssignStmt:
				for _, l := range n.Lhs {
					check(l)
				}
			case *ast.IncDecStmt:
				check(n.X)
			case *ast.RangeStmt:
				if n.Tok == token.ASSIGN {
					check(n.Key)
					check(n.Value)
				}
			case *ast.UnaryExpr:
				if n.Op == token.AND {
					check(n.X)
				}
			}
			return true
		})
	}
	return out
}

// The search for changes must find them, or the test above proves nothing.
func TestWritesFindsThem(t *testing.T) {
	const src = `package p
var a, b, c, d, e, f = []int{1}, 0, struct{ x int }{}, 0, 0, map[string]int{}
func g(p []int) {
	a[0] = 1
	b++
	c.x = 2
	_ = &d
	e := 3
	e = 4
	_ = e
	for _, v := range a { _ = v + f["x"] }
}`
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, "p.go", src, 0)
	require.NoError(t, err)
	spec := file.Decls[0].(*ast.GenDecl).Specs[0].(*ast.ValueSpec)
	all := []source{{"p/p.go", "p", false, file, set}}
	for name, want := range map[string]int{"a": 1, "b": 1, "c": 1, "d": 1, "e": 0, "f": 0} {
		require.Len(t, writes(all, "p", name, spec), want, name)
	}
}

// Only panel/work starts goroutines, as a panic in one of another's would end the program; the progress line's recovers itself, and so does
// whoever answers the page, for which a worker keeps a promise.
func TestGoroutinesAreWorks(t *testing.T) {
	for _, s := range sources(t) {
		if s.test || s.dir == "panel/work" || s.path == "cmd/lampblack/internal/term/progress.go" || s.path == "cmd/lampblack/internal/page/wasm/main.go" {
			continue
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.GoStmt:
				t.Errorf("%s: go statement; use panel/work", s.set.Position(n.Pos()))
			case *ast.SelectorExpr:
				if n.Sel.Name == "Go" || n.Sel.Name == "WaitGroup" {
					t.Errorf("%s: a goroutine of its own; use panel/work", s.set.Position(n.Pos()))
				}
			}
			return true
		})
	}
}
