package flow

import (
	"context"

	"lampblack/led"
	"lampblack/led/chance"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel/work"
)

// What is drawn of a panel's LEDs, and by which seed.
const (
	lotDraws = 2000
	lotSeed  = 1
)

type lotsOut struct {
	says
	Spread led.LotSpread
}

// lotting finds how even a panel's words come out with LEDs as they are sold.
var lotting = stage[gaugeIn, lotsOut]{"lots", func(ctx context.Context, in gaugeIn) lotsOut {
	var spread, least, most []float64
	for _, d := range in.Wiring.LEDs {
		k := d.Kind.Completed()
		low, high := 1.0, 1.0
		if k.Candela > 0 {
			low, high = k.CandelaMin/k.Candela, k.CandelaMax/k.Candela
		}
		spread, least, most = append(spread, k.Lot), append(least, low), append(most, high)
	}
	shares := light.Shares(ctx, in.Of.Panel, in.Of.areas(), in.Wiring, in.Stack)
	return lotsOut{Spread: chance.Lots(ctx, shares, spread, least, most, lotSeed, lotDraws)}
}}

// lots draws the LEDs of all panels that were built.
func (s *session) lots(out *Outcome) {
	work.Each(s.ctx, len(out.Built), func(i int) {
		b := &out.Built[i]
		if b.Unlit || b.Stopped != "" || b.Field.Mean <= 0 || len(b.Field.Colours) > 0 {
			return // words of several colours are not meant to be alike
		}
		whole, _, ok := s.engraved(b.Panel)
		if !ok {
			return
		}
		w := glowing(b.Wiring())
		for k := range w.Strings {
			w.Strings[k].Nominal = part.MilliAmp // ratios alone
		}
		if got, _, ok := lotting.run(s, b.Panel.Name, gaugeIn{whole, w, s.project.Stack}); ok {
			b.Lots = got.Value.Spread
		}
	})
}
