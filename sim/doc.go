// Package sim simulates how a separator fills and drains.
//
// A [Model] is a scenario made ready to be sampled; [Model.Run] gives the
// chances, [Model.CheckDrain] looks at nominal values alone, and [Model.Replay]
// shows one realization against time. A [Car] is one draw of everything that is
// uncertain, and [Kernel.Realize] drives it: phase by phase, each with constant
// coefficients, in which the balance of oil is solved exactly and every event is
// located, so that there is no time step.
//
// SI units throughout; fills and chances are shares of 1. The same seed gives the
// same result, bit for bit, for any number of workers.
package sim
