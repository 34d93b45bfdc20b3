package memo

import (
	"context"

	"lampblack/panel/work"
)

// parcel is a result on its way from one memory to another of the same program.
type parcel struct {
	Key, Sum Sum
	Value    []byte // Encoded; of which type, whoever asks for it knows
}

// Parcel returns all results that are kept, as bytes for another memory to be given. What cannot be encoded is left out. Its error is
// ctx's.
func (m *Memory) Parcel(ctx context.Context) ([]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var all []parcel
	for e := m.order.Front(); e != nil; e = e.Next() {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		r := e.Value.(*result)
		if b, err := r.encoded(); err == nil {
			all = append(all, parcel{r.key, r.sum, b})
		}
	}
	return Encoded(all)
}

// Give has the memory hold what another one computed, until Forget: who asks for a result of it takes that, if it has the sum that it is
// told to have, and else computes.
func (m *Memory) Give(b []byte) error {
	all, err := Decoded[[]parcel](b)
	if err != nil {
		return err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, p := range all {
		if m.results[p.Key] == nil {
			m.given[p.Key] = p
		}
	}
	return nil
}

// Forget lets go of what was given and not asked for.
func (m *Memory) Forget() {
	m.mu.Lock()
	defer m.mu.Unlock()
	clear(m.given)
}

// Holds reports whether the result of a stage is kept: Do would not compute.
func Holds[In, Out any](m *Memory, stage string, in In) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.results[keyOf[In, Out](nil, stage, in)] != nil
}

// given returns a result that another memory computed.
func given[Out any](w *work.Watch, m *Memory, key Sum) (Kept[Out], bool) {
	m.mu.Lock()
	p, ok := m.given[key]
	delete(m.given, key)
	m.mu.Unlock()
	if !ok {
		return Kept[Out]{}, false
	}
	v, err := Decoded[Out](p.Value)
	if err != nil {
		return Kept[Out]{}, false
	}
	k := Of(w, v)
	return k, k.Sum == p.Sum
}
