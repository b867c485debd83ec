package report

import (
	"fmt"

	"sumpward/report/words"
	"sumpward/sim"
)

// Missing says how many realizations are missing from a result that was put together from
// parts, and of how many; empty where none are. Many is what they are called: "realizations".
func Missing(res *sim.Result, many string) string {
	missing := missingFrom(res)
	if missing == 0 {
		return ""
	}
	are := "are"
	if missing == 1 {
		are = "is"
	}
	return fmt.Sprintf("%s of the %s %s %s missing", words.Grouped(int64(missing)), words.Grouped(int64(res.Realizations+missing)), many, are)
}
