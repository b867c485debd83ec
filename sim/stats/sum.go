package stats

import (
	"fmt"
	"math"
	"math/big"
	"math/bits"
)

// unit is what Sum counts in, 2⁻⁸⁰, and most the largest magnitude of one number.
const (
	unitBits = 80
	mostBits = 40
)

// Sum adds up finite numbers in whole units of 2⁻⁸⁰, 128 bits wide, so that neither the
// order of Add and Merge nor the way in which numbers were shared out leaves a trace. A
// number is rounded to 8e-25 once, when it is added; its magnitude is below 2⁴⁰ (1e12),
// and so is that of the sum below 2⁴⁶. NaN, an infinity or a number too large makes the
// sum NaN. The zero value is empty.
//
// Source of the idea: Kulisch, "Computer Arithmetic and Validity" (2008), the exact sum
// in fixed point (from memory); its width here is derived.
type Sum struct {
	high    int64
	low     uint64
	invalid bool
}

// Add adds one number.
func (s *Sum) Add(x float64) {
	if !(math.Abs(x) < 1<<mostBits) {
		s.invalid = true
		return
	}
	fraction, exponent := math.Frexp(x)
	high, low := shifted(int64(fraction*(1<<53)), exponent-53+unitBits)
	s.add(high, low)
}

// shifted returns m·2^shift, 128 bits wide, rounded to the nearest whole number where
// shift is negative.
func shifted(m int64, shift int) (high int64, low uint64) {
	switch {
	case shift >= 64:
		return m << (shift - 64), 0
	case shift >= 0:
		return m >> (64 - shift), uint64(m) << shift
	case shift <= -63: // a number of 53 bits is below half a unit
		return 0, 0
	}
	half := int64(1) << (-shift - 1)
	rounded := (m + half) >> -shift
	return rounded >> 63, uint64(rounded)
}

func (s *Sum) add(high int64, low uint64) {
	var carry uint64
	s.low, carry = bits.Add64(s.low, low, 0)
	sum, _ := bits.Add64(uint64(s.high), uint64(high), carry)
	before := s.high
	s.high = int64(sum)
	if (before^s.high)&(high^s.high) < 0 { // both of one sign, the sum of the other
		s.invalid = true
	}
}

// Merge adds all numbers of o.
func (s *Sum) Merge(o Sum) {
	s.add(o.high, o.low)
	s.invalid = s.invalid || o.invalid
}

// Value returns the sum, rounded to the nearest float64.
func (s *Sum) Value() float64 {
	if s.invalid {
		return math.NaN()
	}
	exact := new(big.Float).SetInt(s.units())
	value, _ := exact.SetMantExp(exact, -unitBits).Float64()
	return value
}

func (s *Sum) units() *big.Int {
	n := new(big.Int).Lsh(big.NewInt(s.high), 64)
	return n.Add(n, new(big.Int).SetUint64(s.low))
}

// MarshalText writes the sum exactly, in its units.
func (s Sum) MarshalText() ([]byte, error) {
	if s.invalid {
		return []byte("invalid"), nil
	}
	return s.units().MarshalText()
}

// UnmarshalText reads what MarshalText wrote.
func (s *Sum) UnmarshalText(text []byte) error {
	if string(text) == "invalid" {
		*s = Sum{invalid: true}
		return nil
	}
	var n big.Int
	if len(text) > 50 || n.UnmarshalText(text) != nil || n.BitLen() > 126 {
		return fmt.Errorf("not a sum (got %.50q)", text)
	}
	low := new(big.Int).And(&n, new(big.Int).SetUint64(math.MaxUint64))
	*s = Sum{high: new(big.Int).Rsh(&n, 64).Int64(), low: low.Uint64()}
	return nil
}
