// Package flow runs the stages for a whole console.
//
// In go a project and its drawings' files, out comes an Outcome: the result as result.json has it, every finding, and the
// bytes of every file to be written. Findings and the result speak the drawing's coordinates in mm. Each panel stops after
// its first stage with an error; the others go on, side by side on all cores, joined by index, so that the same input
// gives the same bytes whatever the number of cores. A panic inside a panel's work becomes an error finding of that panel.
// Only ReadFile touches the disk.
package flow

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/export/cost"
	"lampblack/export/result"
	"lampblack/led"
	"lampblack/led/bright"
	"lampblack/led/judge"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/work"
)

// Settings are what the call says beyond the project.
type Settings struct {
	Version string    // of Lampblack
	Date    time.Time // overrides the project's; zero leaves it
	Pack    bool      // write files, else only judge
	Only    string    // the panel whose board is built; empty: all
	Later   bool      // of the files leave out what is only looked at or read: pictures, solids, papers

	// Of Supply alone: how many LEDs to reckon panels with, and the consoles built by chance from Seed; 0: none.
	Counts   []Count
	Consoles int
	Seed     uint64

	Told diag.List // findings of the project file, to be told with the rest

	// Read returns a file's bytes; nil: ReadFile.
	Read func(path string) ([]byte, error)
	// List returns the names of the drawings in a folder, for advice; nil with a Read: unknown.
	List func(dir string) []string
	// Fonts returns the names of the font files in a folder; nil with a Read: there are none.
	Fonts func(dir string) []string
	// Step, if not nil, is told how many of the stages are done; it may be called from several goroutines, and a last time
	// shortly after a build that was stopped has returned.
	Step func(done, total int, what string)
}

// load returns a file's bytes.
func (set Settings) load(path string) ([]byte, error) {
	if set.Read != nil {
		return set.Read(path)
	}
	return ReadFile(path)
}

// Outcome is all that came of a console.
type Outcome struct {
	Result     result.Console
	Findings   diag.List
	Circuit    led.Circuit
	Spread     led.Spread     // of Supply, when it was asked for consoles
	Lamps      []bright.Lamps // how bright the lettering of each panel and colour is
	Built      []Built
	Orders     []Ordered       // arrays of several boards that were proven
	Nests      []Nested        // sheets on stock
	Files      []bundle.File   // below the output folder
	Costs      []cost.Estimate // of one console, and of all that are made where these are several
	Stuck      []bundle.File   // beside it: pictures of boards that were refused for open nets
	Packs      int             // panels that got a fabrication pack, or would get one
	Lost       int             // entries of the project that gave no panel
	Unreadable bool            // a file could not be read
	NoDrawing  bool            // a file could be read, but not as a drawing

	arrayed []arrayed    // the arrays, by the project's orders
	costed  *bundle.File // of Costs; nil: there is none
}

// Failed reports whether errors are why a folder of the output is not written: those of the panel that it is named for, or of
// a part of that, or of anything where it is not known what there would have been: a drawing that gave no panel, an order.
func (o Outcome) Failed(folder string) bool {
	failed := o.Lost > 0
	for _, b := range o.Built {
		if b.Stopped != "" {
			failed = failed || folder == b.Panel.Name || strings.HasPrefix(folder, b.Panel.Name+"-") || strings.HasPrefix(folder, result.OrderFolder(""))
		}
	}
	return failed
}

// Drawing is one entry of the project and what came of its file.
type Drawing struct {
	Entry    project.Panel
	Panels   []panel.Panel  // with one or more errors: none
	Parts    [][]shape.Part // of each of Panels, once they are parted: what its boards have
	Findings diag.List
	Missing  bool // the file could not be read
	Broken   bool // it could, but not as a drawing: no setting of the project would help
}

