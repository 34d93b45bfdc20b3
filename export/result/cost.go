package result

import (
	"math/big"

	"lampblack/export/cost"
)

// Cost is the work and the material of one console, and of all that are made, and what they cost.
type Cost struct {
	Currency string   `json:"currency,omitempty" doc:"of the price list, as it is written there"`
	Of       []CostOf `json:"of" doc:"one console, and all that are made where these are several"`
}

// CostOf is the same of so many consoles. Money is decimal text, as sums are rounded once and prices are exact.
type CostOf struct {
	Consoles int        `json:"consoles" doc:"how many" schema:"min=1"`
	Hands    float64    `json:"hand_minutes" doc:"work by hand" schema:"min=0"`
	Laser    float64    `json:"laser_minutes" doc:"of the laser" schema:"min=0"`
	Total    string     `json:"total,omitempty" doc:"what all costs that has a price; absent where nothing has" schema:"pattern=^[0-9]+([.][0-9]+)?$"`
	Each     string     `json:"each,omitempty" doc:"the same for each of several consoles" schema:"pattern=^[0-9]+([.][0-9]+)?$"`
	Missing  []string   `json:"missing,omitempty" doc:"what has no price, and is left out of the sums"`
	Lines    []CostLine `json:"lines" doc:"what is counted"`
}

// CostLine is one thing that is counted.
type CostLine struct {
	Kind     string   `json:"kind" doc:"what it is about"`
	What     string   `json:"what" doc:"in words"`
	Quantity float64  `json:"quantity" doc:"how much of it" schema:"min=0"`
	Unit     string   `json:"unit,omitempty" doc:"of the quantity; absent for pieces"`
	Minutes  *float64 `json:"minutes,omitempty" doc:"that it takes; absent where it takes no time of its own" schema:"min=0"`
	Price    string   `json:"price,omitempty" doc:"by the price list or the project; absent: none is told" schema:"pattern=^[0-9]+([.][0-9]+)?$"`
	Per      string   `json:"price_of_one,omitempty" doc:"what the price is of"`
	Cost     string   `json:"cost,omitempty" doc:"absent where there is no price" schema:"pattern=^[0-9]+([.][0-9]+)?$"`
	Bought   float64  `json:"bought,omitempty" doc:"what is bought where that is more than the quantity, as it costs less or is the least that is sold; of acrylic that is sold by area, in dm²" schema:"min=0"`
}

// CostsOf tells estimates; nil where there are none.
func CostsOf(all []cost.Estimate) *Cost {
	if len(all) == 0 {
		return nil
	}
	c := &Cost{Currency: all[0].Currency}
	minutes := func(seconds *big.Rat) float64 { return rational(new(big.Rat).Quo(seconds, big.NewRat(60, 1)), 2) }
	for _, e := range all {
		sum := e.Of()
		of := CostOf{Consoles: e.Consoles, Hands: minutes(e.Of(cost.Labour).Seconds), Laser: minutes(e.Of(cost.Laser).Seconds), Missing: e.Missing(), Lines: []CostLine{}}
		if sum.Priced > 0 {
			of.Total = e.Written(sum.Cost)
			if e.Consoles > 1 {
				of.Each = e.Written(sum.Each(e.Consoles))
			}
		}
		for _, l := range e.Lines {
			one := CostLine{Kind: l.Kind.String(), What: l.What, Quantity: rational(l.Quantity, 3), Unit: l.Unit}
			if l.Seconds != nil {
				m := minutes(l.Seconds)
				one.Minutes = &m
			}
			if l.Cost != nil {
				one.Price, one.Per, one.Cost = cost.Exactly(l.Price), l.Per, e.Written(l.Cost)
			}
			if l.Bought != nil {
				one.Bought = rational(l.Bought, 3)
			}
			of.Lines = append(of.Lines, one)
		}
		c.Of = append(c.Of, of)
	}
	return c
}

// rational is a fraction with at most n decimals.
func rational(v *big.Rat, n int) float64 {
	f, _ := v.Float64()
	return num(f, n)
}
