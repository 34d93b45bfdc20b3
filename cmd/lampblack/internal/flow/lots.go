package flow

import (
	"context"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/led"
	"lampblack/led/chance"
	"lampblack/led/light"
	"lampblack/panel/work"
)

// What is drawn of a panel's LEDs, and by which seed.
const (
	lotDraws = 2000
	lotSeed  = 1
)

type sharesOut struct {
	says
	Shares []light.Share
}

// sharing finds what each LED gives each word, at the same current in all.
var sharing = stage[gaugeIn, sharesOut]{"shares", func(ctx context.Context, in gaugeIn) sharesOut {
	return sharesOut{Shares: light.Shares(ctx, in.Of.Panel, in.Of.areas(), in.Wiring, in.Stack)}
}}

// sharesIn is the panel with a milliampere in each LED.
func (s *session) sharesIn(w led.Wiring, whole engraved) gaugeIn {
	w = glowing(w)
	for k := range w.Strings {
		w.Strings[k].Nominal = gauged
	}
	return gaugeIn{Of: whole, Wiring: w, Stack: s.project.Stack}
}

// lotsIn is what each LED gives each word, and the LEDs.
type lotsIn struct {
	Shares memo.Kept[sharesOut]
	LEDs   []led.LED
}

type lotsOut struct {
	says
	Spread led.LotSpread
}

// lotting finds how even a panel's words come out with LEDs as they are sold.
var lotting = stage[lotsIn, lotsOut]{"lots", func(ctx context.Context, in lotsIn) lotsOut {
	var spread, least, most []float64
	for _, d := range in.LEDs {
		k := d.Kind.Completed()
		low, high := 1.0, 1.0
		if k.Candela > 0 {
			low, high = k.CandelaMin/k.Candela, k.CandelaMax/k.Candela
		}
		spread, least, most = append(spread, k.Lot), append(least, low), append(most, high)
	}
	var words [][]float64
	for _, s := range in.Shares.Value.Shares {
		words = append(words, s.By)
	}
	return lotsOut{Spread: chance.Lots(ctx, words, spread, least, most, lotSeed, lotDraws)}
}}

// lots draws the LEDs of all panels that were built.
func (s *session) lots(built []Built) []led.LotSpread {
	out := make([]led.LotSpread, len(built))
	work.Each(s.ctx, len(built), func(i int) {
		b := &built[i]
		if b.Unlit || b.Stopped != "" || b.Field.Mean <= 0 || len(b.Field.Colours) > 0 {
			return // words of several colours are not meant to be alike
		}
		if got, _, ok := lotting.run(s, b.Panel.Name, lotsIn{b.shares, b.Wiring().LEDs}); ok {
			out[i] = got.Value.Spread
		}
	})
	return out
}
