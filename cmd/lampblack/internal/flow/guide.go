package flow

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/board/height"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export/guide"
	"lampblack/export/paper"
	"lampblack/export/parts"
	"lampblack/export/picture"
	"lampblack/export/result"
	"lampblack/export/scene/pdf"
	"lampblack/led"
	"lampblack/led/bright"
	"lampblack/led/expect"
	"lampblack/led/part"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// guideIn is the console as its guide tells of it: figures and pictures are made in the stage.
type guideIn struct {
	Page    guide.Console // without boards and steps
	Circuit led.Circuit
	Boards  []guideBoard
	Date    time.Time
}

type guideBoard struct {
	Board  memo.Kept[boardOut]
	Panel  string
	Wiring led.Wiring
	Height heightIn
	Idle   []string
	// What lies between the LED sheet and the board.
	Plated, Sheeted bool
}

// guiding writes the guide for whoever solders.
var guiding = stage[guideIn, filesOut]{"guide", func(ctx context.Context, in guideIn) (out filesOut) {
	work.Until(ctx, func(w *work.Watch) {
		c := in.Page
		c.Steps, c.Harness = expect.Chain(unlit(in.Circuit, c.Lost)), picture.Harness(c.Cuts, 195*geom.Millimetre)
		for _, b := range in.Boards {
			w.Look()
			c.Boards = append(c.Boards, b.told(w, in.Circuit))
		}
		p := guide.Paper(c)
		out.add("", result.GuideHTML, paper.HTML(w, p))
		out.add("", result.GuidePDF, pdf.Encode(w, pdf.Document{Title: p.Described(), Version: c.Version, Date: in.Date}, paper.Pages(w, p)...))
	})
	return out
}}

// told is a board with its pictures and figures.
func (b guideBoard) told(w *work.Watch, c led.Circuit) guide.Board {
	in := b.Height.of(b.Board.Value.Board)
	made := in.Boards[0] // with heights as told
	out := guide.Board{Board: made, Panel: b.Panel, Room: in.Room(made), Sunk: in.Stack.Sunk, Idle: b.Idle, Plated: b.Plated, Sheeted: b.Sheeted,
		Top: picture.Soldering(w, made, geom.Top), Bottom: picture.Soldering(w, made, geom.Bottom)}
	if out.Expect, out.Known = expect.OnBench(c, b.Wiring.Panel); out.Known {
		at := probed(out.Expect)
		out.Behind, out.Before = picture.Probing(w, made, geom.Bottom, at), picture.Probing(w, made, geom.Top, at)
	}
	kinds := map[string]part.LED{} // looked up only
	for _, d := range b.Wiring.LEDs {
		kinds[d.Ref] = d.Kind
	}
	of := map[string]int{} // looked up only
	for _, q := range made.Parts {
		k, ok := kinds[q.Ref]
		if q.Kind != board.LED || !ok {
			continue
		}
		if i, ok := of[k.Name]; ok {
			out.Lamps[i].Count++
			continue
		}
		of[k.Name] = len(out.Lamps)
		out.Lamps = append(out.Lamps, lampOf(w, in, made, q, k))
	}
	return out
}

// probed is what a meter shows on the bench, as the tables have it: LEDs of a string are alike.
func probed(e expect.Board) (all []picture.Strung) {
	tenth := func(v float64) part.Volt { return part.Volt(math.Round(v*10) / 10) }
	for _, s := range e.Strings {
		one := picture.Strung{Resistor: s.Resistor, Amps: part.Amp(s.Amps.Usual), Supply: tenth(e.In.Usual), Group: s.Group}
		for k, ref := range s.LEDs {
			one.LEDs = append(one.LEDs, picture.Tapped{Ref: ref, Anode: tenth(float64(len(s.LEDs)-k) * s.Lit.Usual)})
		}
		all = append(all, one)
	}
	return all
}

// unlit is the circuit with boards that light nothing: whoever puts it together does not have them yet.
func unlit(c led.Circuit, lost []string) led.Circuit {
	c.Boards = slices.Clone(c.Boards)
	for i, w := range c.Boards {
		if slices.Contains(lost, w.Panel) {
			c.Boards[i].Strings = nil
		}
	}
	return c
}

func lampOf(w *work.Watch, in height.In, b board.Board, q board.Part, k part.LED) guide.Lamp {
	fp, _ := footprint.Lookup(q.Footprint)
	above := in.Lift(b, q)
	return guide.Lamp{Kind: k, Count: 1, Leads: q.Pads[0].Through, Above: above, Test: expect.DiodeTest(k),
		Picture: picture.Polarity(w, picture.Lamp{Part: q, Lens: fp.Side.Lens, Above: above})}
}

