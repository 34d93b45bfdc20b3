package flow

import (
	"context"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/boardtest"
	"lampblack/board/boardtest/made"
	"lampblack/export/bundle"
)

// No good pack of the field is refused or doubted: the short test takes a few small and large panels, INSPECT_FIELD=1 all.
func TestInspectTheField(t *testing.T) {
	seeds := []uint64{1, 2, 3, 5, 8, 11}
	if os.Getenv("INSPECT_FIELD") != "" {
		seeds = nil
		for s := uint64(1); s <= boardtest.FieldSize; s++ {
			seeds = append(seeds, s)
		}
	}
	judged := 0
	for _, seed := range seeds {
		c := boardtest.FieldCase(seed)
		w, l := c.Wiring()
		if l.HasErrors() {
			continue // a panel that has too little room
		}
		b, l := made.Of(c.Panel, w)
		if l.HasErrors() {
			continue
		}
		judged++
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			_, out := packed(t, b)
			got := must(Inspect(context.Background(), "field-fab.zip", bundle.Zip(nil, fabOf(out.Files)), fine(), "test", false))
			for _, f := range got.List {
				t.Errorf("%s (%v): %s %s", f.Code, f.Severity, f.Text, f.Place.File)
			}
			require.GreaterOrEqual(t, len(got.Judged), 9, "%v", got.Judged)
		})
	}
	require.Greater(t, judged, len(seeds)/2)
}
