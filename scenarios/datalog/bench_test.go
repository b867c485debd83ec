package datalog

import (
	"strings"
	"testing"
)

// 100 Hz, 25 min, 8 columns.
func longLog() string {
	m := plain()
	m.rate, m.to = 100, 1500
	m.header += "|gear"
	return m.String()
}

func BenchmarkRead(b *testing.B) {
	text := longLog()
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(strings.NewReader(text), "laps.csv", forwardLeft()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLap(b *testing.B) {
	for _, c := range []struct{ name, lap string }{{"laps=numbered", ""}, {"laps=repeat", NotUsed}} {
		b.Run(c.name, func(b *testing.B) {
			s := forwardLeft()
			s.Columns = map[string]string{Lap: c.lap}
			l, err := Read(strings.NewReader(longLog()), "laps.csv", s)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if _, _, err := l.Lap(Tolerance{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