// Build runs everything: the drawings, the circuit, each panel's board, and the proof of what is written. Its error is ctx's:
// then there is no outcome.
func (e *Engine) Build(ctx context.Context, p project.Project, set Settings) (Outcome, error) {
	defer e.memory.Forget()
	fewer := map[string]int{}
	for try := 0; ; try++ {
		s := &session{ctx: ctx, engine: e, project: p, set: set, fewer: fewer}
		again := false
		out, err := s.outcome(func() Outcome {
			out := s.design()
			if out.Circuit.Boards != nil {
				s.boards(&out)
				if again = try < mostThinned && s.thin(out); again {
					return out
				}
				s.onBoards(&out)
			}
			s.tellFaces(&out)
			s.judge(&out)
			s.judgeBright(&out)
			s.edges(&out)
			s.finish(&out)
			return out
		})
		if err != nil || !again { // in this order: a build that is left still writes to again
			return out, err
		}
	}
}

// mostThinned bounds how often a board that came to nothing is tried again with fewer of the LEDs that were placed for it.
const mostThinned = 3

// Supply runs the drawings and the circuit alone. Its error is ctx's.
func (e *Engine) Supply(ctx context.Context, p project.Project, set Settings) (Outcome, error) {
	s := &session{ctx: ctx, engine: e, project: p, set: set, supplyOnly: true}
	return s.outcome(func() Outcome {
		out := s.design()
		s.judge(&out)
		s.judgeBright(&out)
		s.spread(&out)
		s.finish(&out)
		return out
	})
}

// outcome returns what run makes. A fault of ours outside all stages is told like one within.
func (s *session) outcome(run func() Outcome) (Outcome, error) {
	var out Outcome
	fault, err := promptly(s.ctx, func() { out = run() })
	if err != nil {
		return Outcome{}, err
	}
	if fault != nil {
		out = Refused(s.project, append(slices.Clone(s.set.Told), *fault), false, s.set.Version)
	}
	return out, nil
}

// promptly runs f, and returns a fault of ours in it. When nobody waits any more it returns ctx's error at once, however large the
// drawing: f is left, and ends where it looks next; what it writes to is then not to be looked at.
func promptly(ctx context.Context, f func()) (*diag.Finding, error) {
	var fault *diag.Finding
	if !work.Until(ctx, func(w *work.Watch) { work.Aside(w, func() { fault = guard(f) }) }) {
		return nil, ctx.Err()
	}
	return fault, nil
}

// Refused is the outcome of a project that cannot be used at all.
func Refused(p project.Project, l diag.List, unreadable bool, version string) Outcome {
	out := Outcome{Findings: l.Sorted().Grouped(), Unreadable: unreadable}
	s := &session{project: p, set: Settings{Version: version}}
	s.result(&out)
	return out
}

// session is one run over a console.
type session struct {
	ctx        context.Context
	engine     *Engine
	project    project.Project
	set        Settings
	supplyOnly bool
	drawings   []Drawing
	request    led.Request // once the drawings are read
	lettered   facesIn     // what the lettering is in
	files      map[string]memo.Kept[fontOut]
	near       []string // font files beside the project, once they are listed
	listed     bool
	owners     map[string]string // of the boards of panels with several: the panel
	stopping   diag.List         // what of the currents stopped a board
	chosen     []bright.Lamps    // with the currents that the levels ask for
	fewer      map[string]int    // of panels whose LEDs were placed: how many, once a board with more came to nothing
	done       atomic.Int64
	total      int
}

// step tells progress.
func (s *session) step(what string) {
	n := s.done.Add(1)
	if s.set.Step != nil {
		s.set.Step(int(n), s.total, what)
	}
}

