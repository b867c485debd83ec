package scenarios

import "testing"

func BenchmarkReady(b *testing.B) {
	for _, name := range ReadyNames() {
		b.Run("name="+name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Ready(name); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
