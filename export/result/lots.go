package result

import (
	"lampblack/led"
	"lampblack/led/part"
)

// Lots is how dark the darkest word of a panel comes out, relative to the mean of its words, with LEDs as they are sold.
type Lots struct {
	Seed    uint64      `json:"seed" doc:"of the draws" schema:"min=0"`
	Draws   int         `json:"draws" doc:"how often its LEDs were drawn by chance" schema:"min=1"`
	Typical float64     `json:"typical" doc:"darkest word over mean with LEDs that are all alike" schema:"min=0"`
	OneLot  Percentiles `json:"one_lot" doc:"the same with LEDs of one lot"`
	Mixed   Percentiles `json:"mixed_lots" doc:"the same with each LED of a lot of its own"`
}

// LotsOf tells of them; nil where nothing was drawn.
func LotsOf(s led.LotSpread) *Lots {
	if s.Draws == 0 || s.Words < 2 {
		return nil
	}
	of := func(p led.Percentiles) Percentiles { return Percentiles{num(p.P5, 4), num(p.P50, 4), num(p.P95, 4)} }
	return &Lots{Seed: s.Seed, Draws: s.Draws, Typical: num(s.Typical, 4), OneLot: of(s.OneLot), Mixed: of(s.Mixed)}
}

// Spares is how many LEDs to buy beyond those of the panel, of each board and kind.
func (p Panel) Spares() int {
	spares := 0
	for _, b := range p.Every() {
		kinds := map[string]int{}
		for _, s := range b.Strings {
			kinds[s.Kind] += len(s.LEDs)
		}
		for _, n := range kinds {
			spares += led.Spares(n)
		}
	}
	return spares
}

// AnotherLot is the resistors for LEDs of a lot of another brightness.
type AnotherLot struct {
	Panel  string    `json:"panel" doc:"the board"`
	Kind   string    `json:"kind" doc:"of LED"`
	LEDs   int       `json:"leds" doc:"in the string" schema:"min=1"`
	Ohms   float64   `json:"ohms" doc:"of its resistor as built" schema:"min=0"`
	Ratios []float64 `json:"ratios" doc:"how many times as bright the other lot is"`
	For    []float64 `json:"for" doc:"the resistor for each; 0: such LEDs would no longer look alike, or not stand it"`
}

// LotRatios are those that resistors are told for: steps of the series R5 of ISO 3.
func LotRatios() []float64 { return []float64{0.5, 0.63, 0.8, 1.25, 1.6, 2} }

// AnotherLotOf tells of one.
func AnotherLotOf(panel, kind string, leds int, ohms part.Ohm, others []part.Ohm) AnotherLot {
	a := AnotherLot{Panel: panel, Kind: kind, LEDs: leds, Ohms: num(float64(ohms), 6), Ratios: LotRatios()}
	for _, o := range others {
		a.For = append(a.For, num(float64(o), 6))
	}
	return a
}