// guide gathers the guide from what was built, board by board in the order of the feed.
func (s *session) guide(out *Outcome) guideIn {
	r, beside := out.Result, s.toBuy(out)
	in := guideIn{Circuit: out.Circuit, Date: s.date(), Page: guide.Console{
		Name: orElse(r.Console, "Console"), Revision: r.Revision, Date: r.Date, Version: r.Lampblack, Dimmers: bright.Frequency,
		Buy: bought(beside.list(parts.Hardware(out.mounts(), s.project.Copies), s.items(out)...), "designators"), Copies: s.project.Copies,
		Cuts: beside.Cuts, Idle: idle(out.Circuit, beside.Cuts),
		Supply: needed(s.project.Supply.Volts, out.Circuit.Source), Dims: dims(out),
	}}
	for _, c := range out.Circuit.Chains {
		if c.From == "" {
			in.Page.Feeds++
			if c.BothEnds {
				in.Page.Feeds++
			}
		}
		fuse := ""
		if c.From == "" && c.Guard.Fuse > 0 {
			fuse = c.Guard.Fuse.String()
		}
		in.Page.Fuses = append(in.Page.Fuses, fuse)
	}
	for _, o := range out.Circuit.Source.Others {
		in.Page.Others = append(in.Page.Others, o.Name)
	}
	made := map[string]guideBoard{} // looked up only
	for _, b := range out.Built {
		switch {
		case b.Unlit:
			in.Page.Unlit = append(in.Page.Unlit, b.Panel.Name)
		case !b.written():
			in.Page.Unbuilt = append(in.Page.Unbuilt, b.Panel.Name)
		default:
			for _, m := range b.Boards {
				made[m.Name()] = guideBoard{Board: m.proven, Panel: b.Panel.Name, Wiring: m.Wiring, Idle: parts.Idle(m.Wiring, beside.Cuts), Height: s.heightIn(b.Panel.Name),
					Plated: s.project.Plate > 0, Sheeted: s.mounting(b.Panel.Name).Spacer > 0}
			}
		}
	}
	for _, c := range out.Circuit.Chains {
		for _, k := range c.Links {
			if b, ok := made[k.Panel]; ok {
				in.Boards = append(in.Boards, b)
			} else {
				in.Page.Lost = append(in.Page.Lost, k.Panel)
			}
		}
	}
	return in
}

// needed says which supply a console wants: its volts, what all ask for together, and what the project's own is rated.
func needed(volts part.Window, s led.Source) string {
	out := volts.String()
	if s.Demand > 0 {
		out += fmt.Sprintf(", for at most %s of all that hangs on it", s.Demand.Rounded())
	}
	if s.Rated > 0 {
		out += fmt.Sprintf("; the project's is rated %s", s.Rated)
	}
	return out
}

// rooted returns for each board the chain at the supply that it hangs on at last, from 1 on.
func rooted(chains []led.Chain) map[string]int {
	of := map[string]int{}
	for range chains { // each turn knows what hangs on the chains of the one before
		for i, c := range chains {
			n := i + 1
			if c.From != "" {
				n = of[c.From]
			}
			for _, k := range c.Links {
				of[k.Panel] = n
			}
		}
	}
	return of
}

// dims are the groups with what their dimmers carry, all boards together.
func dims(out *Outcome) (all []guide.Dim) {
	at := map[string]int{} // looked up only
	roots := rooted(out.Circuit.Chains)
	for _, w := range out.Circuit.Boards {
		for i, s := range w.Strings {
			g := w.Conductors()[w.FedBy(led.StringID(i))]
			k, ok := at[g.Name]
			if !ok {
				k = len(all)
				at[g.Name] = k
				all = append(all, guide.Dim{Group: g.Name, Plus: g.Sign(), Duty: g.Duty})
			}
			d := &all[k]
			if n := roots[w.Panel]; n > 0 && !slices.Contains(d.Chains, n) {
				d.Chains = append(d.Chains, n)
				slices.Sort(d.Chains)
			}
			d.Amps.Least += float64(s.Min)
			d.Amps.Usual += float64(s.Nominal)
			d.Amps.Most += float64(s.Max)
			d.Mean += part.Amp(float64(s.Nominal) * g.Duty)
		}
	}
	if b := out.Result.Bright; b != nil {
		for _, m := range b.Dimmers {
			if k, ok := at[m.Group]; ok {
				all[k].Full = bright.Percent(m.Full)
				if m.Night > 0 {
					all[k].Step = bright.Percent(m.Night)
				}
			}
		}
	}
	return all
}
