package desk

import (
	"context"
	"sync"
	"time"
)

// Beating returns a context that calls beat about each second for as long as the work looks at it, until end: whoever waits sees that the
// program works, and is not stuck. beat is called by one at a time, and never after end.
func Beating(ctx context.Context, beat func()) (beating context.Context, end func()) {
	b := &beats{Context: ctx, beat: beat, last: time.Now()}
	return b, func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.beat = nil
	}
}

type beats struct {
	context.Context
	mu   sync.Mutex
	beat func()
	last time.Time
}

// Err is what long work asks all the while (panel/work).
func (b *beats) Err() error {
	b.mu.Lock()
	if now := time.Now(); b.beat != nil && now.Sub(b.last) >= time.Second {
		b.last = now
		b.beat()
	}
	b.mu.Unlock()
	return b.Context.Err()
}
