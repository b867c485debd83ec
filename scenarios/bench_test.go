package scenarios

import "testing"

// BenchmarkLoad reads and checks a ready-made scenario, with the files that go with it.
func BenchmarkLoad(b *testing.B) {
	for _, name := range ReadyNames() {
		b.Run("scenario="+name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Ready(name); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
