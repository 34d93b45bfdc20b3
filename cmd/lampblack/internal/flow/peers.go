package flow

import (
	"context"
	"runtime"
	"slices"
	"sync/atomic"
	"time"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/led/bright"
	"lampblack/panel/work"
)

// Peers are other programs of the same kind that do errands, where a program has one core alone: workers of a page. Each is of
// use for one errand at a time. One that fails, or gives what is none, costs time and nothing else: then the work is done here.
type Peers struct {
	N  int
	Do func(ctx context.Context, peer int, errand []byte) ([]byte, error)
}

// With has the engine send errands to peers.
func (e *Engine) With(p Peers) *Engine {
	e.peers = p
	return e
}

// errand is a panel whose boards are to be made, and all that there is to know for it. What comes back are the results of its stages,
// by what they took (memo): the run that sent it goes its own way, and finds them there.
type errand struct {
	Project  project.Project
	Version  string
	Date     time.Time
	Later    bool
	Drawings []Drawing
	Request  led.Request
	Lettered facesIn
	Files    map[string]memo.Kept[fontOut]
	Owners   map[string]string
	Chosen   []bright.Lamps
	Fewer    map[string]int

	Built   Built
	Circuit led.Circuit
}

// errand returns that of a panel.
func (s *session) errand(b Built, c led.Circuit) ([]byte, error) {
	drawings := slices.Clone(s.drawings)
	for i := range drawings {
		drawings[i].Findings = nil // told already
	}
	return memo.Encoded(errand{s.project, s.set.Version, s.set.Date, s.set.Later, drawings, s.request, s.lettered, s.files, s.owners, s.chosen, s.fewer, b, c})
}

// Help does an errand. Its error is ctx's, or tells that it is none.
func Help(ctx context.Context, task []byte) ([]byte, error) {
	in, err := memo.Decoded[errand](task)
	if err != nil {
		return nil, err
	}
	e := NewEngine(UsualBound())
	s := &session{
		ctx: ctx, engine: e, project: in.Project, set: Settings{Version: in.Version, Date: in.Date, Pack: true, Later: in.Later}, drawings: in.Drawings, request: in.Request, lettered: in.Lettered,
		files: in.Files, owners: in.Owners, chosen: in.Chosen, fewer: in.Fewer,
	}
	if _, err := promptly(ctx, func() {
		out := Outcome{Built: []Built{in.Built}, Circuit: in.Circuit}
		b := &out.Built[0]
		s.guarded(b, func(w *way) { w.board(b, in.Circuit) }) // whatever is found is found again where it is told
		if b.Stopped == "" {
			// By currents that the boards' own copper has not moved yet; what hangs on those is written again where they are known.
			s.guarded(b, func(w *way) { w.write(b, in.Circuit) })
			s.ends(out.Built)
		}
	}); err != nil {
		return nil, err
	}
	return e.memory.Parcel(ctx)
}

// lent tells, of panels in an order, which are worth an errand: those none of whose boards has been begun. One alone is not, as a peer
// would do no more than is done here meanwhile.
func (s *session) lent(out *Outcome, order []int) []bool {
	lent, n := make([]bool, len(order)), 0
	if s.engine.peers.N == 0 {
		return lent
	}
	for k, i := range order {
		b := out.Built[i]
		if lent[k] = s.wanted(b) && !b.Unlit && !slices.ContainsFunc(b.Boards, s.begun); lent[k] {
			n++
		}
	}
	if n < 2 {
		clear(lent)
	}
	return lent
}

// begun reports whether the first stage of a board is held.
func (s *session) begun(m Made) bool {
	return memo.Holds[shapeIn, boardOut](s.engine.memory, shaping.name, s.shapeIn(footing(m.Part.Panel), wired(m.Wiring, s.project.Laminate.Copper)))
}

// side has f called for all panels in an order, and once more, on all cores and with all peers. What is lent to a peer has been computed
// there when f asks for it.
func (s *session) side(out *Outcome, order []int, f func(k int)) {
	cores, peers, lent := runtime.GOMAXPROCS(0), s.engine.peers, s.lent(out, order)
	if !slices.Contains(lent, true) {
		work.Each(s.ctx, len(order)+1, f)
		return
	}
	before, circuit := slices.Clone(out.Built), out.Circuit
	var next atomic.Int64
	work.Side(cores+peers.N, func(lane int) {
		for s.ctx.Err() == nil {
			k := int(next.Add(1)) - 1
			if k > len(order) {
				return
			}
			if peer := lane - cores; peer >= 0 && k < len(order) && lent[k] {
				s.send(peer, before[order[k]], circuit)
			}
			f(k)
		}
	})
}

// send has a peer do the errand of a panel.
func (s *session) send(peer int, b Built, c led.Circuit) {
	task, err := s.errand(b, c)
	if err != nil {
		return // what cannot be sent is done here
	}
	if done, err := s.engine.peers.Do(s.ctx, peer, task); err == nil {
		_ = s.engine.memory.Give(done) // bytes that are none are not taken, and it is done here
	}
}
