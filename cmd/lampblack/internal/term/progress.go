package term

import (
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
)

// patience is how long work may take before a progress line appears.
const patience = time.Second

// Progress is one line on a terminal that tells how far the work is. Without a terminal it does nothing. Its methods may
// be called from several goroutines.
type Progress struct {
	screen Screen
	start  time.Time
	mu     sync.Mutex
	bar    *progressbar.ProgressBar
	done   int
	total  int
	what   string
	ticker *time.Ticker
	stop   chan struct{}
}

// NewProgress begins to count time.
func (s Screen) NewProgress() *Progress {
	p := &Progress{screen: s, start: time.Now(), stop: make(chan struct{})}
	if !s.Interactive {
		return p
	}
	p.ticker = time.NewTicker(patience / 5)
	go func() {
		defer func() { _ = recover() }() // a fault in the line costs the line, not the work it tells of
		for {
			select {
			case <-p.stop:
				return
			case <-p.ticker.C:
				p.mu.Lock()
				p.show()
				p.mu.Unlock()
			}
		}
	}()
	return p
}

// Step tells that done of total steps are finished and what is being done.
func (p *Progress) Step(done, total int, what string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done, p.total, p.what = max(p.done, done), total, Clean(what)
}

// show draws the line; p.mu is held.
func (p *Progress) show() {
	if p.total == 0 || time.Since(p.start) < patience {
		return
	}
	if p.bar == nil {
		p.bar = progressbar.NewOptions(p.total,
			progressbar.OptionSetWriter(p.screen.W),
			progressbar.OptionSetWidth(24),
			progressbar.OptionEnableColorCodes(false),
			progressbar.OptionClearOnFinish(),
			progressbar.OptionSetPredictTime(false),
			progressbar.OptionSetElapsedTime(false),
		)
	}
	p.bar.Describe(p.what)
	_ = p.bar.Set(min(p.done, p.total)) // a terminal that cannot be written to loses its progress line, nothing else
}

// Close takes the line away.
func (p *Progress) Close() {
	if !p.screen.Interactive {
		return
	}
	close(p.stop)
	p.ticker.Stop()
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.bar != nil {
		_ = p.bar.Clear()
	}
}
