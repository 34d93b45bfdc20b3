package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/export/bundle"
	"lampblack/export/compare"
	"lampblack/export/compare/overlay"
	"lampblack/export/compare/pack"
	"lampblack/export/paper"
	"lampblack/export/readback"
	"lampblack/export/result"
	"lampblack/export/scene/pdf"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// meeting is two sides being set against each other, and the pictures of both.
type meeting struct {
	was, is side
	draw    bool
	name    string // of the board, of packs
	shown   []overlay.Shown
}

// boards draws both states of a board over each other.
func (m *meeting) boards(ctx context.Context, panel, board string, was, is readback.Pack, made compare.Difference) {
	if !m.draw {
		return
	}
	told := func(code string) bool {
		return slices.ContainsFunc(made.Changes, func(c compare.Change) bool { return c.Code == code })
	}
	work.Until(ctx, func(w *work.Watch) {
		if pairs := overlay.Boards(w, was, pack.Aligned(was, is), told); len(pairs) > 0 {
			m.shown = append(m.shown, overlay.Shown{Panel: panel, Board: board, Pairs: pairs})
		}
	})
}

// paper is words and pictures in the form that the file's name asks for.
func (m *meeting) paper(ctx context.Context, d compare.Difference, file string) (data []byte) {
	name, revision, date := m.name, "", ""
	if c := m.is.console; c != nil {
		name, revision, date = cmp.Or(m.name, c.Console), c.Revision, c.Date
	}
	work.Until(ctx, func(w *work.Watch) {
		p := overlay.Paper(w, d, m.shown, name, revision, date, version)
		if strings.EqualFold(filepath.Ext(file), ".pdf") {
			data = pdf.Encode(w, pdf.Document{Title: p.Described(), Version: version}, paper.Pages(w, p)...)
			return
		}
		data = paper.HTML(w, p)
	})
	return data
}

// set sets two sides against each other. Of a console and a pack, that board's pack is taken.
func (m *meeting) set(ctx context.Context) (d compare.Difference, err error) {
	was, is := m.was, m.is
	if was.console != nil && is.console != nil {
		return m.consoles(ctx), nil
	}
	name := ""
	for _, s := range [2]side{was, is} {
		if s.pack != nil && name == "" {
			name = s.pack.Name()
		}
	}
	both := [2]*side{&was, &is}
	for i, s := range both {
		if s.console == nil {
			continue
		}
		if name, err = s.boardFor(name, *both[1-i]); err != nil {
			return d, err
		}
		if err := s.alone(flow.PackFolder(ctx, s.packFiles(name))); err != nil {
			return d, failed("the pack of %s in %s cannot be compared: %w", name, s.name, err)
		}
	}
	name = cmp.Or(name, "board")
	d = pack.Boards(ctx, name, *was.pack, *is.pack)
	m.name = name
	m.boards(ctx, name, name, *was.pack, *is.pack, d)
	for _, s := range both {
		if s.partly != "" {
			d.Unknown = append(d.Unknown, fmt.Sprintf("what of %s could not be read: %s (lampblack inspect tells all)", s.name, s.partly))
			d.Doubt(name, name, "not all of both packs could be read")
		}
	}
	return compare.Sorted(d, name), nil
}

