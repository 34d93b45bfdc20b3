package result

import (
	"bytes"
	"encoding/json"
	"math"
)

// JSON returns the result as result.json has it, sealed.
func (c Console) JSON() []byte { return encoded(c.Sealed()) }

// JSON returns it as inspect --json prints it.
func (p Pack) JSON() []byte { return encoded(p) }

func encoded(v any) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		panic("export/result: " + err.Error()) // numbers are finite by num, the rest cannot fail
	}
	return b.Bytes()
}

// num rounds to k decimals; what is no number becomes 0, as JSON has no other word for it.
func num(v float64, k int) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	p := math.Pow10(k)
	if math.Abs(v) > 1e15/p {
		return v
	}
	return math.Round(v*p)/p + 0 // + 0 makes -0 plain 0
}
