package nest

import (
	"math/bits"

	"lampblack/panel/work"
)

// rows is how many places of the lattice lie across a sheet: more fit parts closer and take longer.
const rows = 400

// mask is the steps on the lattice by which a form may not stand off another one, a bit each: the bit (x, y) of the row y-lowY is
// the step (x+lowX, y).
type mask struct {
	lowX, lowY int
	words      int // of a row
	bits       []uint64
}

// lattice is the places that forms may have, and which pairs of places are too near.
type lattice struct {
	in    *problem
	step  int64
	masks map[[2]int]*mask // of a form that lies and one to be laid
}

func newLattice(in *problem) *lattice {
	return &lattice{in: in, step: max(1, (in.high+rows-1)/rows), masks: map[[2]int]*mask{}}
}

// floorDiv and its like round toward minus infinity.
func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b != 0 && (a < 0) != (b < 0) {
		q--
	}
	return q
}

// between returns the steps by which form b may not stand off form a.
func (g *lattice) between(w *work.Watch, a, b int) *mask {
	key := [2]int{a, b}
	if m := g.masks[key]; m != nil {
		return m
	}
	fa, fb := g.in.forms[a], g.in.forms[b]
	gap := g.in.gap + fa.slack + fb.slack
	reach := gap * 2
	m := &mask{lowX: int(floorDiv(-fb.w-reach, g.step)), lowY: int(floorDiv(-fb.h-reach, g.step))}
	wide, high := int((fa.w+reach)/g.step)+1-m.lowX+1, int((fa.h+reach)/g.step)+1-m.lowY+1
	m.words = (wide + 63) / 64
	m.bits = make([]uint64, m.words*high)
	for _, q := range fb.pieces {
		over := sum(behind(q), octagon(gap))
		for _, p := range fa.pieces {
			w.Look()
			m.fill(sum(p, over), g.step)
		}
	}
	g.masks[key] = m
	return m
}

// fill marks the steps strictly within a convex ring.
func (m *mask) fill(c convex, step int64) {
	lo, hi := ring(c).box()
	low := floorDiv(lo.y, step) + 1
	rows := int(floorDiv(hi.y-1, step) - low + 1)
	if rows <= 0 {
		return
	}
	// The first and the last column within of each row: exact, by the edges that cross it.
	ends := make([][2]int64, rows)
	for i, p := range c {
		q := c[(i+1)%len(c)]
		d := q.minus(p)
		right := d.y > 0
		from, to := floorDiv(p.y-1, step)+1, floorDiv(q.y-1, step) // rows from p on, before q
		if !right {
			from, to = floorDiv(q.y, step)+1, floorDiv(p.y, step) // rows behind q, to p
		}
		for y := max(from, low); y <= min(to, low+int64(rows)-1) && d.y != 0; y++ {
			at := y * step
			if right {
				ends[y-low][1] = -floorDiv(-(p.x*d.y+(at-p.y)*d.x), d.y*step) - 1
			} else {
				ends[y-low][0] = floorDiv(p.x*-d.y+(p.y-at)*d.x, -d.y*step) + 1
			}
		}
	}
	for k, e := range ends {
		row := m.bits[(int(low)+k-m.lowY)*m.words:][:m.words]
		set(row, int(e[0])-m.lowX, int(e[1])-m.lowX)
	}
}

// set sets the bits from a to b.
func set(row []uint64, a, b int) {
	for a <= b {
		k := a / 64
		to := min(b, k*64+63)
		row[k] |= (^uint64(0) >> (63 - (to - k*64))) & (^uint64(0) << (a - k*64))
		a = to + 1
	}
}

// field is the places of a sheet where a form may not lie.
type field struct {
	nx, ny int // places
	words  int
	bits   []uint64
	knows  int // of what lies on the sheet, that much is in bits
}

func (g *lattice) field(f *form) *field {
	in := g.in
	nx, ny := floorDiv(in.wide-2*in.edge-f.w, g.step)+1, floorDiv(in.high-2*in.edge-f.h, g.step)+1
	if nx <= 0 || ny <= 0 {
		return &field{}
	}
	out := &field{nx: int(nx), ny: int(ny), words: int(nx+63) / 64}
	out.bits = make([]uint64, out.words*out.ny)
	return out
}

// bar marks the places that a mask forbids round a form that lies at (x, y).
func (f *field) bar(m *mask, x, y int) {
	if f.words == 0 {
		return
	}
	high := len(m.bits) / m.words
	shift := x + m.lowX // of the mask's first bit
	skip := shift >> 6  // words, rounded down
	off := uint(shift & 63)
	for r := max(0, y+m.lowY); r < min(f.ny, y+m.lowY+high); r++ {
		row := f.bits[r*f.words:][:f.words]
		src := m.bits[(r-y-m.lowY)*m.words:][:m.words]
		// The word i of the row gets the low bits of the mask's word i-skip, and the high ones of that before it.
		from, to := max(0, skip), min(f.words, skip+m.words+1)
		if from >= to {
			continue
		}
		before := uint64(0)
		if k := from - skip - 1; k >= 0 && k < m.words {
			before = src[k]
		}
		for i := from; i < to; i++ {
			now := uint64(0)
			if k := i - skip; k < m.words {
				now = src[k]
			}
			row[i] |= now<<off | before>>(64-off)
			before = now
		}
	}
}

// first returns the free place farthest to the left, and of these the lowest; x stays below most.
func (f *field) first(most int) (x, y int, ok bool) {
	most = min(most, f.nx)
	for r := range f.ny {
		row := f.bits[r*f.words:][:f.words]
		for k := 0; k*64 < most; k++ {
			if free := ^row[k]; free != 0 {
				if at := k*64 + bits.TrailingZeros64(free); at < most {
					x, y, ok, most = at, r, true, at
				}
				break
			}
		}
	}
	return x, y, ok
}
