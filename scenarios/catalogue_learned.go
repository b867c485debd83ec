package scenarios

func learnedFields() []Field {
	return []Field{
		block("learned", "inputs that were learned together from what was seen; their values are drawn from a file, in place of what stands above").also("posterior", "draws"),
		other(TextKind, "learned.draws", "my-car.draws.csv", "file of weighted draws, beside the scenario or in a folder below it").also("file", "log"),
		other(TextKind, "learned.from", "my-car-seen.yaml", "what they were learned from").also("source", "seen"),
		other(WordsKind, "learned.readings", "[\"4f1c09ab27de\"]", "marks of the readings that were learned, by which they are known again: none is to count twice").also("observations"),
		other(InputsKind, "learned.measured", "[engine.blow_by.full_throttle, drain.fall]", "those that count as measured now; left out: all of the file").also("basis"),
		other(InputsKind, "learned.except", "[drain.fall]", "inputs for which what stands above counts all the same").also("without"),
	}
}