// design reads the drawings and designs the circuit of all good panels.
func (s *session) design() Outcome {
	p := s.project
	s.total = len(p.Panels) + 1
	if !s.supplyOnly {
		s.total += len(p.Panels) * s.perBoard()
		if s.set.Only == "" {
			s.total += len(s.stocks()) * nestSteps
		}
	}
	s.drawings = make([]Drawing, len(p.Panels))
	work.Each(s.ctx, len(p.Panels), func(i int) {
		s.drawings[i] = s.read(i)
		s.step("reading " + p.Panels[i].Drawing)
	})
	out := Outcome{Findings: slices.Clone(s.set.Told)}
	var good []panel.Panel
	for _, d := range s.drawings {
		out.Findings = append(out.Findings, d.Findings...)
		out.Unreadable = out.Unreadable || d.Missing
		out.NoDrawing = out.NoDrawing || d.Broken
		good = append(good, d.Panels...)
	}
	out.Findings = append(out.Findings, s.sameNames(good)...)
	var fonts diag.List
	s.fonts(good, &fonts)
	out.Findings = append(out.Findings, s.shifted(fonts, nil)...)
	good = s.seated(good, &out.Findings)
	if out.Findings.HasErrors() {
		good = without(good, out.Findings)
		for i := range s.drawings {
			s.drawings[i].Panels = without(s.drawings[i].Panels, out.Findings)
		}
	}
	for _, d := range s.drawings {
		if len(d.Panels) == 0 {
			out.Lost++
		}
	}
	good = s.counted(good)
	out.Findings = append(out.Findings, s.sat(good)...)
	var sound bool
	out.Built, sound = s.parted(good, &out.Findings)
	out.Findings = append(out.Findings, s.tellPlaceholders(good)...)
	var foot []panel.Panel
	for _, b := range out.Built {
		for _, m := range b.Boards {
			q := footing(m.Part.Panel)
			q.Lettering, q.Symbols = b.Panel.Lettering, b.Panel.Symbols // whose words strings share
			foot = append(foot, q)
		}
	}
	if len(good) == 0 || !sound {
		out.Built = nil
		return out
	}
	var l diag.List
	if left := s.leftOut(); len(left) > 0 {
		f := l.Add(diag.Warning, "supply-incomplete", "currents and the supply's verdict leave out %s", strings.Join(left, ", ")).
			Fix("mend the errors told of it, then judge the supply")
		for _, name := range left {
			f.Subject.Keys = append(f.Subject.Keys, diag.PanelKey(name, "drawing"))
		}
		out.Findings = append(out.Findings, s.shifted(l, nil)...)
		l = nil
	}
	s.request = Request(p, s.drawings)
	s.frames(&out)
	s.brighten(&out)
	if len(foot) == 0 { // no panel is lit
		out.Circuit.Boards = []led.Wiring{}
		return out
	}
	designed, fault, _ := designing.run(s, "", circuitIn{foot, s.request, s.project.Kinds})
	if fault != nil {
		l = diag.List{*fault}
	}
	out.Circuit, l = designed.Value.Circuit, append(l, designed.Value.Findings...)
	out.Findings = joined(out.Findings, s.shifted(l, good))
	out.Findings = append(out.Findings, s.shifted(judge.Spacing(p.Supply.Volts.Max, p.Rules.Clearance), nil)...)
	s.step("circuit")
	if len(out.Circuit.Boards) != len(foot) {
		out.Circuit.Boards = nil
		return out
	}
	// Currents are judged at the end, when the boards' own copper is known; here only who needs no board.
	stops := append(slices.Clone(l), s.judged(out)...)
	for i, m := range out.made() {
		m.Wiring = out.Circuit.Boards[i]
		out.Findings = append(out.Findings, s.shifted(designed.Value.Fits[i], good)...)
	}
	for i := range out.Built {
		b := &out.Built[i]
		for k, f := range stops {
			// An error of the whole console stops every board; one of a board, those of its panel.
			own := f.Panel == "" || f.Panel == b.Panel.Name || slices.ContainsFunc(b.Boards, func(m Made) bool { return m.Name() == f.Panel })
			if f.Severity == diag.Error && !f.Spares && own {
				b.Stopped = "circuit"
				if k >= len(l) {
					s.stopping = append(s.stopping, f)
				}
			}
		}
	}
	return out
}

