package geom

// Knife does what the methods of Region do, and can be stopped at it: a sheet with thousands of holes keeps it busy for some
// tenths of a second. It calls Look every few milliseconds at most, and a Look that panics unwinds through it. The zero Knife
// never looks.
type Knife struct{ Look func() }

func (k Knife) look() {
	if k.Look != nil {
		k.Look()
	}
}

// steps returns a look for loops and sorts of some nanoseconds a turn: it looks once in some thousand times.
func (k Knife) steps() func() {
	const every = 1 << 12
	n := 0
	return func() {
		if n++; n%every == 0 {
			k.look()
		}
	}
}
