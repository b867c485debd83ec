package sampling

import (
	"math"
	"math/bits"

	//lint:ignore SA1019 deprecated in favour of math/rand/v2, but its PCG algorithm is frozen, so a seed gives the same draws for years
	"golang.org/x/exp/rand" //nolint:staticcheck // the same reason
	"gonum.org/v1/gonum/mathext"
)

// Key names what a draw is for: an input, or another purpose.
type Key uint64

// InputKey returns the key of the input with the given path, its 64-bit FNV-1a
// hash. Two paths share a key, and so their draws, with a chance of about
//
//	n²/2⁶⁵
//
// for n paths.
//
// Source: Fowler, Noll, Vo, "The FNV Non-Cryptographic Hash Algorithm" (offset
// basis 14695981039346656037, prime 1099511628211).
func InputKey(path string) Key {
	h := uint64(14695981039346656037)
	for i := 0; i < len(path); i++ {
		h = (h ^ uint64(path[i])) * 1099511628211
	}
	return Key(h)
}

// Purposes keep apart draws that share seed, key and index.
const (
	purposeUniform     uint64 = 1
	purposePermutation uint64 = 2
	purposeStream      uint64 = 3
	purposeLap         uint64 = 4
	purposeStint       uint64 = 5
	purposeScramble    uint64 = 6
)

// Uniform returns the draw in the open interval (0, 1) at the address (seed, k,
// index). It takes no memory and has no state.
func Uniform(seed uint64, k Key, index uint64) float64 {
	s := startStream(address(purposeUniform, seed, uint64(k), index))
	return s.Float64()
}

// Stream is a sequence of draws for one purpose inside one realization. It is a
// value: a copy continues from the same place on its own. Its zero value is not
// a stream; use NewStream.
type Stream struct {
	source rand.PCGSource
}

// NewStream returns the stream at the address (seed, k, index, sub...), at its
// beginning. Streams of different addresses are independent for every practical
// purpose; the number of subs is part of the address.
func NewStream(seed uint64, k Key, index uint64, sub ...uint64) Stream {
	h := address(purposeStream, seed, uint64(k), index)
	for _, s := range sub {
		h = absorb(h, s)
	}
	return startStream(absorb(h, uint64(len(sub))))
}

// Uint64 returns the next 64 bits. With it a *Stream is a Source of math/rand/v2.
func (s *Stream) Uint64() uint64 { return s.source.Uint64() }

// Float64 returns the next draw in the open interval (0, 1): the centre of one of
// 2⁵² equal cells, so that neither 0 nor 1 can occur and a quantile function is
// always finite.
func (s *Stream) Float64() float64 { return cellCentre(s.source.Uint64()) }

func cellCentre(random uint64) float64 { return (float64(random>>12) + 0.5) * 0x1p-52 }

// below returns the next draw from 0, 1, ... n-1, every one as likely as the others:
// the high word of n times 64 random bits, after rejecting the few that would favour
// some.
//
// Source: Lemire 2019, "Fast random integer generation in an interval", ACM Trans.
// Model. Comput. Simul. 29(1) (from memory).
func (s *Stream) below(n uint64) uint64 {
	high, low := bits.Mul64(s.Uint64(), n)
	for reject := -n % n; low < reject; {
		high, low = bits.Mul64(s.Uint64(), n)
	}
	return high
}

// NormFloat64 returns the next draw from the standard normal distribution, by the
// inverse of its distribution function: one uniform draw each.
func (s *Stream) NormFloat64() float64 { return mathext.NormalQuantile(s.Float64()) }

// Gamma returns the next draw from the gamma distribution with the given shape and
// scale 1 (mean = variance = shape). Shape 1 is the exponential distribution. A
// shape that is not positive and finite gives NaN. Below a shape of about 0.05 the
// lower tail underflows to 0.
//
// Source: Marsaglia, Tsang 2000, "A simple method for generating gamma variables",
// ACM Trans. Math. Softw. 26(3) 363-372; for shapes below 1, Gamma(shape+1)·U^(1/shape)
// (from memory).
func (s *Stream) Gamma(shape float64) float64 {
	switch {
	case !(shape > 0) || math.IsInf(shape, 1):
		return math.NaN()
	case shape < 1:
		g := s.Gamma(shape + 1)
		return g * math.Pow(s.Float64(), 1/shape)
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := s.NormFloat64()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v = v * v * v
		if math.Log(s.Float64()) < 0.5*x*x+d*(1-v+math.Log(v)) {
			return d * v
		}
	}
}

func startStream(h uint64) Stream {
	var s Stream
	s.source.Seed(h)
	return s
}

// address folds the parts of an address into 64 well mixed bits.
func address(purpose, seed, key, index uint64) uint64 {
	return absorb(absorb(absorb(mix(purpose), seed), key), index)
}

// absorb is one-to-one in w for each h and in h for each w, so that addresses that
// differ in one part never meet.
func absorb(h, w uint64) uint64 { return mix(h ^ w) }

// mix advances x by the golden ratio and scrambles it so that each bit of x changes
// half of the bits of the result.
//
// Source: Steele, Lea, Flood 2014, "Fast splittable pseudorandom number generators",
// OOPSLA (SplitMix64; constants from memory, checked against its known output).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
