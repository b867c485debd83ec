package sampling

// owen is one nested uniform scrambling of the interval [0, 1): each half, quarter,
// eighth ... of it has a random bit of its own, which tells whether the two halves of
// that piece change places. Points that share their first k binary digits share them
// afterwards too; a scrambled point is uniform, and the evenness of a net stays what it
// was.
//
// It is for points of twelve digits, of which there are 4096. A piece is told by the digits
// that lead to it. Its bit is taken from a hash of these digits: one hash serves the 63
// pieces within six digits, twice; from there on no two points share a piece, and one
// hash has all the bits of a point. So the permutation is exactly a nested one, its bits
// are as good as independent by the hash, and it needs no memory. (Letting lower digits
// follow from the carries of products, which is common, is nested too, but its bits are
// not independent.)
//
// Source: Owen 1995, "Randomly permuted (t,m,s)-nets and (t,s)-sequences", in Monte
// Carlo and Quasi-Monte Carlo Methods in Scientific Computing, Lect. Notes Stat. 106,
// 299-317; Owen 1997, "Scrambled net variance for integrals of smooth functions", Ann.
// Stat. 25(4) 1541-1562 (both from memory). The arrangement of bits in hashes is derived.
type owen uint64

// newOwen returns the scrambling of one input in one block.
func newOwen(seed uint64, k Key, block uint64) owen {
	return owen(address(purposeScramble, seed, uint64(k), block))
}

// A group of six digits has one hash.
const (
	firstGroup  = 64 - 6             // where it ends
	secondGroup = firstGroup - 6     // where it ends
	below       = 1<<secondGroup - 1 // the digits after it
)

// scramble returns a point scrambled. Both are binary fractions whose first digit is the
// highest bit; x has no digits after the twelfth.
func (o owen) scramble(x uint64) uint64 {
	first := x >> firstGroup
	return x ^ flips(o.hash(0, 0), first)<<firstGroup ^
		flips(o.hash(first<<firstGroup, 1), x>>secondGroup&63)<<secondGroup ^ o.hash(x, 2)&below
}

// prepared is a scrambling made ready for many points.
type prepared struct {
	owen   owen
	first  [64]uint64 // which of the first six digits change, by these digits
	second [64]uint64 // the hash of the next six, by the first six
}

func (o owen) prepare() prepared {
	p := prepared{owen: o}
	h := o.hash(0, 0)
	for path := range uint64(64) {
		p.first[path] = flips(h, path) << firstGroup
		p.second[path] = o.hash(path<<firstGroup, 1)
	}
	return p
}

// scramble is the same as without preparation.
func (p *prepared) scramble(x uint64) uint64 {
	first := x >> firstGroup
	return x ^ p.first[first] ^ flips(p.second[first], x>>secondGroup&63)<<secondGroup ^ p.owen.hash(x, 2)&below
}

// flips returns which of six digits of a path change. Bit 2^r - 1 + p of h is that of
// the piece which the first r of the digits, p, lead to.
func flips(h, path uint64) uint64 {
	node := 64 | path
	return h&1<<5 | h>>(node>>5-1)&1<<4 | h>>(node>>4-1)&1<<3 |
		h>>(node>>3-1)&1<<2 | h>>(node>>2-1)&1<<1 | h>>(node>>1-1)&1
}

// hash returns 64 random bits for a place in the interval, of twelve digits at the most,
// and a purpose below 2^52.
func (o owen) hash(place, purpose uint64) uint64 {
	return mix(uint64(o) ^ (place | purpose))
}
