// Package kept writes what was simulated to files and reads it again: partial results,
// to be merged, and checkpoints, to go on from.
//
// A file is one JSON document:
//
//	{"format": "sumpward/part", "version": 1, "sha256": "…", "content": {…}}
//
// The hash is that of the bytes of the content, so that a damaged file is told from a
// whole one. The content says what the file is of (program, command with its arguments,
// scenario, seed, shard, realizations) and holds what was simulated, as JSON, compressed
// by gzip, in base64. A file may come from anywhere: what is read is limited in size and
// checked.
package kept
