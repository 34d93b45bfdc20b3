package cost

import (
	"math/big"
	"slices"
	"strings"

	"lampblack/panel/diag"
)

// Break is a price that holds from a quantity on.
type Break struct {
	From  int
	Price *big.Rat
}

// Breaks are the prices of one thing by how much of it is bought, the least quantity first; none: nothing is told.
type Breaks []Break

// Bought is how much is bought for a quantity that is needed, at which price.
type Bought struct{ Quantity, Price *big.Rat }

// Cost is what it comes to.
func (b Bought) Cost() *big.Rat { return new(big.Rat).Mul(b.Quantity, b.Price) }

// Buy returns what costs least: what is needed at its own price, or more of it from where a break begins. Below the first break as much
// as that is bought.
func (b Breaks) Buy(needed *big.Rat) (least Bought, ok bool) {
	for _, at := range b {
		from := new(big.Rat).SetInt64(int64(at.From))
		one := Bought{needed, at.Price}
		if from.Cmp(needed) > 0 && at.From > 1 {
			one.Quantity = from
		}
		// Of breaks that the quantity reaches, the last holds.
		reached := from.Cmp(needed) <= 0
		if !ok || reached || one.Cost().Cmp(least.Cost()) < 0 {
			least, ok = one, true
		}
	}
	return least, ok
}

// Named is the price of a part by its name, or of a kind of sheet.
type Named struct {
	Name  string
	Price Breaks
	At    diag.Place // in the price list
}

// Prices are the user's own.
type Prices struct {
	File     string   // empty: there is none
	Currency string   // as it is to be written
	Decimals int      // of sums
	Labour   *big.Rat // of one hour; nil: not told
	Laser    *big.Rat // of one minute
	Parts    []Named
	Area     Breaks   // of one dm² of board, by how many of that board
	Order    *big.Rat // for each different board or array
	Sheets   []SheetPrice
}

// SheetPrice is what sheets of one kind cost.
type SheetPrice struct {
	Kind  string // as in the project's stock: "face", "led_sheet"
	Sheet Breaks // of one sheet of stock, by how many
	Area  Breaks // of one dm², by how many of them
}

// part returns the index of the price of what goes by these names, the closest last; -1: there is none.
func (p Prices) part(names []string) int {
	found := -1
	for _, n := range names {
		for i, q := range p.Parts {
			if strings.EqualFold(q.Name, n) {
				found = i
			}
		}
	}
	return found
}

func (p Prices) sheet(kind string) SheetPrice {
	for _, q := range p.Sheets {
		if q.Kind == kind {
			return q
		}
	}
	return SheetPrice{}
}

// Unknown returns the parts that the list names and nothing is bought by that name, and the names that there are.
func (p Prices) Unknown(c Counts) (unknown []Named, known []string) {
	for _, q := range c.Parts {
		known = append(known, q.Names...)
	}
	for _, n := range p.Parts {
		if !slices.ContainsFunc(known, func(s string) bool { return strings.EqualFold(s, n.Name) }) {
			unknown = append(unknown, n)
		}
	}
	return unknown, known
}
