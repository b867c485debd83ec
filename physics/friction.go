package physics

import "math"

// laminarReynolds is a Reynolds number below which Churchill's friction factor
// equals 64/Re to the last bit of a float64: the other term is then at most
// (600/37530)^24 (600/8)^12 = 2.5e-21 of it.
const laminarReynolds = 600

// ChurchillFriction returns the Darcy friction factor of a round pipe for any
// Reynolds number, laminar, in transition or turbulent.
//
//	f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12)
//	A = {2.457 ln 1/[(7/Re)^0.9 + 0.27 ε/D]}^16
//	B = (37530/Re)^16
//
// reynolds counts by its magnitude; relativeRoughness is ε/D, 0 for a smooth
// pipe (0 to about 0.05). At Re = 0 the result is +Inf (the loss of a hose is
// still finite: see Hose). Within a few per cent of Colebrook 1939 above
// Re = 4000; in transition (2100 to 4000) an interpolation. Source: S. W.
// Churchill, Chem. Eng. 84(24), 91-92, 7 November 1977.
func ChurchillFriction(reynolds, relativeRoughness float64) float64 {
	re := math.Abs(reynolds)
	if relativeRoughness <= 0 || re < laminarReynolds {
		f, _ := smoothFriction(re)
		return f
	}
	a := power16(2.457 * math.Log(1/(math.Pow(7/re, 0.9)+0.27*relativeRoughness)))
	b := power16(37530 / re)
	return twelfthRoot(re, a+b)
}

// smoothFriction returns Churchill's friction factor of a smooth pipe and its
// logarithmic slope d ln f / d ln Re (-1 when laminar, about -0.2 when
// turbulent, positive in transition).
func smoothFriction(re float64) (f, slope float64) {
	if re < laminarReynolds {
		return 64 / re, -1
	}
	l := math.Log(re / 7)
	a := power16(2.457 * 0.9 * l)
	b := power16(37530 / re)
	laminar := power12(8 / re)
	sum := a + b
	turbulent := 1 / (sum * math.Sqrt(sum))
	total := laminar + turbulent
	slope = -(laminar + 2*turbulent*(a/l-b)/sum) / total
	return 8 * math.Cbrt(math.Sqrt(math.Sqrt(total))), slope
}

func twelfthRoot(re, sum float64) float64 {
	total := power12(8/re) + 1/(sum*math.Sqrt(sum))
	return 8 * math.Cbrt(math.Sqrt(math.Sqrt(total)))
}

func power12(x float64) float64 {
	x4 := x * x * x * x
	return x4 * x4 * x4
}

func power16(x float64) float64 {
	x2 := x * x
	x4 := x2 * x2
	x8 := x4 * x4
	return x8 * x8
}
