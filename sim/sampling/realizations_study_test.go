package sampling_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// The study of how many realizations an answer takes: see sim/PERFORMANCE.md. It takes
// minutes, so it has to be asked for.
var (
	study           = flag.String("study", "", "scenarios of the study, by name=session in minutes: sealed-drain=25,lost-circuit=25")
	studyLayouts    = flag.String("study.layouts", "random,hypercube,sobol", "layouts that are studied")
	studyReplicates = flag.Int("study.replicates", 128, "independent replicates of each layout")
	studyLargest    = flag.Int("study.largest", 4096, "points of a replicate, at the most")
)

// layout fills the coordinates of the block of a replicate.
type layout func(keys []sampling.Key, replicate, block int, u [][]float64)

const (
	studySeed      = 20
	studyBlock     = 512
	blocksOfOthers = 1 << 20 // so far apart are the blocks of two replicates
)

var layouts = map[string]layout{
	"random": func(keys []sampling.Key, replicate, block int, u [][]float64) {
		for i, k := range keys {
			for j := range u[i] {
				u[i][j] = sampling.Uniform(studySeed, k, uint64(replicate*blocksOfOthers+block)*studyBlock+uint64(j))
			}
		}
	},
	"hypercube": func(keys []sampling.Key, replicate, block int, u [][]float64) {
		for i, k := range keys {
			sampling.StratifyAt(studySeed, k, replicate*blocksOfOthers+block, u[i])
		}
	},
	"sobol": func(keys []sampling.Key, replicate, block int, u [][]float64) {
		for i, k := range keys {
			if d := sampling.DimensionOf(k); d >= 0 {
				sampling.SobolFillAt(d, studySeed, k, uint64(replicate), uint64(block*studyBlock), u[i])
			} else {
				sampling.StratifyAt(studySeed, k, replicate*blocksOfOthers+block, u[i])
			}
		}
	},
	// dimensions in the order of the inputs: an input more would move those after it
	"in order": func(keys []sampling.Key, replicate, block int, u [][]float64) {
		for i, k := range keys {
			sampling.SobolFillAt(i, studySeed, k, uint64(replicate), uint64(block*studyBlock), u[i])
		}
	},
	// dimensions by a hash of the input, from all there are, the next one where one is taken
	"hashed": func(keys []sampling.Key, replicate, block int, u [][]float64) {
		taken := map[int]bool{}
		for i, k := range keys {
			d := int(k>>20) % 128
			for taken[d] {
				d = (d + 1) % 128
			}
			taken[d] = true
			sampling.SobolFillAt(d, studySeed, k, uint64(replicate), uint64(block*studyBlock), u[i])
		}
	},
}

// figures are what one realization comes to: overflow, choked, either, peak fill, and
// the square of the last.
type figures [5]float64

var figureNames = [4]string{"overflow", "choked drain", "either", "mean peak fill"}

// studied are the sums over the first 512, 1024, 2048 ... points of one replicate.
type studied []figures

func TestRealizationsStudy(t *testing.T) {
	if *study == "" {
		t.Skip("a study, on request: -study sealed-drain=25")
	}
	for _, which := range strings.Split(*study, ",") {
		name, minutes := which, 0.0
		if i := strings.IndexByte(which, '='); i > 0 {
			name = which[:i]
			_, err := fmt.Sscan(which[i+1:], &minutes)
			require.NoError(t, err)
		}
		s, err := scenarios.Ready(name)
		require.NoError(t, err)
		m, err := sim.NewModel(s)
		require.NoError(t, err)
		printLuck(t, m, minutes*60)
		for _, l := range strings.Split(*studyLayouts, ",") {
			require.Contains(t, layouts, l)
			all := make([]studied, *studyReplicates)
			for r := range all {
				all[r] = replicateOf(t, m, layouts[l], r, minutes*60)
			}
			fmt.Printf("%s, %g min, %s, %d replicates\n", name, minutes, l, len(all))
			for f := range figureNames {
				printGains(all, f)
				printCoverage(all, f)
			}
		}
	}
}

