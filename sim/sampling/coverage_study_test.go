package sampling_test

import (
	"fmt"
	"math/rand/v2"

	"sumpward/sim"
	"sumpward/sim/stats"
)

// replicatesOfRun are layouts of the blocks of a run over replicates: block b belongs to replicate b mod
// replicates. As many replicates as blocks is a net of its own for each block.
var replicatesOfRun = []int{16, 64, 128}

// looks are the numbers of blocks of a run at which its intervals are told.
var looks = []int{5, 10, 16, 24, 32, 48, 64, 96, 128}

// schedules are the looks of runs that end when they are precise enough.
var schedules = [][]int{{10, 14, 20, 28, 40, 56, 79, 111, 128}, {16, 32, 48, 64, 96, 128}, {16, 32, 64, 128}}

// studiedRuns is how many runs are drawn from replicates for a coverage: its standard
// error is 0.35 %.
const studiedRuns = 4000

// printCoverage prints how often the 95 % interval covers, over runs of replicates drawn
// with replacement from those there are, whose blocks take turns: at each look, and for
// runs that end at the first of some looks at which the half-width is what it is on
// average at 48 blocks.
func printCoverage(all []studied, f int) {
	for _, replicates := range replicatesOfRun {
		c := coverage{all: all, figure: f, replicates: replicates}
		c.truth = c.truths()
		last := len(c.truth) - 1
		half := 0.0 // at 48 blocks
		for _, blocks := range looks {
			if blocks > last {
				break
			}
			covered, width := 0, 0.0
			for run := range studiedRuns {
				covers, halfWidth := c.look(run, blocks)
				width += halfWidth / studiedRuns
				if covers {
					covered++
				}
			}
			if blocks == 48 {
				half = width
			}
			fmt.Printf("  %-14s %3d replicates, %3d blocks: covers %.1f %%, half-width %.3g\n", figureNames[f], replicates, blocks, 100*float64(covered)/studiedRuns, width)
		}
		for _, schedule := range schedules {
			if half > 0 && last >= schedule[len(schedule)-1] {
				c.printEnded(schedule, half)
			}
		}
	}
}

// coverage is of the runs of one layout and one figure.
type coverage struct {
	all                []studied
	figure, replicates int
	truth              []float64 // by blocks: what runs come to on average
	drawn              []int     // reused
}

// printEnded prints how often the intervals cover of runs that end by themselves.
func (c *coverage) printEnded(schedule []int, wanted float64) {
	ended, covered, took := 0, 0, 0
	for run := range studiedRuns {
		for _, blocks := range schedule {
			covers, half := c.look(run, blocks)
			if half > wanted {
				continue
			}
			ended++
			took += blocks
			if covers {
				covered++
			}
			break
		}
	}
	fmt.Printf("  %-14s %3d replicates, until %.3g, looks %v: %.0f %% get there, after %.0f blocks; covers %.1f %%\n", figureNames[c.figure], c.replicates, wanted, schedule,
		100*float64(ended)/studiedRuns, float64(took)/float64(ended), 100*float64(covered)/float64(ended))
}

// look returns whether the interval of a run covers at so many blocks, and half of its
// width.
func (c *coverage) look(run, blocks int) (covers bool, half float64) {
	random := rand.New(rand.NewPCG(1, uint64(run)))
	c.drawn = c.drawn[:0]
	for range c.replicates {
		c.drawn = append(c.drawn, random.IntN(len(c.all)))
	}
	var chance stats.Chance
	var mean stats.PairedMean
	for i, r := range c.drawn {
		if n := c.blocksOf(i, blocks); n > 0 {
			chance.AddBlock(int(c.all[r][n-1][c.figure]), n*studyBlock)
			mean.AddBlock(c.all[r][n-1][c.figure], n*studyBlock)
		}
	}
	e := chance.Estimate(sim.Level, stats.FromReplicates)
	low, high := e.Low, e.High
	if c.figure == 3 {
		e := mean.Estimate(sim.Level)
		low, high = e.Low, e.High
	}
	return low <= c.truth[blocks] && c.truth[blocks] <= high, (high - low) / 2
}

// blocksOf is how many blocks a replicate has of those of a run.
func (c *coverage) blocksOf(replicate, blocks int) int {
	return (blocks + c.replicates - 1 - replicate) / c.replicates
}

// truths returns, by blocks, what runs come to on average: the mean over all replicates at
// the sizes that they have in a run.
func (c *coverage) truths() []float64 {
	sums := make([]float64, len(c.all[0])+1) // by blocks of a replicate
	for r := range c.all {
		for i := range c.all[r] {
			sums[i+1] += c.all[r][i][c.figure] / float64(len(c.all))
		}
	}
	means := make([]float64, 1+min(len(c.all[0])*c.replicates, looks[len(looks)-1]))
	for blocks := 1; blocks < len(means); blocks++ {
		for i := range c.replicates {
			means[blocks] += sums[c.blocksOf(i, blocks)] / float64(blocks*studyBlock)
		}
	}
	return means
}
