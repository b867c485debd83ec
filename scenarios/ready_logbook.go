package scenarios

import _ "embed"

//go:embed ready/logbook/larkmoor-logbook.csv
var readyLogbook []byte

// ReadyLogbookName is the name of the ready-made logbook.
const ReadyLogbookName = "larkmoor-logbook"

// ReadyLogbookSource returns the ready-made logbook: six cars of a shop that there
// isn't, invented.
func ReadyLogbookSource() []byte { return append([]byte(nil), readyLogbook...) }