// printLuck prints how much of the variance comes from the luck of laps, which stays
// random: no placing of the inputs makes the variance less than that.
func printLuck(t *testing.T, m *sim.Model, session float64) {
	const n = 8192
	single, place := m.Single(), make([]float64, len(m.Uncertain()))
	var sum, squares, apart figures
	for r := range uint64(n) {
		for i, q := range m.Uncertain() {
			place[i] = sampling.Uniform(studySeed, sampling.InputKey(q.Path), 1<<50+r)
		}
		_, err := single.Settle(place)
		require.NoError(t, err)
		var of [2]figures
		for luck := range of {
			out, err := single.Realize(studySeed, 1<<62+2*r+uint64(luck), []float64{session})
			require.NoError(t, err)
			of[luck] = figuresOf(out, session)
		}
		for f := range figureNames {
			a, b := of[0][f], of[1][f]
			sum[f] += (a + b) / (2 * n)
			squares[f] += (a*a + b*b) / (2 * n)
			apart[f] += (a - b) * (a - b) / (2 * n)
		}
	}
	for f, name := range figureNames {
		share := apart[f] / (squares[f] - sum[f]*sum[f])
		fmt.Printf("  %-14s luck of laps: %.2g of the variance, so no gain above %.3g\n", name, share, 1/share)
	}
}

// replicateOf runs one replicate.
func replicateOf(t *testing.T, m *sim.Model, fill layout, replicate int, session float64) studied {
	single, keys := m.Single(), []sampling.Key(nil)
	for _, q := range m.Uncertain() {
		keys = append(keys, sampling.InputKey(q.Path))
	}
	u, place := make([][]float64, len(keys)), make([]float64, len(keys))
	for i := range u {
		u[i] = make([]float64, studyBlock)
	}
	var sums studied
	var sum figures
	for n := 0; n < *studyLargest; n++ {
		if n%studyBlock == 0 {
			fill(keys, replicate, n/studyBlock, u)
		}
		for i := range u {
			place[i] = u[i][n%studyBlock]
		}
		_, err := single.Settle(place)
		require.NoError(t, err)
		out, err := single.Realize(studySeed, uint64(replicate)<<32+uint64(n), []float64{session})
		require.NoError(t, err)
		for f, x := range figuresOf(out, session) {
			sum[f] += x
		}
		if n+1 == studyBlock<<len(sums) {
			sums = append(sums, sum)
		}
	}
	return sums
}

func figuresOf(out *sim.Outcome, session float64) figures {
	return figures{
		happened(out.Overflow, session), happened(out.DrainChoked, session),
		happened(min(out.Overflow, out.DrainChoked), session), out.Sessions[0].PeakFill, math.Pow(out.Sessions[0].PeakFill, 2),
	}
}

func happened(at, session float64) float64 {
	if at <= session {
		return 1
	}
	return 0
}

// printGains prints how many times less the variance is than that of plain random
// sampling, p(1-p)/n or σ²/n, with the standard error of the ratio.
func printGains(all []studied, f int) {
	means := make([]float64, len(all))
	for level := range all[0] {
		n, squares := math.Ldexp(studyBlock, level), 0.0
		for r := range all {
			means[r] = all[r][level][f] / n
			squares += all[r][level][squareOf(f)] / (n * float64(len(all)))
		}
		mean, variance := stat.MeanVariance(means, nil)
		if mean == 0 {
			continue
		}
		gain := (squares - mean*mean) / (n * variance)
		fmt.Printf("  %-14s n %6.0f  mean %.5f  gain %.4g ± %.2g\n", figureNames[f], n, mean, gain, gain*math.Sqrt(2/float64(len(all)-1)))
	}
}

// printCoverage prints how often the 95 % interval from 16 replicates covers, over runs
// of replicates drawn with replacement from those there are.
func printCoverage(all []studied, f int) {
	const runs, replicates = 4000, 16
	random := rand.New(rand.NewPCG(1, uint64(f)))
	for level := range all[0] {
		n := studyBlock << level
		truth := 0.0
		for r := range all {
			truth += all[r][level][f] / float64(n*len(all))
		}
		covered, width := 0, 0.0
		for range runs {
			var low, high float64
			if f < 3 {
				var c stats.Chance
				for range replicates {
					c.AddBlock(int(all[random.IntN(len(all))][level][f]), n)
				}
				e := c.Estimate(sim.Level, stats.FromReplicates)
				low, high = e.Low, e.High
			} else {
				var c stats.PairedMean
				for range replicates {
					c.AddBlock(all[random.IntN(len(all))][level][f], n)
				}
				e := c.Estimate(sim.Level)
				low, high = e.Low, e.High
			}
			width += (high - low) / 2 / runs
			if low <= truth && truth <= high {
				covered++
			}
		}
		fmt.Printf("  %-14s %d x %5d: covers %.1f %%, half-width %.3g\n", figureNames[f], replicates, n, 100*float64(covered)/runs, width)
	}
}

// squareOf is which of the figures is the square of one: a chance is its own.
func squareOf(f int) int {
	if f == 3 {
		return 4
	}
	return f
}