// shifted gives findings of the panels' frames the drawing's coordinates and name.
func (s *session) shifted(l diag.List, panels []panel.Panel) diag.List {
	var out diag.List
	for _, f := range l {
		f = s.ofPanel(f)
		if len(f.Subject.Keys) > 0 && s.project.File != "" && f.Place.At == nil && f.Place.File == "" {
			f.Place = s.project.Where(f.Subject.Keys, s.entry)
			if len(f.Related) == 0 {
				out = append(out, f)
				continue
			}
		}
		one := diag.List{f}
		for _, q := range panels {
			if q.Name == f.Panel {
				one = one.Shifted(q.Origin.X, q.Origin.Y)
				if one[0].Place.File == "" {
					one[0].Place.File, one[0].Place.Line = s.fileOf(q), lineOf(q, f.Place)
				}
				for j := range one[0].Related {
					if one[0].Related[j].Place.At != nil && one[0].Related[j].Place.File == "" {
						one[0].Related[j].Place.File, one[0].Related[j].Place.Line = s.fileOf(q), lineOf(q, f.Related[j].Place)
					}
				}
				break
			}
		}
		if f.Panel == "" && f.Place.File == "" && f.Place.At == nil {
			one[0].Place = s.project.Place("")
		}
		out = append(out, one...)
	}
	return out
}

// entry returns the index of the project's entry that gives the named panel.
func (s *session) entry(name string) (int, bool) {
	i := slices.IndexFunc(s.drawings, func(d Drawing) bool {
		return d.Entry.Name == name || slices.ContainsFunc(d.Panels, func(q panel.Panel) bool { return q.Name == name || q.Name == s.owners[name] })
	})
	return i, i >= 0
}

// joined joins what an earlier stage and a later one tell. What both tell stays as the later one says it, where the earlier one
// saw it.
func joined(earlier, later diag.List) diag.List {
	for i, c := range later {
		if c.Instead == "" {
			continue
		}
		earlier = slices.DeleteFunc(earlier, func(d diag.Finding) bool {
			same := d.Code == c.Instead && d.Panel == c.Panel
			if same {
				later[i].Place = d.Place
			}
			return same
		})
	}
	return append(earlier, later...)
}

// boards builds the board of every panel that is still good.
func (s *session) boards(out *Outcome) {
	lists := make([]diag.List, len(out.Built))
	// The largest boards first, so that no core is left with one at the end; results keep their index.
	order := make([]int, len(out.Built))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(len(out.Built[b].Panel.LEDs), len(out.Built[a].Panel.LEDs))
	})
	before := slices.Clone(out.Built)
	for i := range before {
		before[i].Boards = slices.Clone(before[i].Boards)
	}
	s.side(out, order, func(k int) {
		if k == len(order) {
			s.ahead(before, out.Circuit)
		} else if i := order[k]; s.wanted(out.Built[i]) {
			b := &out.Built[i]
			lists[i] = s.guarded(b, func(w *way) { w.board(b, out.Circuit) })
		}
	})
	// A board that found no room for its tracks may have its strings the other way round now.
	out.Circuit.Boards = slices.Clone(out.Circuit.Boards)
	for i, m := range out.made() {
		out.Circuit.Boards[i] = m.Wiring
	}
	s.stretch(out)
	s.settle(out)
	work.Each(s.ctx, len(order), func(k int) {
		if i := order[k]; s.wanted(out.Built[i]) {
			b := &out.Built[i]
			lists[i] = joined(lists[i], s.guarded(b, func(w *way) { w.write(b, out.Circuit) }))
		}
	})
	for i, l := range lists {
		l = l.WithPanel(out.Built[i].Panel.Name)
		out.Findings = append(out.Findings, s.shifted(l, []panel.Panel{out.Built[i].Panel})...)
		if s.wanted(out.Built[i]) {
			out.Packs++
		}
	}
}

