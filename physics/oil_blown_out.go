package physics

// CaptureFactor returns the factor on what a separator catches that is left as
// it fills: 1 up to the fill from, then falling linearly to whenFull at fill 1
// (oil that was caught is blown out again).
//
// fill is clamped to 0..1; from and whenFull are in 0..1. With from = 1 the
// factor is always 1. Prior, no published source.
func CaptureFactor(fill, from, whenFull float64) float64 {
	if fill <= from || from >= 1 {
		return 1
	}
	return 1 - (1-whenFull)*(min(fill, 1)-from)/(1-from)
}
