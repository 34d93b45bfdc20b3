//go:build js && wasm

// Command wasm is the engine for a worker of the page. It is told frames and answers with frames: lampblackAsk(id, bytes, say) is there
// once it runs, calls say with the bytes of each frame, and returns a promise that is kept when the answer is complete or left off.
// lampblackStop(id) leaves it off. lampblackHelp(id, bytes, say) is a peer's: it does an errand (flow.Help) of the program of another worker, and
// says no bytes each second while it does.
// Of those, lampblackPeers says how many there are; lampblackHand(peer, bytes) returns a promise of what one makes of an errand, null for
// nothing, and lampblackLeave(peer) has it stop.
package main

import (
	"bytes"
	"context"
	"errors"
	"syscall/js"
	"time"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/page/desk"
	"lampblack/cmd/lampblack/internal/page/talk"
)

func main() {
	e := desk.New(flow.Version).With(flow.Peers{N: js.Global().Get("lampblackPeers").Int(), Do: hand})
	stops := map[int]context.CancelFunc{}
	answers := func(name string, answer func(ctx context.Context, in []byte, say func([]byte))) {
		js.Global().Set(name, js.FuncOf(func(_ js.Value, args []js.Value) any {
			id, in, say := args[0].Int(), bytesOf(args[1]), args[2]
			ctx, stop := context.WithCancel(context.Background())
			stops[id] = stop
			return promised(func() {
				defer delete(stops, id)
				defer stop()
				answer(&listening{Context: ctx, heard: time.Now()}, in, func(b []byte) { say.Invoke(array(b)) })
			})
		}))
	}
	answers("lampblackAsk", func(ctx context.Context, in []byte, say func([]byte)) {
		f, err := talk.Next(bytes.NewReader(in))
		if err != nil {
			f = talk.Frame{Head: []byte("{}")} // an answer tells that it is none
		}
		e.Answer(ctx, f, func(f talk.Frame) { say(f.Bytes()) })
	})
	answers("lampblackHelp", func(ctx context.Context, in []byte, say func([]byte)) {
		ctx, end := desk.Beating(ctx, func() { say(nil) })
		defer end()
		if out, err := flow.Help(ctx, in); err == nil {
			say(out)
		}
	})
	js.Global().Set("lampblackStop", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if stop := stops[args[0].Int()]; stop != nil {
			stop()
		}
		return nil
	}))
	js.Global().Get("lampblackReady").Invoke()
	select {}
}

// bytesOf and array carry bytes over to the program and from it.

func bytesOf(v js.Value) []byte {
	b := make([]byte, v.Get("length").Int())
	js.CopyBytesToGo(b, v)
	return b
}

func array(b []byte) js.Value {
	v := js.Global().Get("Uint8Array").New(len(b))
	js.CopyBytesToJS(v, b)
	return v
}

// hand has a peer do an errand.
func hand(ctx context.Context, peer int, errand []byte) ([]byte, error) {
	made := make(chan []byte, 1)
	var kept js.Func
	kept = js.FuncOf(func(_ js.Value, args []js.Value) any {
		kept.Release()
		if args[0].IsNull() {
			made <- nil
		} else {
			made <- bytesOf(args[0])
		}
		return nil
	})
	js.Global().Call("lampblackHand", peer, array(errand)).Call("then", kept)
	for {
		select {
		case b := <-made:
			if b == nil {
				return nil, errors.New("the peer made nothing of it")
			}
			return b, nil
		case <-ctx.Done():
			js.Global().Call("lampblackLeave", peer) // by which kept is called, once nobody waits
			return nil, ctx.Err()
		case <-time.After(time.Second):
			_ = ctx.Err() // a beat; the page ends a peer that has none
		}
	}
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
