package control

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/goccy/go-yaml"

	"lampblack/panel/geom"
)

//go:embed catalogue.yaml
var catalogueYAML []byte

// catalogueFile is catalogue.yaml, lengths in mm.
type catalogueFile struct {
	Kinds []struct {
		Kind, Words, Use, Held string
		Hole, Bush, Flat       float64
		Cut, Body              []float64
		Thread                 float64
		Nut                    float64
		NutThickness           float64 `yaml:"nut_thickness"`
		Washer                 float64
		WasherThickness        float64 `yaml:"washer_thickness"`
		LockWasher             float64 `yaml:"lock_washer"`
		Tab                    float64
		TabAt                  float64 `yaml:"tab_at"`
		SheetMin               float64 `yaml:"sheet_min"`
		SheetMax               float64 `yaml:"sheet_max"`
		Beyond                 float64
		Depth, Terminals       float64
		Shaft                  float64
		ShaftLength            float64 `yaml:"shaft_length"`
		Handle                 float64
		Flange                 float64
		FlangeThickness        float64 `yaml:"flange_thickness"`
		Source                 yaml.MapSlice
	}
}

// catalogue is read once; callers get copies.
var catalogue = sync.OnceValue(func() []Kind {
	kinds, err := readCatalogue(catalogueYAML)
	if err != nil {
		panic("control: catalogue.yaml: " + err.Error())
	}
	return kinds
})

// Kinds returns the catalogue, in the file's order. The values are typical ones; see each kind's Sources.
func Kinds() []Kind {
	out := slices.Clone(catalogue())
	for i := range out {
		out[i].Sources = slices.Clone(out[i].Sources)
	}
	return out
}

// Names returns the names of the catalogue's kinds, in the file's order.
func Names() []string {
	var out []string
	for _, k := range catalogue() {
		out = append(out, k.Name)
	}
	return out
}

// Find returns the catalogue's kind of that name; case does not matter.
func Find(name string) (Kind, bool) {
	for _, k := range Kinds() {
		if strings.EqualFold(k.Name, name) {
			return k, true
		}
	}
	return Kind{}, false
}

func readCatalogue(src []byte) ([]Kind, error) {
	var f catalogueFile
	if err := yaml.UnmarshalWithOptions(src, &f, yaml.Strict()); err != nil {
		return nil, err
	}
	var out []Kind
	for _, c := range f.Kinds {
		use, held := slices.Index(useWords[:], c.Use), slices.Index(heldWords[:], c.Held)
		if use < 0 || held < 0 {
			return nil, fmt.Errorf("%s: use %q, held %q", c.Kind, c.Use, c.Held)
		}
		mm := geom.MM
		k := Kind{
			Name: c.Kind, Words: c.Words, Use: Use(use), Held: Held(held),
			Hole: Extent{W: mm(c.Hole)}, Bush: mm(c.Bush), Flat: mm(c.Flat), Thread: mm(c.Thread),
			Nut: mm(c.Nut), NutThick: mm(c.NutThickness), Washer: mm(c.Washer), WasherThick: mm(c.WasherThickness), LockWasher: mm(c.LockWasher),
			Tab: mm(c.Tab), TabAt: mm(c.TabAt), LeastSheet: mm(c.SheetMin), MostSheet: mm(c.SheetMax),
			Beyond: mm(c.Beyond), Depth: mm(c.Depth), Terminals: mm(c.Terminals), Shaft: mm(c.Shaft), ShaftLength: mm(c.ShaftLength),
			Handle: mm(c.Handle), Flange: mm(c.Flange), FlangeThick: mm(c.FlangeThickness),
		}
		if len(c.Cut) > 0 {
			k.Hole = extent(c.Cut)
		}
		k.Body = extent(c.Body)
		for _, s := range c.Source {
			k.Sources = append(k.Sources, Source{fmt.Sprint(s.Key), fmt.Sprint(s.Value)})
		}
		if err := k.Check(); err != nil {
			return nil, err
		}
		out = append(out, k)
	}
	return out, nil
}

func extent(mm []float64) Extent {
	switch len(mm) {
	case 1:
		return Extent{W: geom.MM(mm[0])}
	case 2:
		return Extent{geom.MM(mm[0]), geom.MM(mm[1])}
	}
	return Extent{}
}

// Check returns what is impossible about the kind, or nil.
func (k Kind) Check() error {
	bad := func(format string, args ...any) error {
		return fmt.Errorf("control kind %q: %s", k.Name, fmt.Sprintf(format, args...))
	}
	switch {
	case k.Name == "":
		return bad("it has no name")
	case k.Held.Bushed() && (k.Bush == 0 || k.Thread == 0 || k.Nut == 0 || k.NutThick == 0):
		return bad("a nut holds it: it needs bush, thread, nut and nut_thickness")
	case k.Held.Bushed() && k.Hole.W < k.Bush:
		return bad("its bush of %v does not pass its hole of %v", k.Bush, k.Hole)
	case k.Held.Bushed() && k.Nut <= k.Bush:
		return bad("its nut of %v across flats is no larger than its bush of %v", k.Nut, k.Bush)
	case k.Washer > 0 && k.Washer <= k.Hole.W:
		return bad("its washer of %v falls through its hole of %v", k.Washer, k.Hole)
	case k.Held == NutBehind && k.Flange <= k.Hole.W:
		return bad("its flange of %v falls through its hole of %v", k.Flange, k.Hole)
	case k.Flat > 0 && (k.Flat >= k.Bush || 2*k.Flat <= k.Bush):
		return bad("flattened to %v, a bush of %v", k.Flat, k.Bush)
	case (k.Tab > 0) != (k.TabAt > 0):
		return bad("a tab needs both its hole, tab, and its place, tab_at")
	case k.MostSheet > 0 && k.LeastSheet > k.MostSheet:
		return bad("sheet_min is more than sheet_max")
	case k.Held == Clips && k.Hole.W == 0:
		return bad("it snaps in: it needs hole")
	}
	return nil
}

// Completed returns a kind of which a data sheet told some values with what was not told filled in: a hole 0.2 mm wider than the
// bush, and a flange 2 mm wider than the hole for a part that is held from behind (common practice).
func (k Kind) Completed() Kind {
	if k.Hole.W == 0 && k.Bush > 0 {
		k.Hole.W = k.Bush + 200*geom.Micrometre
	}
	if k.Held == NutBehind && k.Flange == 0 {
		k.Flange = k.Hole.W + 2*geom.Millimetre
	}
	if k.Handle == 0 {
		k.Handle = max(k.Shaft, k.Flange)
	}
	return k
}
