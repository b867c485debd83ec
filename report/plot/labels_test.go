package plot

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/plot/vg"
)

func TestLabelsDoNotOverlap(t *testing.T) {
	frame := vg.Rectangle{Min: vg.Point{X: 0, Y: 100}, Max: vg.Point{X: 10, Y: 200}}
	for _, heights := range [][]vg.Length{{100, 100, 100}, {200, 200, 199}, {150, 151, 149, 150}, {100, 200, 105, 195, 150}} {
		var list []label
		for _, y := range heights {
			list = append(list, label{y: y})
		}
		spread(list, frame)
		for i, l := range list {
			assert.True(t, l.y >= frame.Min.Y && l.y <= frame.Max.Y, "%v", list)
			if i > 0 {
				assert.GreaterOrEqual(t, float64(list[i-1].y-l.y), float64(lineStep)-1e-9, "%v", heights)
			}
		}
	}
	alone := []label{{y: 170}, {y: 120}}
	spread(alone, frame)
	assert.Equal(t, []label{{y: 170}, {y: 120}}, alone, "where there is room each stays")
}
