// Package desk is the engine behind the page: what can be asked of a project that lies on a desk, and the answers.
//
// In goes a frame of package talk, out come those of its answer. Asks are answered from the contents that the desk names alone: the
// same ask of the same desk has the same answer, whoever asked what before. Results are kept by content (flow.Engine), so that what
// did not change is not computed anew; contents are kept by id. Nothing here touches a disk or a network: a project on disk is reached
// through a Home.
//
// Each ask is a function in verbs, in a file named for what it is about, beside the types that it takes and gives.
package desk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/page/talk"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/panel/diag"
)

// Engine answers. It is safe for several goroutines.
type Engine struct {
	version string
	flow    *flow.Engine
	home    Home // nil where there is none

	mu       sync.Mutex
	contents map[string][]byte
	made     map[string]bool // ids of what the last build wrote
	dark     map[string]*flow.Dark
}

// New returns an engine that has nothing yet, of that version of Lampblack.
func New(version string) *Engine {
	return &Engine{version: version, flow: flow.NewEngine(flow.UsualBound()), contents: map[string][]byte{}, dark: map[string]*flow.Dark{}}
}

// With has the engine send what is heavy of its builds to peers.
func (e *Engine) With(p flow.Peers) *Engine {
	e.flow.With(p)
	return e
}

// verb answers one ask.
type verb func(*asked) (given, error)

// verbs are what can be asked, by Ask.Do.
func verbs() map[string]verb {
	return map[string]verb{
		"hello":      hello,
		"follow":     follow,
		"save":       save,
		"keep":       keep,
		"have":       have,
		"start":      start,
		"take":       take,
		"understand": understand,
		"edit":       edit,
		"offer":      offer,
		"supply":     supply,
		"build":      build,
		"unlit":      unlit,
		"light":      lit,
		"place":      placeLEDs,
		"leds":       moveLEDs,
		"board":      boardOf,
		"settings":   settings,
		"fetch":      fetch,
		"zip":        zipped,
		"scheme":     scheme,
	}
}

// given is the last frame of an answer: what it gives, and the files with it.
type given struct {
	gives   any
	files   []bundle.File
	passing [][]byte // pictures that are shown once: they have no ids and are not kept
}

// lacks is the error of an ask that needs contents which the engine has not.
type lacks []string

func (l lacks) Error() string { return "the engine lacks " + strings.Join(l, ", ") }

// Answer answers one frame. say is called once for each frame of the answer, the last one among them, unless ctx was done first. A
// fault of ours is told as an answer: the engine goes on.
func (e *Engine) Answer(ctx context.Context, f talk.Frame, say func(talk.Frame)) {
	ask, contents, err := f.Of()
	if err != nil {
		say(talk.Framed(talk.Answer{Wrong: err.Error()}))
		return
	}
	v, ok := verbs()[ask.Do]
	if !ok {
		say(talk.Framed(talk.Answer{Wrong: fmt.Sprintf("this program cannot %q: page and program are of different versions; load the page anew", ask.Do)}))
		return
	}
	ctx, end := Beating(ctx, func() { say(talk.Framed(talk.Answer{Beat: true})) })
	defer end()
	g, err := answered(v, &asked{ctx: ctx, engine: e, ask: ask, contents: contents, say: say})
	if ctx.Err() != nil {
		return
	}
	var missing lacks
	switch {
	case errors.As(err, &missing):
		say(talk.Framed(talk.Answer{Lacks: missing}))
	case err != nil:
		say(talk.Framed(talk.Answer{Wrong: err.Error()}))
	default:
		a, all := talk.Answer{Gives: g.gives}, [][]byte{}
		for _, f := range g.files {
			a.Files = append(a.Files, talk.Content{ID: e.keep(f.Data), Path: f.Path})
			all = append(all, f.Data)
		}
		for _, b := range g.passing {
			a.Files, all = append(a.Files, talk.Content{}), append(all, b)
		}
		say(talk.Framed(a, all...))
	}
}

// answered calls the verb; a panic in it is told in words for a builder.
func answered(v verb, a *asked) (g given, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("a fault of ours, not of the drawing: %v; please tell us what you did, and go on", p)
		}
	}()
	return v(a)
}

