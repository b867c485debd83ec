package sampling_test

import (
	"fmt"
	"math/rand/v2"

	"sumpward/sim"
	"sumpward/sim/sampling"
	"sumpward/sim/stats"
)

// looks are the numbers of blocks of a run at which its intervals are told.
var looks = []int{5, 10, 16, 20, 24, 32, 40, 48, 64, 96, 128, 192, 256}

// studiedRuns is how many runs are drawn from replicates for a coverage: its standard
// error is 0.35 %.
const studiedRuns = 4000

// printCoverage prints how often the 95 % interval covers, over runs of 16 replicates
// drawn with replacement from those there are, whose blocks take turns: at each look, and
// for runs that end at the first of some looks at which the half-width is what it is on
// average at 48 blocks.
func printCoverage(all []studied, f int) {
	truth := truths(all, f)
	last := len(truth) - 1
	widths := map[int]float64{}
	for _, blocks := range looks {
		if blocks > last {
			break
		}
		covered := 0
		for run := range studiedRuns {
			low, high := intervalOf(all, chosen(all, run), blocks, f)
			widths[blocks] += (high - low) / 2 / studiedRuns
			if low <= truth[blocks] && truth[blocks] <= high {
				covered++
			}
		}
		fmt.Printf("  %-14s %3d blocks: covers %.1f %%, half-width %.3g\n", figureNames[f], blocks, 100*float64(covered)/studiedRuns, widths[blocks])
	}
	if widths[48] == 0 { // no run is that long
		return
	}
	for _, schedule := range [][]int{{10, 14, 20, 28, 40, 56, 79, 111, 128}, {16, 32, 48, 64, 96, 128}, {16, 32, 64, 128}} {
		wanted, ended, covered, took := widths[48], 0, 0, 0
		for run := range studiedRuns {
			for _, blocks := range schedule {
				if blocks > last {
					break
				}
				low, high := intervalOf(all, chosen(all, run), blocks, f)
				if (high-low)/2 > wanted {
					continue
				}
				ended++
				took += blocks
				if low <= truth[blocks] && truth[blocks] <= high {
					covered++
				}
				break
			}
		}
		fmt.Printf("  %-14s until %.3g, looks %v: %.0f %% get there, after %.0f blocks; covers %.1f %%\n", figureNames[f], wanted, schedule,
			100*float64(ended)/studiedRuns, float64(took)/float64(ended), 100*float64(covered)/float64(ended))
	}
}

// chosen draws the replicates of a run.
func chosen(all []studied, run int) (list [sampling.SobolReplicates]int) {
	random := rand.New(rand.NewPCG(1, uint64(run)))
	for i := range list {
		list[i] = random.IntN(len(all))
	}
	return list
}

// blocksOf is how many blocks a replicate has of those of a run.
func blocksOf(replicate, blocks int) int {
	return (blocks + sampling.SobolReplicates - 1 - replicate) / sampling.SobolReplicates
}

// truths returns, by blocks, what runs come to on average: the mean over all replicates at
// the sizes that they have in a run.
func truths(all []studied, f int) []float64 {
	sums := make([]float64, len(all[0])+1) // by blocks of a replicate
	for r := range all {
		for i := range all[r] {
			sums[i+1] += all[r][i][f] / float64(len(all))
		}
	}
	means := make([]float64, 1+len(all[0])*sampling.SobolReplicates)
	for blocks := 1; blocks < len(means); blocks++ {
		for i := range sampling.SobolReplicates {
			means[blocks] += sums[blocksOf(i, blocks)] / float64(blocks*studyBlock)
		}
	}
	return means
}

// intervalOf returns the interval of a run of so many blocks, each of its replicates
// counted as one.
func intervalOf(all []studied, list [sampling.SobolReplicates]int, blocks, f int) (low, high float64) {
	var chance stats.Chance
	var mean stats.PairedMean
	for i, r := range list {
		if n := blocksOf(i, blocks); n > 0 {
			chance.AddBlock(int(all[r][n-1][f]), n*studyBlock)
			mean.AddBlock(all[r][n-1][f], n*studyBlock)
		}
	}
	if f == 3 {
		e := mean.Estimate(sim.Level)
		return e.Low, e.High
	}
	e := chance.Estimate(sim.Level, stats.FromReplicates)
	return e.Low, e.High
}
