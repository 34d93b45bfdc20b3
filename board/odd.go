package board

import (
	"fmt"
	"strings"
)

// OddMark stands on the silkscreen and on the assembly sheet behind the name of an LED that stands another way round than most.
const OddMark = "!"

// OddHint is the line of the silkscreen that says what the mark means.
const OddHint = OddMark + " = LED turned otherwise"

// fewOdd bounds which share of the LEDs may be odd: of more, marks would say nothing any more.
const fewOdd = 3

// Odd returns the LEDs, as indices of Parts, that stand another way round than most do; mixed, and no LED, where those would be
// more than a third of them.
func (b Board) Odd() (odd []int, mixed bool) {
	count := map[int]int{} // looked up only
	all, usual := 0, 0
	for _, p := range b.Parts {
		if p.Kind == LED {
			all++
			count[p.Turn]++
		}
	}
	best := 0
	for _, turn := range Turns() {
		if count[turn] > best {
			best, usual = count[turn], turn
		}
	}
	if all-best > all/fewOdd {
		return nil, true
	}
	for i, p := range b.Parts {
		if p.Kind == LED && p.Turn != usual {
			odd = append(odd, i)
		}
	}
	return odd, false
}

// OddRefs returns the names of the LEDs of Odd.
func (b Board) OddRefs() []string {
	var out []string
	odd, _ := b.Odd()
	for _, i := range odd {
		out = append(out, b.Parts[i].Ref)
	}
	return out
}

// TurnsTold says in a sentence how the LEDs stand to each other; nothing of fewer than two.
func (b Board) TurnsTold() string {
	n := 0
	for _, p := range b.Parts {
		if p.Kind == LED {
			n++
		}
	}
	refs := b.OddRefs()
	_, mixed := b.Odd()
	switch {
	case n < 2:
		return ""
	case mixed:
		return "LEDs stand different ways round: go by the plus at each."
	case len(refs) == 0:
		return "All LEDs stand the same way round."
	case len(refs) == 1:
		return fmt.Sprintf("%s stands another way round than the other LEDs, and has a %s behind its name.", refs[0], OddMark)
	}
	return fmt.Sprintf("%s stand another way round than the other LEDs, and have a %s behind their names.", strings.Join(refs, ", "), OddMark)
}