// keep has the engine know a content from now on, and returns its id.
func (e *Engine) keep(data []byte) string {
	sum := sha256.Sum256(data)
	id := hex.EncodeToString(sum[:])
	e.mu.Lock()
	defer e.mu.Unlock()
	e.contents[id] = data
	return id
}

// asked is an ask that is being answered.
type asked struct {
	ctx      context.Context
	engine   *Engine
	ask      talk.Ask
	contents [][]byte
	say      func(talk.Frame)
}

// with reads what the ask takes.
func (a *asked) with(v any) error {
	if len(a.ask.With) == 0 {
		return nil
	}
	if err := json.Unmarshal(a.ask.With, v); err != nil {
		return fmt.Errorf("what %q takes: %w", a.ask.Do, err)
	}
	return nil
}

// content returns the bytes of an id.
func (a *asked) content(id string) ([]byte, error) {
	a.engine.mu.Lock()
	defer a.engine.mu.Unlock()
	b, ok := a.engine.contents[id]
	if !ok {
		return nil, lacks{id}
	}
	return b, nil
}

// whole reports the contents of the desk that are lacking.
func (a *asked) whole() error {
	a.engine.mu.Lock()
	defer a.engine.mu.Unlock()
	var missing lacks
	for _, p := range slices.Sorted(maps.Keys(a.ask.Desk)) {
		if id := a.ask.Desk[p]; a.engine.contents[id] == nil && !slices.Contains(missing, id) {
			missing = append(missing, id)
		}
	}
	if len(missing) > 0 {
		return missing
	}
	return nil
}

// read returns a file of the desk, as flow.Settings.Read wants it.
func (a *asked) read(name string) ([]byte, error) {
	id, ok := a.ask.Desk[cleaned(name)]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return a.content(id)
}

// cleaned is a path as the desk has it.
func cleaned(name string) string { return path.Clean(strings.ReplaceAll(name, `\`, "/")) }

// list returns the names of files of the desk in a folder that end so, in any case.
func (a *asked) list(dir string, ends func(string) bool) []string {
	var out []string
	for _, p := range slices.Sorted(maps.Keys(a.ask.Desk)) {
		if path.Dir(p) == path.Clean(dir) && ends(strings.ToLower(p)) {
			out = append(out, path.Base(p))
		}
	}
	return out
}

// settings are those of a run over the desk.
func (a *asked) settings(told diag.List) flow.Settings {
	return flow.Settings{
		Version: a.engine.version, Told: told, Read: a.read,
		List: func(dir string) []string {
			return a.list(dir, func(name string) bool { return strings.HasSuffix(name, ".dxf") })
		},
		Fonts: func(dir string) []string { return a.list(dir, project.FontFile) },
		Step: func(done, total int, what string) {
			if a.ctx.Err() == nil {
				a.say(talk.Framed(talk.Answer{Step: &talk.Step{Done: done, Total: total, What: what}}))
			}
		},
	}
}

// project reads the desk's project file.
func (a *asked) project() (project.Project, diag.List, error) {
	if err := a.whole(); err != nil {
		return project.Project{}, nil, err
	}
	src, err := a.read(project.FileName)
	if errors.Is(err, fs.ErrNotExist) {
		return project.Project{}, nil, errors.New("there is no project yet: drop a drawing, or begin with the example")
	}
	if err != nil {
		return project.Project{}, nil, err
	}
	p, l := project.Read(src, project.FileName)
	return p, l, nil
}

// have takes the contents that come with it.
func have(a *asked) (given, error) {
	a.engine.mu.Lock()
	defer a.engine.mu.Unlock()
	for i, c := range a.ask.Files {
		if c.ID == "" {
			return given{}, errors.New("a content without an id")
		}
		a.engine.contents[c.ID] = append([]byte{}, a.contents[i]...) // never nil, and not the frame's
	}
	return given{gives: struct{}{}}, nil
}

func scheme(*asked) (given, error) {
	return given{gives: json.RawMessage(project.JSONSchema())}, nil
}
