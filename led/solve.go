package led

import (
	"lampblack/led/part"
)

// corner is one set of extremes: -1 low, 0 nominal, 1 high.
type corner struct {
	volts     part.Volt
	tolerance int
	spread    int
}

// volts returns the voltage across each board of the chain in the corner.
func (d *design) volts(chain []int, c corner) ([]float64, error) {
	return operate(float64(c.volts), d.segments(chain, c))
}

func (d *design) segments(chain []int, c corner) []segment {
	out := make([]segment, len(chain))
	for i, b := range chain {
		board := d.boards[b]
		out[i].ohms = 2 * float64(d.req.feedTo(board.Settings).Ohms)
		for _, s := range board.strings {
			out[i].loads = append(out[i].loads, s.load(board.Tolerance, c.tolerance, c.spread))
		}
	}
	return out
}

// solve computes the operating point and the corners of every chain.
//
// The network is monotone: more supply, less resistance or less forward voltage anywhere raises the supply's current. The
// greatest current of the console is therefore that of one corner. A string's own greatest current is taken at the
// greatest voltage its board can have (greatest supply while all else draws least), its least at the least: bounds that no
// console of parts within their limits leaves.
func (d *design) solve(c *Circuit) error {
	supply := d.req.Supply
	for _, chain := range d.order {
		nominal, err := d.volts(chain, corner{supply.Nominal, 0, 0})
		if err != nil {
			return err
		}
		most, err := d.volts(chain, corner{supply.Max, -1, -1})
		if err != nil {
			return err
		}
		high, err := d.volts(chain, corner{supply.Max, 1, 1})
		if err != nil {
			return err
		}
		low, err := d.volts(chain, corner{supply.Min, -1, -1})
		if err != nil {
			return err
		}
		links := make([]Link, len(chain))
		var typical, worst part.Amp
		for i := len(chain) - 1; i >= 0; i-- {
			board := &d.boards[chain[i]]
			for k := range board.strings {
				s := &board.strings[k]
				s.nominal = current(s.load(board.Tolerance, 0, 0), nominal[i])
				s.max = current(s.load(board.Tolerance, -1, -1), high[i])
				s.min = current(s.load(board.Tolerance, 1, 1), low[i])
				typical += s.nominal
				worst += current(s.load(board.Tolerance, -1, -1), most[i])
			}
			links[i] = Link{
				Panel: board.Panel, Feed: d.req.feedTo(board.Settings),
				Segment: typical, SegmentWorst: worst, Volts: part.Volt(nominal[i]),
			}
			c.Boards[chain[i]].Through = worst
		}
		c.Chains = append(c.Chains, Chain{links})
		c.Source.Typical += typical
		c.Source.Worst += worst
	}
	c.Source.Verdict = verdict(c.Source)
	d.relativeLight(c)
	return nil
}

func current(l stringLoad, v float64) part.Amp {
	i, _ := l.at(v)
	return part.Amp(i)
}

// meanCurrent returns the mean current of the board's LEDs, 0 without any.
func (b boardPlan) meanCurrent() float64 {
	sum, n := 0.0, 0
	for _, s := range b.strings {
		sum += float64(float64(s.nominal) * float64(len(s.holes)))
		n += len(s.holes)
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// relativeLight sets each link's mean LED current relative to the greatest of the console.
func (d *design) relativeLight(c *Circuit) {
	brightest := 0.0
	for _, b := range d.boards {
		brightest = max(brightest, b.meanCurrent())
	}
	if brightest == 0 {
		return
	}
	for i, chain := range d.order {
		for j, b := range chain {
			c.Chains[i].Links[j].RelativeLight = d.boards[b].meanCurrent() / brightest
		}
	}
}

// okShare is the part of a supply's rating up to which a load is called good (common practice).
const okShare = 0.80

// verdict judges the supply by the worst load, not the typical one: it must not brown out in any corner.
func verdict(s Source) Verdict {
	switch load := s.Worst + s.Other; {
	case float64(load) > float64(s.Rated):
		return Over
	case float64(load) > okShare*float64(s.Rated):
		return Tight
	}
	return OK
}
