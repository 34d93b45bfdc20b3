package flow

import (
	"context"

	"lampblack/led"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/work"
)

// endsIn is a panel with its lettering and its LEDs, and the stack as thin and as thick as its sheets may come out.
type endsIn struct {
	Of          engraved
	Wiring      led.Wiring
	Thin, Thick light.Stack
	Sets        []light.Set // of its LEDs, where there are several
}

type endsOut struct {
	says
	Thin, Thick light.Figures
}

// ending computes the light for sheets as thin and as thick as they may come out.
var ending = stage[endsIn, endsOut]{"ends", func(ctx context.Context, in endsIn) endsOut {
	of := func(s light.Stack) light.Figures {
		f := light.Evaluate(ctx, in.Of.Panel, in.Of.areas(), in.Wiring, s)
		if len(in.Sets) > 0 {
			f = light.BySet(ctx, in.Of.Panel, in.Of.areas(), f, s, in.Sets)
		}
		_, own := f.Alone()
		return own.Figures
	}
	return endsOut{Thin: of(in.Thin), Thick: of(in.Thick)}
}}

// ends computes the light of all panels that were built for sheets as they may come out, and tells where it is wanting. What is known
// needs no range.
func (s *session) ends(built []Built) (ends [][2]light.Figures, l diag.List) {
	ends = make([][2]light.Figures, len(built))
	t := s.project.Thick
	if t.LED.Known() && t.Diffuser.Known() {
		return ends, nil
	}
	found := make([]diag.List, len(built))
	work.Each(s.ctx, len(built), func(i int) {
		b := &built[i]
		if b.Unlit || b.Stopped != "" || b.Field.Mean <= 0 || !s.wanted(*b) {
			return
		}
		whole, _, ok := s.engraved(b.Panel)
		if !ok {
			return
		}
		st := s.project.Stack
		in := endsIn{whole, glowing(b.Wiring()), st.WithThickness(t.Diffuser.Least, t.LED.Least), st.WithThickness(t.Diffuser.Most, t.LED.Most), s.setsOf(b.Panel.Name)}
		if got, fault, ok := ending.run(s, b.Panel.Name, in); ok {
			ends[i] = [2]light.Figures{got.Value.Thin, got.Value.Thick}
			found[i] = s.judgeEnds(b, ends[i])
		} else if fault != nil {
			found[i] = diag.List{*fault}
		}
	})
	for i, f := range found {
		l = append(l, s.shifted(f, []panel.Panel{built[i].Panel})...)
	}
	return ends, l
}

// judgeEnds tells where the evenness that LEDs were placed for is lost when the sheets come out thin or thick.
func (s *session) judgeEnds(b *Built, ends [2]light.Figures) diag.List {
	want := s.place(b.Panel).Even
	var l diag.List
	// What falls short with sheets as they are called is told as such; by less than a hundredth nobody sees it.
	if _, own := b.Field.Alone(); want == 0 || own.MinToMean < want {
		return l
	}
	for i, f := range ends {
		if f.MinToMean >= want-0.01 {
			continue
		}
		t, how, as := s.project.Thick, "thin", s.project.Thick.LED.Least
		if i == 1 {
			how, as = "thick", t.LED.Most
		}
		l.Add(diag.Warning, "light-thickness", "where the sheets come out %s, as an LED sheet of %v, the darkest lettering has %.0f %% of the average light, and %.0f %% are wanted", how, as, 100*f.MinToMean, 100*want).
			Of(b.Panel.Name).About(diag.PanelKey(b.Panel.Name, "place"), "stack.measured", "stack").
			Fix("measure the sheets before you order the board, and write stack: {measured: {diffuser: 2.9 mm, led_sheet: 2.8 mm}}; or make the gap larger")
		return l
	}
	return l
}
