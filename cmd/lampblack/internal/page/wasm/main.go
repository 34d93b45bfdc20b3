//go:build js && wasm

// Command wasm is the engine for a worker of the page. It is told frames and answers with frames: lampblackAsk(bytes, say) is there
// once it runs, calls say with the bytes of each frame, and returns a promise that is kept when the answer is complete.
package main

import (
	"bytes"
	"context"
	"syscall/js"

	"lampblack/cmd/lampblack/internal/page/desk"
	"lampblack/cmd/lampblack/internal/page/talk"
)

// version is set when a release is made.
var version = "dev"

func main() {
	e := desk.New(version)
	js.Global().Set("lampblackAsk", js.FuncOf(func(_ js.Value, args []js.Value) any {
		in := make([]byte, args[0].Get("length").Int())
		js.CopyBytesToGo(in, args[0])
		say := args[1]
		return promised(func() {
			f, err := talk.Next(bytes.NewReader(in))
			if err != nil {
				f = talk.Frame{Head: []byte("{}")} // an answer tells that it is none
			}
			e.Answer(context.Background(), f, func(f talk.Frame) {
				out := f.Bytes()
				to := js.Global().Get("Uint8Array").New(len(out))
				js.CopyBytesToJS(to, out)
				say.Invoke(to)
			})
		})
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
