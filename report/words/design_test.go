package words_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/report/words"
	"sumpward/sim/sampling"
)

func TestDesign(t *testing.T) {
	for design, want := range map[sampling.Design]string{
		sampling.Sobol{}: "Sobol' points", sampling.LatinHypercube{}: "Latin hypercube", sampling.Random{}: "at random",
	} {
		assert.Equal(t, want, words.Design(design.Name()))
	}
	assert.Equal(t, "some other", words.Design("some-other"))
}
