package flow

import (
	"slices"

	"lampblack/board"
	"lampblack/export/parts"
	"lampblack/export/table"
	"lampblack/export/wires"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// connectors returns where the connectors of the boards stand in the console, as far as the project tells where their panels do. What
// stands behind several boards of one panel is not known.
func (s *session) connectors(out *Outcome) map[wires.Pin]geom.Pt {
	all := map[wires.Pin]geom.Pt{} // looked up only
	for _, q := range s.spots(out) {
		b := out.Built[q.built]
		if !q.set || !b.alone() {
			continue
		}
		m := b.Boards[0]
		for _, p := range m.Board.Parts {
			if p.Kind == board.Connector {
				all[wires.Pin{Board: m.Name(), Role: p.Role}] = q.at.Add(geom.Vec{X: p.At.X, Y: p.At.Y})
			}
		}
	}
	return all
}

// stretch gives feeds whose length the project does not tell that of the way between their connectors, where both are known, and
// tells of those that it makes too short.
func (s *session) stretch(out *Outcome) {
	at := s.connectors(out)
	var l diag.List
	for i := range out.Circuit.Chains {
		chain := &out.Circuit.Chains[i]
		last := wires.Pin{Board: chain.From, Role: led.Out}
		for k := range chain.Links {
			link := &chain.Links[k]
			a, known := at[last]
			b, also := at[wires.Pin{Board: link.Panel, Role: led.In}]
			last = wires.Pin{Board: link.Panel, Role: led.Out}
			if !known || !also {
				continue
			}
			keys := []string{diag.PanelKey(link.Panel, "feed_length"), "defaults.feed_length"}
			way := wires.Span(a, b)
			if _, told := s.project.Written(keys, s.entry); !told {
				link.Feed = stretched(link.Feed, wires.Length(way))
			} else if link.Feed.Length < way {
				l.Add(diag.Warning, "wires-short", "the feed that leads to %s is %v long, and the way between its connectors %v, along X and Y", link.Panel, link.Feed.Length, way).
					About(keys...).Fix("write feed_length: %v, which is the way with usual slack, or leave it out", wires.Length(way)).
					By("make it "+wires.Length(way).String(), diag.Set, keys[0], wires.Length(way).String())
			}
		}
	}
	out.Findings = append(out.Findings, s.shifted(l, nil)...)
}

// stretched is a feed of another length.
func stretched(f led.Feed, length geom.Nm) led.Feed {
	if f.Length > 0 {
		f.Ohms = f.Contacts + part.Ohm(float64(f.Ohms-f.Contacts)*(float64(length)/float64(f.Length)))
		f.Length = length
	}
	return f
}

// nowhere knows no place of a connector.
func nowhere(wires.Pin) (geom.Pt, bool) { return geom.Pt{}, false }

// cuts are the console's wires.
func (s *session) cuts(out *Outcome) []wires.Cut {
	at := s.connectors(out)
	return wires.Cuts(out.Circuit, func(p wires.Pin) (geom.Pt, bool) { q, ok := at[p]; return q, ok })
}

// idle names the connectors of a circuit that no wire leads to, as the list of wires would.
func idle(c led.Circuit, cuts []wires.Cut) (all []string) {
	for _, w := range c.Boards {
		refs := parts.Idle(w, cuts)
		for _, k := range w.Connectors {
			if slices.Contains(refs, k.Ref) {
				all = append(all, wires.At(w.Panel, k))
			}
		}
	}
	return all
}

// toBuy is what the list of the whole console's parts is made of, beside the boards.
type toBuy struct {
	Fuses  []parts.Fuse
	Cuts   []wires.Cut
	Sheets []parts.Sheet
	Copies int
	Own    []parts.Own
}

func (s *session) toBuy(out *Outcome) toBuy {
	return toBuy{parts.Fuses(out.Circuit), s.cuts(out), s.acrylic(out, s.project.Copies), s.project.Copies, s.project.Own}
}

// list is the parts of the whole console.
func (b toBuy) list(hardware table.Table, items ...parts.Item) table.Table {
	return parts.WithOwn(parts.Parts(items...).With(hardware).With(parts.Supplies(b.Fuses, b.Cuts, b.Sheets, b.Copies)), b.Own)
}

// judgeOwn tells what the project says of parts that the console has not.
func (s *session) judgeOwn(out *Outcome) {
	if len(s.project.Own) == 0 || s.set.Only != "" {
		return
	}
	list := s.toBuy(out).list(parts.Hardware(out.mounts(), s.project.Copies), s.items(out)...)
	out.Findings = append(out.Findings, s.shifted(parts.JudgeOwn(list, s.project.Own), nil)...)
}
