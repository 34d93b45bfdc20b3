package desk_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/page/desk"
	"lampblack/cmd/lampblack/internal/page/talk"
	"lampblack/examples"
)

// page is what a page has: an engine to ask, and a desk.
type page struct {
	t      testing.TB
	engine *desk.Engine
	desk   talk.Desk
}

func newPage(t testing.TB) *page { return &page{t, desk.New("test"), talk.Desk{}} }

// lay puts a file onto the desk.
func (p *page) lay(path string, data []byte) {
	id := fmt.Sprintf("p%d-%s", len(p.desk), path)
	for p.heldID(id) {
		id += "+"
	}
	p.frames("have", nil, talk.Content{ID: id, Size: len(data)}, data)
	p.desk[path] = id
}

func (p *page) heldID(id string) bool {
	for _, has := range p.desk {
		if has == id {
			return true
		}
	}
	return false
}

// example lays the files of an example.
func (p *page) example(name string) *page {
	files, ok := examples.Named(name)
	require.True(p.t, ok)
	for _, f := range files {
		p.lay(f.Path, f.Data)
	}
	return p
}

// answer is the last frame of an answer, read.
type answer struct {
	Gives json.RawMessage
	Lacks []string
	Wrong string
	Files []talk.Content
	body  []byte
}

// file returns the contents of the file of that path.
func (a answer) file(t testing.TB, path string) []byte {
	body := a.body
	for _, f := range a.Files {
		if f.Path == path {
			return body[:f.Size]
		}
		body = body[f.Size:]
	}
	t.Fatalf("no file %s among %v", path, a.Files)
	return nil
}

// frames asks by frames of bytes, as they go over a wire.
func (p *page) frames(do string, with any, more ...any) answer {
	ask := talk.Ask{Do: do, Desk: p.desk}
	var body []byte
	for _, m := range more {
		switch m := m.(type) {
		case talk.Content:
			ask.Files = append(ask.Files, m)
		case []byte:
			body = append(body, m...)
		}
	}
	if with != nil {
		b, err := json.Marshal(with)
		require.NoError(p.t, err)
		ask.With = b
	}
	head, err := json.Marshal(ask)
	require.NoError(p.t, err)
	asked, err := talk.Next(bytes.NewReader(talk.Frame{Head: head, Body: body}.Bytes()))
	require.NoError(p.t, err)
	var out answer
	n := 0
	p.engine.Answer(p.t.Context(), asked, func(f talk.Frame) {
		n++
		out = answer{body: f.Body}
		require.NoError(p.t, json.Unmarshal(f.Head, &out))
	})
	require.NotZero(p.t, n, "no answer to %s", do)
	return out
}

// ask asks what is to be done, and reads what it gives.
func (p *page) ask(do string, with, gives any) answer {
	a := p.frames(do, with)
	require.Empty(p.t, a.Wrong, do)
	require.Empty(p.t, a.Lacks, do)
	if gives != nil {
		require.NoError(p.t, json.Unmarshal(a.Gives, gives))
	}
	return a
}

// take lays what an answer gave onto the desk.
func (p *page) take(a answer) {
	body := a.body
	for _, f := range a.Files {
		p.lay(f.Path, body[:f.Size])
		body = body[f.Size:]
	}
}

// dxf writes a drawing by lines of group code and value, closed by EOF.
func dxf(entities ...string) []byte {
	all := []string{"0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1015", "9", "$INSUNITS", "70", "4", "0", "ENDSEC", "0", "SECTION", "2", "ENTITIES"}
	all = append(append(all, entities...), "0", "ENDSEC", "0", "EOF", "")
	return []byte(strings.Join(all, "\n"))
}

func circle(layer string, x, y, d float64) string {
	return strings.Join([]string{"0", "CIRCLE", "8", layer, "10", fmt.Sprint(x), "20", fmt.Sprint(y), "40", fmt.Sprint(d / 2)}, "\n")
}

func rect(layer string, x0, y0, x1, y1 float64) string {
	s := []string{"0", "LWPOLYLINE", "8", layer, "90", "4", "70", "1"}
	for _, p := range [][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} {
		s = append(s, "10", fmt.Sprint(p[0]), "20", fmt.Sprint(p[1]))
	}
	return strings.Join(s, "\n")
}

func text(layer string, x, y, h float64, words string) string {
	return strings.Join([]string{"0", "TEXT", "8", layer, "10", fmt.Sprint(x), "20", fmt.Sprint(y), "40", fmt.Sprint(h), "1", words}, "\n")
}
