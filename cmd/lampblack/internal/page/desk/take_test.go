package desk_test

import (
	"archive/zip"
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/page/desk"
	"lampblack/cmd/lampblack/internal/page/talk"
	"lampblack/cmd/lampblack/internal/project"
)

type zipped struct {
	name string
	data []byte
}

func zipOf(t *testing.T, files ...zipped) []byte {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range files {
		to, err := w.CreateHeader(&zip.FileHeader{Name: f.name, Method: zip.Deflate})
		require.NoError(t, err)
		_, err = to.Write(f.data)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

func (p *page) taken(paths ...string) desk.Told {
	var told desk.Told
	a := p.ask("take", desk.Taking{Paths: paths}, &told)
	p.take(a)
	for _, g := range told.Gone {
		delete(p.desk, g)
	}
	return told
}

func (p *page) project() (project.Project, []byte) {
	src := p.frames("fetch", desk.Fetch{IDs: []string{p.desk["lampblack.yaml"]}}).body
	got, l := project.Read(src, project.FileName)
	require.False(p.t, l.HasErrors(), l)
	return got, src
}

// A drawing alone begins a project, and another becomes a panel of it.
func TestTakeDrawings(t *testing.T) {
	p := newPage(t)
	p.lay("vent.dxf", vent())
	require.Equal(t, "1 drawing became a panel: vent", p.taken("vent.dxf").Words)
	got, _ := p.project()
	require.Len(t, got.Panels, 1)
	require.Equal(t, "vent.dxf", got.Panels[0].Drawing)
	require.Len(t, p.understood().Readings, 1)

	p.lay("more/fan desk.dxf", vent())
	p.lay("old/vent.dxf", vent())
	p.lay("letters.ttf", []byte("x"))
	require.Equal(t, "2 drawings became panels: fan-desk and vent-2", p.taken("more/fan desk.dxf", "old/vent.dxf", "letters.ttf").Words)
	got, _ = p.project()
	require.Len(t, got.Panels, 3)
	require.Equal(t, []string{"vent", "fan-desk", "vent-2"}, got.Chains[0].Boards)
	require.Empty(t, p.taken("vent.dxf").Words, "it is a panel already")
	require.Len(t, p.understood().Readings, 3)
}

// Of many drawings not all are named.
func TestTakeMany(t *testing.T) {
	p := newPage(t)
	var all []string
	for _, name := range []string{"a.dxf", "b.dxf", "c.dxf", "d.dxf", "e.dxf"} {
		p.lay(name, vent())
		all = append(all, name)
	}
	require.Equal(t, "5 drawings became panels: a, b, c and 2 more", p.taken(all...).Words)
}

// Into a project of the user's with its comments.
func TestTakeIntoExample(t *testing.T) {
	p := newPage(t).example("greenhouse")
	_, before := p.project()
	p.lay("vent.dxf", vent())
	p.taken("vent.dxf")
	got, after := p.project()
	require.Len(t, got.Panels, 6)
	require.Equal(t, "vent", got.Panels[5].Name)
	require.Equal(t, commented(before), commented(after))
}

func commented(src []byte) []string {
	var out []string
	for line := range bytes.Lines(src) {
		if _, c, ok := bytes.Cut(line, []byte("#")); ok {
			out = append(out, string(c))
		}
	}
	return out
}

func TestTakeZip(t *testing.T) {
	p := newPage(t)
	p.lay("desk.zip", zipOf(t, zipped{"desk/lampblack.yaml", []byte(yaml)}, zipped{"desk/vent.dxf", vent()}, zipped{"desk/out/vent/board.svg", []byte("x")}, zipped{"desk/.git/x", []byte("x")}))
	told := p.taken("desk.zip")
	require.Equal(t, "desk.zip was unpacked: 2 files", told.Words)
	require.Equal(t, []string{"desk.zip"}, told.Gone)
	require.Len(t, p.desk, 2)
	got, src := p.project()
	require.Equal(t, yaml, string(src))
	require.Len(t, got.Panels, 1)
	require.Len(t, p.understood().Readings[0].Things, 13)
	// A zip of drawings alone begins a project of them.
	p = newPage(t)
	p.lay("d.zip", zipOf(t, zipped{"a.dxf", vent()}, zipped{"b.dxf", vent()}))
	require.Equal(t, "d.zip was unpacked: 2 files; 2 drawings became panels: a and b", p.taken("d.zip").Words)
	// A folder that was dropped whole.
	p = newPage(t)
	p.lay("desk/lampblack.yaml", []byte(yaml))
	p.lay("desk/vent.dxf", vent())
	p.taken("desk/lampblack.yaml", "desk/vent.dxf")
	require.Len(t, p.desk, 2)
	require.Len(t, p.understood().Readings[0].Things, 13)
}

func TestTakeRefuses(t *testing.T) {
	bomb := zipOf(t, zipped{"a.dxf", make([]byte, 65<<20)})
	require.Less(t, len(bomb), 1<<20)
	for want, b := range map[string][]byte{
		"outside its folder":     zipOf(t, zipped{"a/../../x.dxf", nil}),
		"file outside":           zipOf(t, zipped{"/etc/x.dxf", nil}),
		`"C:\\x.dxf"`:            zipOf(t, zipped{`C:\x.dxf`, nil}),
		"more than 64 MB":        bomb,
		"cannot be unpacked":     []byte("PK\x03\x04 and nothing"),
		"there is one already":   zipOf(t, zipped{"lampblack.yaml", []byte(yaml)}),
		"holds another vent.dxf": zipOf(t, zipped{"vent.dxf", []byte("x")}),
	} {
		p := newPage(t)
		p.lay("lampblack.yaml", []byte(yaml))
		p.lay("vent.dxf", vent())
		p.lay("x.zip", b)
		require.Contains(t, p.frames("take", desk.Taking{Paths: []string{"x.zip"}}).Wrong, want)
	}
	require.Contains(t, newPage(t).frames("take", desk.Taking{Paths: []string{"no.dxf"}}).Wrong, "no no.dxf on the desk")
}

func TestEdit(t *testing.T) {
	p := newPage(t)
	p.lay("vent.dxf", vent())
	p.lay("lampblack.yaml", []byte("# ours\nconsole: bench\npanels:\n  - {name: vent, drawing: vent.dxf}   # the fan's\n"))
	a := p.ask("edit", map[string]any{"changes": []any{map[string]any{"words": "brighter", "at": "panels.vent.current", "set": "9 mA"}, map[string]any{"at": "panels.vent.place", "set": map[string]any{"count": 12}}}}, nil)
	require.JSONEq(t, `{"words":"brighter"}`, string(a.Gives))
	require.Equal(t, "# ours\nconsole: bench\npanels:\n  - {name: vent, drawing: vent.dxf, current: 9 mA, place: {count: 12}}   # the fan's\n", string(a.file(t, "lampblack.yaml")))
	p.take(a)
	a = p.ask("edit", map[string]any{"changes": []any{map[string]any{"at": "panels.vent.place", "remove": true}}}, nil)
	require.Contains(t, string(a.file(t, "lampblack.yaml")), "current: 9 mA}")
	require.Contains(t, p.frames("edit", map[string]any{"changes": []any{map[string]any{"at": "panels.vent.current", "set": "9 km"}}}).Wrong, "lampblack.yaml is left as it is: current of panel vent")
	require.Contains(t, p.frames("edit", map[string]any{"changes": []any{map[string]any{"at": "panels.vent.current"}}}).Wrong, "one of set, add, remove and rename")
}

// Each choice of a question is a change, which answers it; and a change that a finding names mends it.
func TestEditAnswersQuestions(t *testing.T) {
	p := newPage(t)
	p.lay("lampblack.yaml", []byte(yaml))
	all := []string{rect("0", 0, 0, 200, 100), circle("0", 5, 5, 3.2), circle("0", 195, 5, 3.2), circle("0", 195, 95, 3.2), circle("0", 5, 95, 3.2)}
	for i := range 6 {
		all = append(all, circle("0", 25+30*float64(i), 6, 3.2))
	}
	p.lay("vent.dxf", dxf(all...))
	asked := 0
	for _, f := range p.understood().Findings {
		if f.Question == nil {
			continue
		}
		asked++
		for _, c := range f.Question.Choices {
			require.NotEmpty(t, c.Changes, c.YAML)
			q := &page{t, p.engine, talk.Desk{"vent.dxf": p.desk["vent.dxf"], "lampblack.yaml": p.desk["lampblack.yaml"]}}
			q.take(q.ask("edit", desk.Editing{Changes: c.Changes}, nil))
			for _, g := range q.understood().Findings {
				require.NotEqual(t, f.ID, g.ID, "%s is still asked after %s", f.Text, c.YAML)
			}
		}
	}
	require.NotZero(t, asked)
}