// onBoards does what hangs on the boards alone, side by side: each of these has stretches for one core.
func (s *session) onBoards(out *Outcome) {
	var nests []Nested
	var nested, ended diag.List
	var spreads []led.LotSpread
	var ends [][2]light.Figures
	all := []func(){func() { ends, ended = s.ends(out.Built) }, func() { spreads = s.lots(out.Built) }}
	if s.set.Only == "" {
		all = append([]func(){func() { nests, nested = s.nests(out.Built) }, func() { s.orders(out) }}, all...)
	}
	if s.abreast(all...); s.ctx.Err() != nil {
		return
	}
	out.Nests, out.Findings = nests, slices.Concat(out.Findings, nested, ended)
	for i := range out.Built {
		out.Built[i].Lots, out.Built[i].Ends = spreads[i], ends[i]
	}
}

// abreast calls functions side by side, the first of them first. Each writes to what is its own alone.
func (s *session) abreast(all ...func()) { work.Each(s.ctx, len(all), func(i int) { all[i]() }) }

// guarded takes a panel along a way, and returns what was found on it.
func (s *session) guarded(b *Built, along func(*way)) diag.List {
	w := &way{s: s, name: b.Panel.Name}
	if f := guard(func() { along(w) }); f != nil {
		w.stopped = "between its stages"
		w.found = append(w.found, *f)
	}
	b.Stopped = w.stopped
	return w.found
}

// wanted reports whether a panel's board is to be built and still can be.
func (s *session) wanted(b Built) bool {
	return b.Stopped == "" && (s.set.Only == "" || strings.EqualFold(b.Panel.Name, s.set.Only))
}

// finish sorts, groups and marks the findings and makes the result and the files of the whole console.
func (s *session) finish(out *Outcome) {
	if out.Packs > 0 {
		s.judgeOwn(out)
		s.costs(out)
	}
	out.Findings = out.Findings.Sorted().Grouped()
	var fault *diag.Finding
	ok := true
	if s.set.Pack && out.Packs > 0 {
		fault, ok = s.mark(out)
	}
	for _, m := range out.made() {
		out.Stuck = append(out.Stuck, m.stuck...)
	}
	s.result(out)
	if s.set.Pack && out.Packs > 0 {
		if ok {
			fault, ok = s.consoleFiles(out)
		}
		if fault != nil {
			out.Findings = append(diag.List{*fault}, out.Findings...)
		}
		if !ok {
			out.Packs, out.Files = 0, nil
		}
	}
}

// leftOut names the entries that gave no panel to the circuit.
func (s *session) leftOut() []string {
	var names []string
	for _, d := range s.drawings {
		if len(d.Panels) == 0 {
			names = append(names, d.Entry.Name)
		}
	}
	return names
}

// without returns the panels that no error names.
func without(panels []panel.Panel, l diag.List) []panel.Panel {
	var out []panel.Panel
	for _, q := range panels {
		bad := false
		for _, f := range l {
			bad = bad || f.Severity == diag.Error && f.Panel == q.Name
		}
		if !bad {
			out = append(out, q)
		}
	}
	return out
}

// guard runs f and turns a panic, which is a fault of ours, into a finding, so that the other panels are still built.
func guard(f func()) (found *diag.Finding) {
	defer func() {
		if e := recover(); e != nil {
			var l diag.List
			found = l.Add(diag.Error, "internal-fault", "lampblack itself failed here: %v", e).
				Fix("this is a fault of the program, not of the drawing: please report it with the drawing and the project file. Until it is mended, try a simpler shape at the places that other findings name")
		}
	}()
	f()
	return nil
}

// maxFile bounds a drawing, so that a wrong file cannot eat the machine's memory.
const maxFile = 512 << 20

// ReadFile reads a regular file of at most maxFile bytes.
func ReadFile(path string) ([]byte, error) {
	st, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	switch {
	case st.IsDir():
		return nil, fmt.Errorf("%s is a folder", path)
	case !st.Mode().IsRegular():
		return nil, fmt.Errorf("%s is no regular file", path)
	case st.Size() > maxFile:
		return nil, fmt.Errorf("%s is larger than %d MB", path, maxFile>>20)
	}
	return os.ReadFile(path)
}