// consoles sets two consoles against each other: by their figures, then board by board by what their packs hold, then by what is bought.
func (m *meeting) consoles(ctx context.Context) compare.Difference {
	was, is := m.was, m.is
	d := compare.Consoles(*was.console, *is.console)
	var order []string
	for _, p := range append(slices.Clone(was.console.Panels), is.console.Panels...) {
		order = append(order, p.Name)
	}
	names := compare.Renamed(*was.console, *is.console)
	old := func(name string) string { return cmp.Or(names[name], name) }
	for _, p := range was.console.Panels {
		k := slices.IndexFunc(is.console.Panels, func(q result.Panel) bool { return old(q.Name) == p.Name })
		if k < 0 {
			continue
		}
		q := is.console.Panels[k]
		if m.draw {
			if pair := overlay.Panels(p, q, compare.Shift(p, q)); !pair.Same() {
				m.shown = append(m.shown, overlay.Shown{Panel: p.Name, Pairs: []overlay.Pair{pair}})
			}
		}
		for _, b := range p.Every() {
			if j := slices.IndexFunc(q.Every(), func(c result.PanelBoard) bool { return old(c.Name) == b.Name }); j >= 0 {
				m.packed(ctx, &d, p, b.Name, q.Every()[j].Name)
			}
		}
	}
	d.Loaded(*was.console, *is.console)
	list := string(result.PartsCSV)
	times := float64(max(is.console.Copies, 1)) / float64(max(was.console.Copies, 1))
	if changes, ok := compare.Parts(was.files[list], is.files[list], times); ok {
		d.Changes = append(d.Changes, changes...)
	} else {
		d.Unknown = append(d.Unknown, "what is bought, as one side has no readable "+list)
	}
	for _, s := range [2]side{was, is} {
		if s.unsealed {
			d.Unknown = append(d.Unknown, fmt.Sprintf("whether %s of %s was edited, as it has no seal: it is believed", result.ResultJSON, s.name))
		}
	}
	return compare.Sorted(d, order...)
}

// packed adds what the packs of one board tell, which has another name on the new side where its panel has.
func (m *meeting) packed(ctx context.Context, d *compare.Difference, panel result.Panel, board, now string) {
	a, b := m.was.packFiles(board), m.is.packFiles(now)
	switch {
	case len(a) > 0 && slices.EqualFunc(a, b, func(f, g bundle.File) bool { return bytes.Equal(f.Data, g.Data) }):
		return
	case len(a) == 0 || len(b) == 0:
		if len(a)+len(b) > 0 {
			d.Unknown = append(d.Unknown, fmt.Sprintf("copper, holes and print of board %s, as one side has no pack of it", board))
		}
		d.Doubt(panel.Name, board, "its pack cannot be compared, as not both sides have one")
		return
	}
	p, l := flow.PackFolder(ctx, a)
	q, k := flow.PackFolder(ctx, b)
	made := pack.Drawn(ctx, board, [2]float64{panel.BBox[0], panel.BBox[1]}, p, q)
	d.Packed(panel.Name, board, made)
	m.boards(ctx, panel.Name, board, p, q, made)
	if text := cmp.Or(unread(l), unread(k)); text != "" {
		d.Unknown = append(d.Unknown, fmt.Sprintf("what of board %s could not be read: %s", board, text))
		d.Doubt(panel.Name, board, "not all of its pack could be read")
	}
}

// boardFor returns which board of a console a pack is to be set against: the one that has its name, also as its file is called, or the
// only one; of a pack without a name the only one as large as it.
func (s side) boardFor(name string, of side) (string, error) {
	all := s.boards()
	base := strings.TrimSuffix(strings.TrimSuffix(filepath.Base(of.name), filepath.Ext(of.name)), "-fab")
	for _, n := range []string{name, base} {
		if slices.Contains(all, n) {
			return n, nil
		}
	}
	switch len(all) {
	case 0:
		return "", failed("%s cannot be compared with a pack: it has no board with one", s.name)
	case 1:
		return all[0], nil
	}
	tells := fmt.Sprintf("is a pack of board %q, and %s has no board of that name", name, s.name)
	if name == "" {
		if alike := s.large(of.pack.Artwork.Size); len(alike) == 1 {
			return alike[0], nil
		}
		tells = fmt.Sprintf("does not tell which board it is of, and by its size that of %s is not found", s.name)
	}
	return "", failed("%s %s, but %s: call its file or folder as that board is called", of.name, tells, strings.Join(all, ", "))
}

// large returns the boards of a console that are as large.
func (s side) large(size geom.Box) (out []string) {
	const hand = 100 * geom.Micrometre
	for _, p := range s.console.Panels {
		for _, b := range p.Every() {
			if b.Board != nil && math.Abs(b.Board.Width-size.W().MM()) <= hand.MM() && math.Abs(b.Board.Height-size.H().MM()) <= hand.MM() && slices.Contains(s.boards(), b.Name) {
				out = append(out, b.Name)
			}
		}
	}
	return out
}
