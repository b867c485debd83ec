package physics

import (
	"fmt"
	"strconv"
	"strings"
)

// saeGrade is a grade of SAE J300, low-shear kinematic viscosity at 100 °C,
// mm2/s, and the nominal pair that stands for it where there is one.
type saeGrade struct {
	name          string
	low, high     float64 // at 100 °C; high is excluded
	nu40, nominal float64 // at 40 and 100 °C; 0 where the middle of the band stands
}

// Limits: SAE J300, January 2015. Nominal pairs: mid-grade at 100 °C and a
// viscosity index of about 150 (SAE 60: 163); from memory of common data, no source.
var saeGrades = []saeGrade{
	{"8", 4.0, 6.1, 0, 0},
	{"12", 5.0, 7.1, 0, 0},
	{"16", 6.1, 8.2, 0, 0},
	{"20", 6.9, 9.3, 0, 0},
	{"30", 9.3, 12.5, 66, 10.8},
	{"40", 12.5, 16.3, 98, 14.5},
	{"50", 16.3, 21.9, 140, 18.8},
	{"60", 21.9, 26.1, 180, 24},
}

// Grades of ISO 3448: the nominal kinematic viscosity at 40 °C, mm2/s, which
// holds to 10 %.
var isoGrades = []float64{22, 32, 46, 68, 100, 150}

const (
	saeIndex = 150 // of a multigrade, prior
	isoIndex = 100 // of a straight mineral oil, common practice
)

// GradeViscosity returns the kinematic viscosities at 40 and 100 °C, m2/s, that
// stand for a grade of oil: "SAE 8" to "SAE 60" (the hot grade of SAE J300, so
// "SAE 40" for a 10W-40) or "ISO VG 22" to "ISO VG 150" (also "ISO 68", "VG
// 68"). They are nominal: an oil of the grade may differ by 10 to 15 %.
//
// SAE 30 to 60 are nominal pairs; thinner SAE grades are the middle of their
// band at 100 °C with a viscosity index of 150; ISO grades have their nominal
// viscosity at 40 °C and an index of 100. An unknown grade is an error that
// lists what is known. Source: SAE J300-2015, ISO 3448, ASTM D2270.
func GradeViscosity(grade string) (nu40, nu100 float64, err error) {
	family, number := splitGrade(grade)
	switch family {
	case "SAE":
		for _, g := range saeGrades {
			if g.name == number {
				return g.pair()
			}
		}
	case "ISO", "VG", "ISO VG":
		for _, nominal := range isoGrades {
			if number == strconv.FormatFloat(nominal, 'f', -1, 64) {
				nu40 = nominal * centistokes
				nu100, err = ViscosityAt100C(nu40, isoIndex)
				return nu40, nu100, err
			}
		}
	}
	return 0, 0, fmt.Errorf("oil grade %q is not known: use one of %s, or give the viscosity at 40 and 100 °C", grade, strings.Join(OilGrades(), ", "))
}

// OilGrades returns the names of the grades that GradeViscosity knows.
func OilGrades() []string {
	var names []string
	for _, g := range saeGrades {
		names = append(names, "SAE "+g.name)
	}
	for _, nominal := range isoGrades {
		names = append(names, fmt.Sprintf("ISO VG %g", nominal))
	}
	return names
}

// splitGrade parts a grade into its family, in capitals, and its number.
func splitGrade(grade string) (family, number string) {
	words := strings.Join(strings.Fields(strings.ToUpper(strings.ReplaceAll(grade, "-", " "))), " ")
	i := strings.IndexAny(words, "0123456789")
	if i < 0 {
		return words, ""
	}
	return strings.TrimSpace(words[:i]), words[i:]
}

func (g saeGrade) pair() (nu40, nu100 float64, err error) {
	if g.nominal > 0 {
		return g.nu40 * centistokes, g.nominal * centistokes, nil
	}
	nu100 = 0.5 * (g.low + g.high) * centistokes
	nu40, err = ViscosityAt40C(nu100, saeIndex)
	return nu40, nu100, err
}
