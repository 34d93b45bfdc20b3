package flow

import (
	"context"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/panel/diag"
	"lampblack/panel/work"
)

// stage is one step from drawings to files: what it takes is In, what it gives is Out, and do is a pure function of In. Its
// result holds for as long as In has the same content, so that In is to hold what the stage uses and nothing else: a figure
// that is rounded where it is printed is rounded on its way into In (take.go), and what only findings need, lines of files, is
// looked up last (shifted). What a result refers to is never written to.
type stage[In, Out any] struct {
	name string
	do   func(ctx context.Context, in In) Out
}

// run returns what the stage makes of in, for a panel or, where of is empty, the console. ok is false when there is no result:
// the stage failed, which fault tells, or the run was stopped.
func (st stage[In, Out]) run(s *session, of string, in In) (out memo.Kept[Out], fault *diag.Finding, ok bool) {
	var err error
	fault = guard(func() {
		out, err = memo.Do(s.ctx, s.engine.memory, st.name, of, in, func(ctx context.Context, in In) Out {
			if s.engine.fault != nil {
				s.engine.fault(st.name, of)
			}
			return st.do(ctx, in)
		})
	})
	return out, fault, fault == nil && err == nil
}

// says is a part of what most stages give: what there is to tell.
type says struct{ Findings diag.List }

func (t says) findings() diag.List { return t.Findings }

// way is a panel's, or a board's, way through its stages. It ends at the first that has an error.
type way struct {
	s       *session
	name    string // of the panel or the board
	found   diag.List
	stopped string // the stage that found an error
	again   bool   // a stretch of it is gone once more, which is no progress
}

// through takes a panel or a board through a stage, hands on what it gives, and reports whether the way goes on.
func through[In any, Out interface{ findings() diag.List }](w *way, st stage[In, Out], in In, given func(Out)) (out memo.Kept[Out], ok bool) {
	out, fault, ok := st.run(w.s, w.name, in)
	var l diag.List
	switch {
	case fault != nil:
		l = diag.List{*fault}
	case !ok:
		return out, false // stopped
	default:
		l = out.Value.findings()
		given(out.Value) // which may take back what a stage before it told
	}
	w.found = append(w.found, l...)
	if !w.again {
		w.s.step(w.name + ": " + st.name)
	}
	if l.HasErrors() {
		w.stopped = st.name
		return out, false
	}
	return out, true
}

// branch is a way that parts from another.
type branch struct {
	name  string
	along func(*way)
}

// parted runs branches of the way side by side. What is found counts in the order of the branches, up to the first that
// stopped: the way stops there too. Each branch writes to what is its own alone.
func (w *way) parted(branches ...branch) {
	ways := make([]way, len(branches))
	for i, b := range branches {
		ways[i] = way{s: w.s, name: b.name, again: w.again}
	}
	work.Each(w.s.ctx, len(branches), func(i int) { branches[i].along(&ways[i]) })
	for _, one := range ways {
		w.found = append(w.found, one.found...)
		if one.stopped != "" {
			w.stopped = one.stopped
			break
		}
	}
}
