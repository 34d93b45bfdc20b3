package flow

import (
	"context"
	"runtime"
	"sync"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/cmd/lampblack/internal/project"
)

// Version of Lampblack, which is told in every file that is written.
const Version = "0.1.0"

// Engine runs the stages and keeps what they came to. One that lives on does anew only what changed, and gives the same bytes
// as a fresh one. It is safe for several goroutines.
type Engine struct {
	memory *memo.Memory
	fault  func(stage, of string) // of tests: may panic within a stage
	peers  Peers

	mu   sync.Mutex
	dark []keptDark // the one asked for last at the end
}

// NewEngine returns an engine that keeps at most so many bytes of results.
func NewEngine(bound int64) *Engine { return &Engine{memory: memo.New(bound)} }

// UsualBound is how many bytes of results an engine may keep: of a console of six panels there are some tens of megabytes. In
// WebAssembly all memory is the page's, which a browser limits.
func UsualBound() int64 {
	if runtime.GOOS == "js" {
		return 64 << 20
	}
	return 256 << 20
}

// Build, Supply and Relight do so with an engine of their own.

func Build(ctx context.Context, p project.Project, set Settings) (Outcome, error) {
	return NewEngine(UsualBound()).Build(ctx, p, set)
}

func Supply(ctx context.Context, p project.Project, set Settings) (Outcome, error) {
	return NewEngine(UsualBound()).Supply(ctx, p, set)
}

func Relight(ctx context.Context, p project.Project, set Settings, ask Ask) (Relit, error) {
	return NewEngine(UsualBound()).Relight(ctx, p, set, ask)
}
