package datalog

// Phase is a stretch of nearly constant load and acceleration. Its values are
// the time means of the samples in it.
type Phase struct {
	Duration      float64 // s
	Load          float64 // 0..1
	Forward       float64 // m/s², ISO 8855 x
	Left          float64 // m/s², ISO 8855 y
	EngineStopped bool
}

// FullThrottleLoad is the load from which a sample counts as full throttle.
const FullThrottleLoad = 0.99

// Report says what the cutting into phases kept and what it lost. Times are
// totals over all laps that are kept; "OfLog" is the same figure from the
// samples themselves.
type Report struct {
	Samples int // in the laps that are kept
	Phases  int
	Laps    int
	// LapStarts holds, for each lap, the index of its first phase.
	LapStarts []int
	LapTime   float64 // s, mean
	Duration  float64 // s, of all laps
	Rate      float64 // Hz

	FullThrottleShare, FullThrottleShareOfLog float64 // of time, 0..1
	MeanLoad, MeanLoadOfLog                   float64 // time mean, 0..1
	TimeAbove08g, TimeAbove08gOfLog           float64 // s with |lateral| above 0.8 g
	// LongCorners is the time in s of stretches above 0.8 g lateral that last
	// 1.5 s or more without a break.
	LongCorners, LongCornersOfLog float64
	TimeLeft, TimeRight           float64 // s with lateral above 0.3 g to that side, samples

	MissingFilled int // samples in which a value was filled in
	// LapMatch is the correlation of the log with itself one lap later, where
	// laps were found from the repeat; 0 where a lap column gave them.
	LapMatch float64
	Notes    []string
	Warnings []string
}
