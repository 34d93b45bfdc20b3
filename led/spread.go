package led

// Spread is how a console comes out when it is built many times from parts as they are sold.
type Spread struct {
	Seed     uint64
	Consoles int
	Panels   []PanelSpread // in the order of Circuit.Boards
	Evenness Percentiles   // darkest panel over brightest of the same console, each relative to the current it was asked for
	Demand   Percentiles   // on the supply, A, all groups full on
}

// PanelSpread is the light of one panel: its mean LED current relative to what was asked for.
type PanelSpread struct {
	Panel string
	Light Percentiles
}

// Percentiles are values that 5, 50 and 95 of a hundred consoles stay below.
type Percentiles struct{ P5, P50, P95 float64 }

// Spares is how many LEDs to buy beyond the n of one lot on a board, as a lot cannot be bought again: two at least, one in twenty
// (common practice).
func Spares(n int) int {
	if n <= 0 {
		return 0
	}
	return max(2, (n+19)/20)
}

// LotSpread is how dark the darkest word of a panel comes out, relative to the mean of its words, as intensities differ.
type LotSpread struct {
	Seed          uint64
	Draws, Words  int
	Typical       float64     // with LEDs that are all alike
	OneLot, Mixed Percentiles // with LEDs of one lot; each of a lot of its own
}
