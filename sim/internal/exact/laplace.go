package exact

import "math"

// eulerTerms is the M of invertEuler: truncation 10^(-0.6 M), rounding 10^(M/3) times
// the machine's; 16 balances them at about 1e-10.
const eulerTerms = 16

// invertEuler returns the function of time whose Laplace transform is f, at t > 0,
// where it is smooth: the Fourier series on a vertical line, summed by Euler's
// averaging,
//
//	10^(M/3)/t · Σ_{k=0}^{2M} (-1)^k ξ_k Re f((M ln10/3 + iπk)/t).
//
// Source: Abate, Whitt 2006, "A unified framework for numerically inverting Laplace
// transforms", INFORMS J. Comput. 18(4) 408-421, section 5 (from memory).
func invertEuler(f func(s complex128) complex128, t float64) float64 {
	weights := eulerWeights()
	line := eulerTerms * math.Ln10 / 3
	sum := 0.0
	for k, w := range weights {
		term := w * real(f(complex(line, math.Pi*float64(k))/complex(t, 0)))
		if k%2 == 1 {
			term = -term
		}
		sum += term
	}
	return math.Pow(10, eulerTerms/3.0) / t * sum
}

// eulerWeights returns ξ_0 ... ξ_2M: 1/2, then ones up to M, then the tails of the
// binomial distribution.
func eulerWeights() [2*eulerTerms + 1]float64 {
	var xi [2*eulerTerms + 1]float64
	xi[0] = 0.5
	for k := 1; k <= eulerTerms; k++ {
		xi[k] = 1
	}
	choose := 1.0 // M over j
	tail := choose
	for j := 0; j < eulerTerms; j++ {
		xi[2*eulerTerms-j] = tail * math.Pow(2, -eulerTerms)
		choose *= float64(eulerTerms-j) / float64(j+1)
		tail += choose
	}
	return xi
}
