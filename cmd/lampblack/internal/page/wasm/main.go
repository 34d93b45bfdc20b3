//go:build js && wasm

// Command wasm is the engine for a worker of the page. It is told frames and answers with frames: lampblackAsk(id, bytes, say) is there
// once it runs, calls say with the bytes of each frame, and returns a promise that is kept when the answer is complete or left off.
// lampblackStop(id) leaves it off.
package main

import (
	"bytes"
	"context"
	"syscall/js"
	"time"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/page/desk"
	"lampblack/cmd/lampblack/internal/page/talk"
)

func main() {
	e := desk.New(flow.Version)
	stops := map[int]context.CancelFunc{}
	js.Global().Set("lampblackAsk", js.FuncOf(func(_ js.Value, args []js.Value) any {
		id, in, say := args[0].Int(), make([]byte, args[1].Get("length").Int()), args[2]
		js.CopyBytesToGo(in, args[1])
		ctx, stop := context.WithCancel(context.Background())
		stops[id] = stop
		return promised(func() {
			defer delete(stops, id)
			defer stop()
			f, err := talk.Next(bytes.NewReader(in))
			if err != nil {
				f = talk.Frame{Head: []byte("{}")} // an answer tells that it is none
			}
			e.Answer(&listening{Context: ctx, heard: time.Now()}, f, func(f talk.Frame) {
				out := f.Bytes()
				to := js.Global().Get("Uint8Array").New(len(out))
				js.CopyBytesToJS(to, out)
				say.Invoke(to)
			})
		})
	}))
	js.Global().Set("lampblackStop", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if stop := stops[args[0].Int()]; stop != nil {
			stop()
		}
		return nil
	}))
	js.Global().Get("lampblackReady").Invoke()
	select {}
}

// promised does f and returns a promise of its end.
func promised(f func()) js.Value {
	return js.Global().Get("Promise").New(js.FuncOf(func(_ js.Value, args []js.Value) any {
		kept := args[0]
		go func() {
			f()
			kept.Invoke()
		}()
		return nil
	}))
}

// listening is a context whose Err has the worker hear what it was told meanwhile. A program in a worker has one thread, and hears
// only while it waits; long work asks its context all the while (panel/work), so that this is where to wait for a moment.
type listening struct {
	context.Context
	looks uint32
	heard time.Time
}

// every is for how long the worker may be deaf.
const every = 50 * time.Millisecond

func (l *listening) Err() error {
	if l.looks++; l.looks%32 == 0 && time.Since(l.heard) > every {
		l.heard = time.Now()
		time.Sleep(time.Microsecond) // by which the worker's other tasks have their turn
		l.heard = time.Now()
	}
	return l.Context.Err()
}
