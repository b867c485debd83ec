package sampling_test

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/sampling"
)

// The study of how many realizations an answer takes: see sim/PERFORMANCE.md. It takes
// minutes, so it has to be asked for.
var (
	study           = flag.String("study", "", "scenarios of the study, by name=session in minutes: sealed-drain=25,lost-circuit=25")
	studyLayouts    = flag.String("study.layouts", "random,hypercube,sobol", "layouts that are studied")
	studySeed       = flag.Uint64("study.seed", 1, "seed of the study")
	studyReplicates = flag.Int("study.replicates", 128, "independent replicates of each layout")
	studyFile       = flag.String("study.csv", "", "file of the sums of every replicate: what isn't in it is simulated and added")
	studyFree       = flag.String("study.free", "", "inputs that are drawn, by commas; the others are held at their medians (all are drawn)")
	studyLargest    = flag.Int("study.largest", 4096, "points of a replicate, at the most")
)

// layout fills the coordinates of the block of a replicate.
type layout func(keys []sampling.Key, replicate, block int, u [][]float64)

const (
	studyBlock     = 512
	blocksOfOthers = 1 << 20 // so far apart are the blocks of two replicates
)

var layouts = map[string]layout{
	"random": func(keys []sampling.Key, replicate, block int, u [][]float64) {
		for i, k := range keys {
			for j := range u[i] {
				u[i][j] = sampling.Uniform(*studySeed, k, uint64(replicate*blocksOfOthers+block)*studyBlock+uint64(j))
			}
		}
	},
	"hypercube": func(keys []sampling.Key, replicate, block int, u [][]float64) {
		for i, k := range keys {
			sampling.StratifyAt(*studySeed, k, replicate*blocksOfOthers+block, u[i])
		}
	},
	"sobol": func(keys []sampling.Key, replicate, block int, u [][]float64) {
		for i, k := range keys {
			if d := sampling.DimensionOf(k); d >= 0 {
				sampling.SobolFillAt(d, *studySeed, k, uint64(replicate), uint64(block*studyBlock), u[i])
			} else {
				sampling.StratifyAt(*studySeed, k, replicate*blocksOfOthers+block, u[i])
			}
		}
	},
	// dimensions in the order of the inputs: an input more would move those after it
	"in order": func(keys []sampling.Key, replicate, block int, u [][]float64) {
		for i, k := range keys {
			sampling.SobolFillAt(i, *studySeed, k, uint64(replicate), uint64(block*studyBlock), u[i])
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
			sampling.SobolFillAt(d, *studySeed, k, uint64(replicate), uint64(block*studyBlock), u[i])
		}
	},
}

// figures are what one realization comes to: overflow, choked, either, peak fill, and
// the square of the last.
type figures [5]float64

var figureNames = [4]string{"overflow", "choked drain", "either", "mean peak fill"}

// studied are the sums over the first one, two ... blocks of one replicate.
type studied []figures

// sizes are the numbers of blocks of a replicate at which its variance is told.
var sizes = []int{1, 2, 3, 4, 6, 8, 12, 16, 24, 32}

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
			all := readSums(t, name+","+l)
			for r := len(all); r < *studyReplicates; r++ {
				all = append(all, replicateOf(t, m, layouts[l], r, minutes*60))
				writeSums(t, name+","+l, r, all[r])
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
			place[i] = sampling.Uniform(*studySeed, sampling.InputKey(q.Path), 1<<50+r)
		}
		_, err := single.Settle(place)
		require.NoError(t, err)
		var of [2]figures
		for luck := range of {
			out, err := single.Realize(*studySeed, 1<<62+2*r+uint64(luck), []float64{session})
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
	held := make([]bool, len(keys))
	for i, q := range m.Uncertain() {
		held[i] = *studyFree != "" && !slices.Contains(strings.Split(*studyFree, ","), q.Path)
	}
	var sums studied
	var sum figures
	for n := 0; n < *studyLargest; n++ {
		if n%studyBlock == 0 {
			fill(keys, replicate, n/studyBlock, u)
		}
		for i := range u {
			if place[i] = u[i][n%studyBlock]; held[i] {
				place[i] = 0.5
			}
		}
		_, err := single.Settle(place)
		require.NoError(t, err)
		out, err := single.Realize(*studySeed, uint64(replicate)<<32+uint64(n), []float64{session})
		require.NoError(t, err)
		for f, x := range figuresOf(out, session) {
			sum[f] += x
		}
		if (n+1)%studyBlock == 0 {
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
	for _, blocks := range sizes {
		if blocks > len(all[0]) {
			break
		}
		n, squares := float64(blocks*studyBlock), 0.0
		for r := range all {
			means[r] = all[r][blocks-1][f] / n
			squares += all[r][blocks-1][squareOf(f)] / (n * float64(len(all)))
		}
		mean, variance := stat.MeanVariance(means, nil)
		if mean == 0 {
			continue
		}
		gain := (squares - mean*mean) / (n * variance)
		fmt.Printf("  %-14s n %6.0f  mean %.5f  gain %.4g ± %.2g\n", figureNames[f], n, mean, gain, gain*math.Sqrt(2/float64(len(all)-1)))
	}
}

// squareOf is which of the figures is the square of one: a chance is its own.
func squareOf(f int) int {
	if f == 3 {
		return 4
	}
	return f
}

// writeSums adds the sums of a replicate to the file that is asked for.
func writeSums(t *testing.T, what string, replicate int, one studied) {
	if *studyFile == "" {
		return
	}
	f, err := os.OpenFile(*studyFile, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	require.NoError(t, err)
	for blocks, s := range one {
		_, err := fmt.Fprintf(f, "%s,%d,%d,%v,%v,%v,%v,%v\n", what, replicate, blocks+1, s[0], s[1], s[2], s[3], s[4])
		require.NoError(t, err)
	}
	require.NoError(t, f.Close())
}

// readSums reads the sums that the file has, in the order in which they were added.
func readSums(t *testing.T, what string) (all []studied) {
	text, err := os.ReadFile(*studyFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	require.NoError(t, err)
	for line := range strings.Lines(string(text)) {
		fields, mine := strings.CutPrefix(line, what+",")
		if !mine {
			continue
		}
		var replicate, blocks int
		var s figures
		_, err := fmt.Sscanf(fields, "%d,%d,%g,%g,%g,%g,%g", &replicate, &blocks, &s[0], &s[1], &s[2], &s[3], &s[4])
		require.NoError(t, err)
		if blocks == 1 {
			all = append(all, nil)
		}
		all[replicate] = append(all[replicate], s)
	}
	return all
}
